package bellpush.runtime.prove;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Collection;
import java.util.Deque;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * The part of a site that some macros can touch, as a site of its own: what they run, and the devices of it all. No panel,
 * nothing is asked of the devices, and no message waits for their pace. A core of it starts in microseconds, however large the site is.
 */
record Slice(Site site, List<Macro> macros, Regions regions, Map<String, Step> stepsByPlace) {

    static Slice of(Site whole, Map<String, Parts> partsOf, Collection<String> names) {
        Map<String, Macro> macros = new LinkedHashMap<>();
        Set<String> devices = new LinkedHashSet<>();
        Map<String, Step> steps = new HashMap<>();
        Deque<String> next = new ArrayDeque<>(names);
        List<Parts> all = new ArrayList<>();
        while (!next.isEmpty()) {
            String name = next.poll();
            if (macros.putIfAbsent(name, whole.macros().get(name)) == null) {
                Parts parts = partsOf.get(name);
                all.add(parts);
                devices.addAll(parts.devices);
                parts.steps.forEach(step -> steps.put(step.at().toString(), step));
                next.addAll(parts.runs);
            }
        }
        Map<String, Device> gear = new LinkedHashMap<>();
        Map<Kind, Kind> kinds = new IdentityHashMap<>();
        devices.forEach(name -> gear.put(name, untimed(whole.devices().get(name), kinds)));
        Panel panel = Panel.of(Map.of(), Map.of(), Map.of(), List.of(), Panel.Signs.DEFAULT);
        Site site = new Site(whole.folder(), whole.name(), whole.frameRate(), whole.limits(), panel, gear, macros);
        return new Slice(site, List.copyOf(macros.values()), new Regions(site, all), steps);
    }

    private static Device untimed(Device device, Map<Kind, Kind> kinds) {
        return new Device(device.name(), device.label(), kinds.computeIfAbsent(device.kind(), Kind::untimed),
                device.address(), device.port(),
                device.settings(), device.at());
    }
}
