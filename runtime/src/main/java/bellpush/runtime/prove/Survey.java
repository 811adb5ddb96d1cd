package bellpush.runtime.prove;

import bellpush.config.model.Button;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Function;

/**
 * What each macro touches through everything that it runs, and what a hand does to start it. Worked out once per site; may be used
 * by several threads.
 */
final class Survey {
    final Site site;
    final Map<String, Parts> parts = new LinkedHashMap<>();
    private final Map<String, Set<String>> all = new HashMap<>();
    /** How the panel starts each macro, in words; macros that only others run are not here. */
    final Map<String, String> gestures = new LinkedHashMap<>();
    private final Map<Set<String>, Slice> slices = new ConcurrentHashMap<>();
    /** For each property, the macros of the panel that change it. */
    private final Map<PropertyRef, List<String>> changers = new HashMap<>();
    private final Map<String, Set<PropertyRef>> changes = new HashMap<>();
    private final Map<String, Set<String>> lanes = new HashMap<>();

    Survey(Site site) {
        this.site = site;
        site.macros().forEach((name, macro) -> parts.put(name, Parts.of(site, macro)));
        gestures(site.panel());
        site.macros().keySet().forEach(this::reached); // from here on it is only read
        site.macros().keySet().forEach(name -> {
            changes.put(name, union(name, p -> p.changes));
            Set<String> own = new TreeSet<>();
            reached(name).forEach(inner -> own.addAll(site.macros().get(inner).lanes()));
            lanes.put(name, own);
        });
        gestures.keySet().forEach(name -> changes(name)
                .forEach(ref -> changers.computeIfAbsent(ref, _ -> new ArrayList<>()).add(name)));
    }

    private void gestures(Panel panel) {
        panel.buttons().values().forEach(this::button);
        panel.switches().values().forEach(control -> {
            gesture(control.on(), "put the switch " + control.label() + " on");
            gesture(control.off(), "put the switch " + control.label() + " off");
        });
        panel.knobs().values().forEach(knob -> knob.push().ifPresent(push -> button(push.button())));
    }

    private void button(Button button) {
        gesture(button.press(), "press " + button.label());
        gesture(button.release(), "let go of " + button.label());
        gesture(button.hold().map(Button.Hold::run), "hold " + button.label());
        gesture(button.twice().map(Button.Twice::run), "press " + button.label() + " twice");
    }

    private void gesture(Optional<String> macro, String words) {
        macro.ifPresent(name -> gestures.putIfAbsent(name, words));
    }

    /** What a hand does to start it. */
    String gesture(String macro) {
        return gestures.getOrDefault(macro, "run " + macro);
    }

    /** The macro and all that it may run. */
    Set<String> reached(String macro) {
        Set<String> known = all.get(macro);
        if (known == null) {
            Set<String> found = new LinkedHashSet<>();
            List<String> next = new ArrayList<>(List.of(macro));
            while (!next.isEmpty()) {
                String name = next.removeLast();
                if (found.add(name)) {
                    next.addAll(parts.get(name).runs);
                }
            }
            known = found;
            all.put(macro, known);
        }
        return known;
    }

    <T> Set<T> union(String macro, Function<Parts, Set<T>> of) {
        Set<T> union = new LinkedHashSet<>();
        reached(macro).forEach(name -> union.addAll(of.apply(parts.get(name))));
        return union;
    }

    Set<PropertyRef> changes(String macro) {
        return changes.get(macro);
    }

    Set<String> lanes(String macro) {
        return lanes.get(macro);
    }

    boolean shareLane(String one, String other) {
        return lanes(one).stream().anyMatch(lanes(other)::contains);
    }

    /** The macros of the panel whose run it may find under way, and that it ends there. */
    List<String> endedBy(Macro macro) {
        Set<String> stops = new LinkedHashSet<>();
        boolean[] everything = {false};
        reached(macro.name()).forEach(name -> parts.get(name).steps.forEach(step -> {
            if (step instanceof Step.Stop stop) {
                stops.addAll(stop.families());
                everything[0] |= stop.families().isEmpty();
            }
        }));
        return gestures.keySet().stream().map(site.macros()::get).filter(other -> everything[0]
                && !other.family().equals(macro.family()) || stops.contains(other.family())
                || macro.takesOver() && !Collections.disjoint(macro.lanes(), other.lanes())
                || macro.again() == Macro.Again.RESTART && macro.family().equals(other.family())).map(Macro::name)
                .toList();
    }

    /** The file that a macro was made of; of anything else, its own name. */
    String family(String name) {
        Macro macro = site.macros().get(name);
        return macro == null ? name : macro.family();
    }

    /** What it looks at or changes. */
    Set<PropertyRef> touches(String macro) {
        Set<PropertyRef> touches = new TreeSet<>(changes(macro));
        touches.addAll(asks(macro));
        return touches;
    }

    /** What it looks at. */
    Set<PropertyRef> asks(String macro) {
        Set<PropertyRef> asks = new TreeSet<>(union(macro, p -> p.reads));
        reached(macro).forEach(name -> parts.get(name).copies.forEach(copy -> asks.add(copy.from())));
        return asks;
    }

    /** The values that it gives the property, where all of them are fixed. */
    Optional<Set<Value>> fixedValues(String macro, PropertyRef ref) {
        Set<Value> values = new LinkedHashSet<>();
        for (String name : reached(macro)) {
            Parts p = parts.get(name);
            if (p.acts.contains(ref)) {
                return Optional.empty();
            }
            values.addAll(p.sets.getOrDefault(ref, Set.of()));
        }
        return Optional.of(values);
    }

    List<String> changers(PropertyRef ref) {
        return changers.getOrDefault(ref, List.of());
    }

    Map<PropertyRef, List<String>> changers() {
        return changers;
    }

    Slice slice(Set<String> macros) {
        return slices.computeIfAbsent(Set.copyOf(macros), names -> Slice.of(site, parts, new TreeSet<>(names)));
    }

    /** Whether something goes on moving while it is not 0: the speed of another property, or what a stick drives. */
    boolean isSpeed(PropertyRef ref) {
        return site.devices().get(ref.device()).kind().properties().values().stream()
                .anyMatch(other -> other.speeds().filter(speeds -> speeds.by().equals(ref.property())).isPresent())
                || driven(ref);
    }

    private boolean driven(PropertyRef ref) {
        return site.panel().joysticks().values().stream().flatMap(stick -> stick.axes().values().stream())
                .anyMatch(axis -> axis.drives().equals(ref));
    }

    /** Whether some macro or control of the site sends it something. */
    boolean canBeSet(PropertyRef ref) {
        Panel panel = site.panel();
        return parts.values().stream().anyMatch(p -> p.changes.contains(ref))
                || panel.knobs().values().stream().anyMatch(knob -> knob.turns().equals(ref) || knob.push()
                        .flatMap(push -> push.turns()).filter(turns -> turns.property().equals(ref)).isPresent())
                || panel.faders().values().stream().anyMatch(fader -> fader.moves().equals(ref))
                || driven(ref);
    }
}
