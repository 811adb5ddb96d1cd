package bellpush.drivers.osc;

import bellpush.config.model.Command;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Template;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;

/** A kind as OSC sees it: every template with its place, made ready or complained about. */
record OscKind(List<Entry> entries, List<String> complaints) {
    /** Fields that only byte and text templates can have. */
    private static final Set<String> NOT_IN_OSC = Set.of("length", "check", "body");

    record Entry(Template template, OscShape shape) {}

    static OscKind of(Kind kind) {
        Reader reader = new Reader(kind);
        reader.read();
        return new OscKind(List.copyOf(reader.entries), reader.complaints.stream().map(c -> c + ".").toList());
    }

    /** OSC 1.0 puts a 32-bit size before each packet of a byte stream; OSC 1.1 wants SLIP. */
    static Framing framing(Kind kind) {
        return kind.framing() instanceof Framing.None ? new Framing.LengthPrefix(4, false, false) : kind.framing();
    }

    private static final class Reader {
        private final Kind kind;
        private final List<Entry> entries = new ArrayList<>();
        private final List<String> complaints = new ArrayList<>();

        Reader(Kind kind) {
            this.kind = kind;
        }

        void read() {
            framing();
            try {
                OscSettings.of(kind.settings());
            } catch (IllegalArgumentException e) {
                complaints.add(e.getMessage());
            }
            kind.envelope().ifPresent(_ -> complaints.add("\"envelope\": osc messages have none; leave it out"));
            kind.properties().values().forEach(this::property);
            kind.commands().values().forEach(this::command);
            kind.reports().forEach(t -> template("\"reports\"", t, this::propertyType));
            kind.greeting().ifPresent(t -> template("\"greeting\"", t, this::propertyType));
            kind.heartbeat().ifPresent(h -> {
                template("\"heartbeat\" \"send\"", h.send(), this::propertyType);
                h.reply().ifPresent(t -> template("\"heartbeat\" \"reply\"", t, this::propertyType));
            });
            kind.answers().ok().forEach(t -> template("\"answers\" \"ok\"", t, this::propertyType));
            kind.answers().refused()
                    .forEach(r -> template("\"answers\" \"refused\"", r.message(), this::propertyType));
        }

        private void framing() {
            Framing framing = kind.framing();
            if (!kind.stream() && !(framing instanceof Framing.None)) {
                complaints.add("\"framing\": a datagram is one OSC packet and needs none; leave it out, or add "
                        + "\"stream\": true if the device is spoken to over TCP");
            }
            boolean possible = framing instanceof Framing.None || framing instanceof Framing.Slip
                    || framing.equals(new Framing.LengthPrefix(4, false, false));
            if (kind.stream() && !possible) {
                complaints.add("\"framing\": OSC over TCP is framed by { \"length\": \"u32\" } (OSC 1.0) or \"slip\" "
                        + "(OSC 1.1); the device's manual says which");
            }
        }

        private void property(Property property) {
            Function<String, Optional<PropertyType>> types = field -> field.equals("value")
                    ? Optional.of(property.type())
                    : propertyType(field);
            String at = "property \"" + property.name() + "\" ";
            property.set().ifPresent(t -> template(at + "\"set\"", t, types));
            property.move().ifPresent(move -> template(at + "\"move\"", move.send(),
                    field -> field.equals("over") ? Optional.of(move.type()) : types.apply(field)));
            property.ask().ifPresent(t -> template(at + "\"ask\"", t, types));
            property.answer().ifPresent(t -> template(at + "\"answer\"", t, types));
            property.report().ifPresent(t -> template(at + "\"report\"", t, types));
        }

        private void command(Command command) {
            template("command \"" + command.name() + "\"", command.send(),
                    field -> Optional.ofNullable(command.arguments().get(field)).or(() -> propertyType(field)));
        }

        private Optional<PropertyType> propertyType(String name) {
            return Optional.ofNullable(kind.properties().get(name)).map(Property::type);
        }

        private void template(String at, Template template, Function<String, Optional<PropertyType>> types) {
            if (!(template instanceof Template.Osc osc)) {
                complaints.add(
                        at + ": a kind with the driver osc writes its messages as { \"osc\": \"/address\", \"args\": "
                                + "[…] }");
                return;
            }
            try {
                OscShape shape = OscShape.of(osc, types);
                shape.fields().filter(NOT_IN_OSC::contains).findFirst()
                        .ifPresent(f -> complaints.add(at + ": the field {" + f + "} means nothing in an OSC message"));
                entries.add(new Entry(template, shape));
            } catch (IllegalArgumentException e) {
                complaints.add(at + ": " + e.getMessage());
            }
        }
    }
}
