package bellpush.drivers.sim;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import java.math.BigDecimal;
import java.util.List;
import java.util.random.RandomGenerator;

/** Picks a value that a type takes. */
final class RandomValue {
    private static final int TRIES = 20;
    private static final String LETTERS = "abcdefghijklmnopqrstuvwxyz";

    private RandomValue() {}

    /** A value other than the present one, or the present one if the type has no other. */
    static Value other(PropertyType type, Value present, RandomGenerator random) {
        for (int i = 0; i < TRIES; i++) {
            Value value = any(type, random);
            if (!type.same(value, present)) {
                return value;
            }
        }
        return present;
    }

    static Value any(PropertyType type, RandomGenerator random) {
        return switch (type) {
            case PropertyType.Flag _ -> Value.of(random.nextBoolean());
            case PropertyType.Choice c -> {
                List<String> names = List.copyOf(c.wireByName().keySet());
                yield Value.of(names.get(random.nextInt(names.size())));
            }
            case PropertyType.Whole w -> Value.of(between(w.min(), w.max(), random));
            case PropertyType.Number n -> Value.of(onGrid(n, random));
            case PropertyType.Text t -> Value.of(word(Math.min(t.maxLength(), 8), random));
        };
    }

    private static double between(long min, long max, RandomGenerator random) {
        return max == Long.MAX_VALUE ? random.nextLong(min, max) : random.nextLong(min, max + 1);
    }

    /** A whole number of steps above the least value, in decimal, so that 0.1 steps give 0.3 and not 0.30000000000000004. */
    private static double onGrid(PropertyType.Number type, RandomGenerator random) {
        double span = (type.max() - type.min()) / type.step();
        if (!(span >= 1 && span < 1e15)) {
            return random.nextBoolean() ? type.min() : type.max();
        }
        long steps = random.nextLong((long) Math.floor(span) + 1);
        double value = BigDecimal.valueOf(type.min())
                .add(BigDecimal.valueOf(type.step()).multiply(BigDecimal.valueOf(steps)))
                .doubleValue();
        return Math.min(value, type.max());
    }

    private static String word(int length, RandomGenerator random) {
        StringBuilder word = new StringBuilder();
        for (int i = 0; i < length; i++) {
            word.append(LETTERS.charAt(random.nextInt(LETTERS.length())));
        }
        return word.toString();
    }
}
