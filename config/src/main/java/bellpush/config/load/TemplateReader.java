package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Framing;
import bellpush.config.model.Template;
import bellpush.config.problem.DidYouMean;
import bellpush.config.problem.Spot;
import bellpush.config.wire.TemplateException;
import bellpush.config.wire.WireTemplate;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;

/** Reads the templates of one kind and says where one does not suit its driver or the types of what it carries. */
final class TemplateReader {
    private static final Set<String> OWN_DRIVERS = Set.of("tcp", "udp", "osc");
    private static final String WHY = "A message that cannot carry its values can neither be sent nor understood.";

    private final Reading reading;
    private final String driver;
    private Framing framing = new Framing.None();

    TemplateReader(Reading reading, String driver) {
        this.reading = reading;
        this.driver = driver;
    }

    void framing(Framing known) {
        framing = known;
    }

    Optional<Message> read(Node.Obj object, String key, FieldScope scope) {
        return reading.node(object, key).flatMap(node -> read(node, scope));
    }

    Optional<Message> read(Node node, FieldScope scope) {
        if (reading.verdict.bad(node)) {
            return Optional.empty();
        }
        return switch (node) {
            case Node.Text(String text, Spot spot) -> wire(new Template.Text(text), text, spot, scope, false);
            case Node.Flag flag -> byDriver(flag);
            case Node.Obj object when object.members().containsKey("hex") -> reading.textNode(object, "hex")
                    .flatMap(hex -> wire(new Template.Hex(hex.text()), hex.text(), hex.spot(), scope, false));
            case Node.Obj object when object.members().containsKey("osc") -> osc(object, scope);
            default -> Optional.empty();
        };
    }

    /** What is put around every message. */
    Optional<Message> envelope(Node.Obj object, String key) {
        return reading.node(object, key).flatMap(node -> switch (node) {
            case Node.Text(String text, Spot spot) ->
                wire(new Template.Text(text), text, spot, FieldScope.none("the envelope"), true);
            case Node.Obj hex when hex.members().containsKey("hex") -> reading.textNode(hex, "hex").flatMap(
                    t -> wire(new Template.Hex(t.text()), t.text(), t.spot(), FieldScope.none("the envelope"), true));
            default -> {
                reading.problems.error(node.spot(), "An envelope can only be a text or hex template.",
                        "It is put around bytes, which "
                                + (driver.equals("osc") ? "osc does not need" : "only those are")
                                + ".",
                        "Write a text or { \"hex\": ... } with {body}, or remove the envelope.");
                yield Optional.empty();
            }
        });
    }

    private Optional<Message> byDriver(Node.Flag flag) {
        if (OWN_DRIVERS.contains(driver)) {
            reading.problems.error(flag.spot(), "The template is true, but " + driver + " cannot know what to send.",
                    "True is for drivers of other jars that know their messages by themselves.",
                    "Write " + templates() + ".");
        }
        return Optional.of(new Message(new Template.ByDriver(), flag.spot(), Set.of()));
    }

    private String templates() {
        return driver.equals("osc")
                ? "{ \"osc\": \"/address\", \"args\": [ ... ] }"
                : "a text, or { \"hex\": \"81 01 {value:u8} ff\" }";
    }

    private boolean suits(Spot spot, String what, boolean forOsc) {
        boolean wrong = OWN_DRIVERS.contains(driver) && driver.equals("osc") != forOsc;
        if (wrong) {
            reading.problems.error(spot, "This is " + what + ", which the driver " + driver + " does not speak.",
                    "osc sends OSC messages; tcp and udp send text or bytes.",
                    "Write " + templates() + ", or another driver.");
        }
        return !wrong;
    }

    private Optional<Message> wire(Template template, String text, Spot spot, FieldScope scope, boolean envelope) {
        if (!suits(spot, template instanceof Template.Hex ? "a hex template" : "a text template", false)) {
            return Optional.empty();
        }
        WireTemplate compiled;
        try {
            compiled = template instanceof Template.Hex ? WireTemplate.hex(text) : WireTemplate.text(text);
        } catch (TemplateException e) {
            if (OWN_DRIVERS.contains(driver)) {
                complain(field(spot, text, e.offset()), scope, e.getMessage());
                return Optional.empty();
            }
            return Optional.of(new Message(template, spot, Set.of())); // another driver may have its own notation
        }
        Set<String> names = new LinkedHashSet<>();
        Set<Integer> said = new LinkedHashSet<>();
        for (WireTemplate.Field field : compiled.fields()) {
            names.add(field.name());
            if (!envelope && unknown(field.name(), field(spot, text, field.offset()), scope)
                    || scope.broken(field.name())) {
                said.add(field.offset());
            }
        }
        List<WireTemplate.Disagreement> all = envelope
                ? compiled.envelopeDisagreements()
                : compiled.disagreements(scope::type);
        if (OWN_DRIVERS.contains(driver)) {
            all.stream().filter(d -> !said.contains(d.offset()))
                    .forEach(d -> complain(field(spot, text, d.offset()), scope, d.words()));
        }
        delimiter(template, text, spot);
        return Optional.of(new Message(template, spot, names));
    }

    /** The field that opens at an offset of the template's text. */
    private static Spot field(Spot spot, String text, int offset) {
        int close = offset < text.length() && text.charAt(offset) == '{' ? text.indexOf('}', offset) + 1 : 0;
        return spot.part(text, Math.min(offset, Math.max(0, text.length() - 1)), Math.max(close, offset + 1));
    }

    /** The words are "found; cure", as bellpush.config.wire writes them. */
    private void complain(Spot spot, FieldScope scope, String words) {
        int cut = words.indexOf("; ");
        String found = cut < 0 ? words : words.substring(0, cut);
        String cure = cut < 0 ? "change the field's format, or the type of what it carries" : words.substring(cut + 2);
        reading.problems.error(spot, "In " + scope.purpose() + ": " + sentence(found), WHY, capital(sentence(cure)));
    }

    private static String sentence(String words) {
        return words.endsWith(".") || words.endsWith("?") ? words : words + ".";
    }

    private static String capital(String words) {
        return words.isEmpty() ? words : Character.toUpperCase(words.charAt(0)) + words.substring(1);
    }

    private boolean unknown(String name, Spot spot, FieldScope scope) {
        if (scope.may(name)) {
            return false;
        }
        String cure = name.equals("value")
                ? "Write the property's full name, or {any}."
                : DidYouMean.cure(name, scope.names(), "Write {any} for what is not needed, or {{ for a brace itself.");
        reading.problems.error(spot, "The field {" + name + "} means nothing in " + scope.purpose() + ".",
                "A field is named after what it carries: a property or argument of this kind.", cure);
        return true;
    }

    private void delimiter(Template template, String text, Spot spot) {
        if (template instanceof Template.Text && framing instanceof Framing.Delimiter(byte[] end)) {
            byte[] bytes = text.getBytes(StandardCharsets.UTF_8);
            if (bytes.length >= end.length
                    && Arrays.equals(bytes, bytes.length - end.length, bytes.length, end, 0, end.length)) {
                reading.problems.error(spot, "The template ends with what the framing adds to every message.",
                        "It would be sent twice, and what the device sends would never fit.",
                        "Remove the end from the template; \"endsWith\" takes care of it.");
            }
        }
    }

    private Optional<Message> osc(Node.Obj object, FieldScope scope) {
        if (!suits(object.spot(), "an OSC template", true)) {
            return Optional.empty();
        }
        return new OscTemplateReader(reading, this::unknown, scope).read(object);
    }
}
