package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Look;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Panel.Signs;
import java.util.Locale;
import java.util.Optional;

/** Reads what lamps show: looks and the panel's signs. */
final class LooksReader {
    private final Reading reading;
    private final Times times;

    LooksReader(Reading reading, Times times) {
        this.reading = reading;
        this.times = times;
    }

    static Pattern pattern(String word) {
        return Pattern.valueOf(word.toUpperCase(Locale.ROOT));
    }

    /** From an object with {@code show}, and perhaps {@code brightness} and {@code colour}. */
    Optional<Look> look(Node.Obj object) {
        return reading.text(object, "show").map(word -> {
            Look plain = Look.of(pattern(word));
            double brightness = reading.number(object, "brightness").map(Node.Num::number).orElse(plain.brightness());
            return new Look(plain.pattern(), plain.pattern() == Pattern.OFF ? 0 : brightness,
                    reading.text(object, "colour"));
        });
    }

    Signs signs(Node.Obj panel) {
        Signs d = Signs.DEFAULT;
        return reading.object(panel, "signs").map(object -> new Signs(sign(object, "linkDown", d.linkDown()),
                sign(object, "unknown", d.unknown()), sign(object, "assumed", d.assumed()),
                sign(object, "running", d.running()), sign(object, "holding", d.holding()),
                sign(object, "failed", d.failed()), times.positive(object, "failedFor", d.failedFor()))).orElse(d);
    }

    private Look sign(Node.Obj object, String key, Look without) {
        return reading.node(object, key).flatMap(node -> switch (node) {
            case Node.Text(String word, _) -> Optional.of(Look.of(pattern(word)));
            case Node.Obj inner -> look(inner);
            default -> Optional.empty();
        }).orElse(without);
    }
}
