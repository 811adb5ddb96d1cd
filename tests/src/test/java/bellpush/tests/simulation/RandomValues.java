package bellpush.tests.simulation;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/** Values that a property can have. */
final class RandomValues {
    private static final List<String> TEXTS = List.of("", "Talks and songs", "Poems", "Good night");

    private RandomValues() {}

    static Value of(PropertyType type, SplittableRandom random) {
        return switch (type) {
            case PropertyType.Flag _ -> Value.of(random.nextBoolean());
            case PropertyType.Choice choice -> {
                List<String> names = new ArrayList<>(choice.wireByName().keySet());
                yield Value.of(names.get(random.nextInt(names.size())));
            }
            case PropertyType.Whole whole -> Value.of((double) random.nextLong(whole.min(), whole.max() + 1));
            case PropertyType.Number number -> Value.of(Math.clamp(
                    number.min() + number.step() * random.nextInt((int) Math.min(1e6,
                            Math.max(1, (number.max() - number.min()) / number.step() + 1))),
                    number.min(), number.max()));
            case PropertyType.Text text -> {
                String words = TEXTS.get(random.nextInt(TEXTS.size()));
                yield Value.of(words.length() > text.maxLength() ? "" : words);
            }
        };
    }

    /** As the device would hold it: what a value becomes on the wire and back. */
    static Value overTheWire(PropertyType type, Value value) {
        return switch (type) {
            case PropertyType.Whole whole when whole.wire().isPresent() ->
                type.fromWire(type.toWire(value)).orElse(value);
            case PropertyType.Number number when number.wire().isPresent() ->
                type.fromWire(type.toWire(value)).orElse(value);
            default -> value;
        };
    }
}
