package bellpush.runtime.core;

import static bellpush.runtime.core.TestSite.ref;

import bellpush.config.model.Answers;
import bellpush.config.model.Command;
import bellpush.config.model.Device;
import bellpush.config.model.Ease;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Move;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Speeds;
import bellpush.config.model.Speeds.Entry;
import bellpush.config.model.Step;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/**
 * Gear that glides: a head that pans, tilts and rolls, each with a table of speeds of its own; a desk with two levels; a
 * curtain with a move of its own.
 */
final class GlideSite {
    static final String HEAD = "head";
    static final String DESK = "desk";
    static final String CURTAIN = "curtain";

    /** Coarse at the slow end, as geared motors are. */
    private static final List<Entry> PAN = List.of(new Entry(1, 0.4), new Entry(2, 1), new Entry(6, 4),
            new Entry(12, 15), new Entry(24, 60));
    /** Fine steps. */
    private static final List<Entry> TILT = List.of(new Entry(0.05, 0.5), new Entry(0.5, 6), new Entry(1, 25));
    /** Turned round: above 0 is less. */
    private static final List<Entry> ROLL = List.of(new Entry(-100, 33), new Entry(100, -33));

    private GlideSite() {}

    static Step glide(int ms, Ease ease, Object... pairs) {
        Map<PropertyRef, Value> values = new LinkedHashMap<>();
        for (int i = 0; i < pairs.length; i += 2) {
            values.put(ref((String) pairs[i]), TestSite.value(pairs[i + 1]));
        }
        return Step.Glide.to(values, Duration.ofMillis(ms), ease, Source.NONE);
    }

    static Site of(TestSite site) {
        return of(site, "tcp");
    }

    /** @param driver what the head is spoken to with: over udp nothing tells that a message has arrived */
    static Site of(TestSite site, String driver) {
        Site made = site.site();
        Map<String, Device> devices = new LinkedHashMap<>(made.devices());
        devices.put(HEAD, device(HEAD, head(driver)));
        devices.put(DESK, device(DESK, desk()));
        devices.put(CURTAIN, device(CURTAIN, curtain()));
        return new Site(made.folder(), made.name(), made.frameRate(), made.limits(), made.panel(), devices,
                made.macros());
    }

    private static Device device(String name, Kind kind) {
        return new Device(name, name, kind, "127.0.0.1", 1, Map.of(), Source.NONE);
    }

    private static Kind head(String driver) {
        Map<String, Property> properties = new LinkedHashMap<>();
        axis(properties, "pan", new PropertyType.Number(-170, 170, 0.01, "°", Optional.empty()),
                new PropertyType.Whole(-24, 24, "", Optional.empty()), 40, PAN);
        axis(properties, "tilt", new PropertyType.Number(-30, 90, 0.01, "°", Optional.empty()),
                new PropertyType.Number(-1, 1, 0.01, "", Optional.empty()), 20, TILT);
        axis(properties, "roll", new PropertyType.Number(-20, 20, 0.01, "°", Optional.empty()),
                new PropertyType.Whole(-100, 100, "", Optional.empty()), 50, ROLL);
        axis(properties, "lift", new PropertyType.Number(0, 1, 0.001, "m", Optional.empty()),
                new PropertyType.Whole(0, 10, "", Optional.empty()), 20, List.of(new Entry(10, 0.2)));
        return kind(HEAD, driver, properties, Map.of(), 0);
    }

    private static void axis(Map<String, Property> properties, String name, PropertyType type, PropertyType speedType,
            int paceMs, List<Entry> table) {
        properties.put(name, property(name, type, 20, true)
                .moved(Optional.empty(), Optional.of(Speeds.of(name + ".speed", table))));
        properties.put(name + ".speed",
                property(name + ".speed", speedType, paceMs, false).unsettling(List.of(name)));
    }

    private static Kind desk() {
        Map<String, Property> properties = new LinkedHashMap<>();
        PropertyType level = new PropertyType.Number(-60, 10, 0.5, "dB", Optional.empty());
        properties.put("music", property("music", level, 20, true));
        properties.put("speech", property("speech", level, 0, true));
        return kind(DESK, "tcp", properties, Map.of(), 15);
    }

    private static Kind curtain() {
        Map<String, Property> properties = new LinkedHashMap<>();
        Property open = property("open", new PropertyType.Whole(0, 100, "%", Optional.empty()), 20, true);
        properties.put("open", open.moved(Optional.of(new Move(new Template.Text("MOVE {value} {over}"),
                Duration.ofMillis(1), true, Duration.ofSeconds(10), Optional.of("hold"))), Optional.empty()));
        Command hold = new Command("hold", "", Map.of(), new Template.Text("HOLD"),
                Map.of("open", new Command.Effect.Unknown()), Duration.ZERO, Source.NONE, true);
        return kind(CURTAIN, "tcp", properties, Map.of("hold", hold), 0);
    }

    private static Property property(String name, PropertyType type, int paceMs, boolean reported) {
        Optional<Template> template = Optional.of(new Template.Text(name + " {value}"));
        Optional<Template> ask = reported ? Optional.of(new Template.Text(name + "?")) : Optional.empty();
        return new Property(name, "", type, template, ask, Optional.empty(), reported ? template : Optional.empty(),
                reported, Value.of(0), Duration.ofMillis(paceMs), Duration.ZERO, Optional.empty(), Source.NONE);
    }

    private static Kind kind(String name, String driver, Map<String, Property> properties,
            Map<String, Command> commands, int paceMs) {
        return new Kind(name, "", driver, false, OptionalInt.empty(), new Framing.Slip(), Optional.empty(), properties,
                commands, List.of(), Optional.empty(), List.of(), Duration.ZERO, Optional.empty(),
                Duration.ofMillis(paceMs), Answers.NONE, Map.of(), Source.NONE);
    }
}
