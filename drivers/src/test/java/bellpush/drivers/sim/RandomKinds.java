package bellpush.drivers.sim;

import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import bellpush.config.model.PropertyType;
import bellpush.config.model.PropertyType.WireRange;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Random;

/** Invents kinds: properties of all types, with and without wire values and scales, in formats wide enough for them. */
final class RandomKinds {
    private final Random random;
    private final Words words;

    RandomKinds(long seed) {
        this.random = new Random(seed);
        this.words = Words.values()[random.nextInt(3)];
    }

    Words words() {
        return words;
    }

    Kind kind() {
        Kinds kinds = new Kinds().driver(words == Words.OSC ? "osc" : "udp").framing(new Framing.None());
        boolean numbered = random.nextBoolean();
        String[] sequence = numbered ? new String[]{words == Words.HEX ? "sequence:u16" : "sequence"} : new String[0];
        int count = 1 + random.nextInt(6);
        for (int i = 0; i < count; i++) {
            PropertyType type = type();
            String[] fields = with(sequence, words == Words.HEX ? "value:" + format(type) : "value");
            String name = "p" + i;
            boolean answers = random.nextBoolean();
            kinds.property(name, type, RandomValue.any(type, random), Duration.ZERO,
                    Optional.of(words.message("set " + name, 0x10 + i, fields)),
                    Optional.of(words.message("ask " + name, 0x20 + i, sequence)),
                    answers
                            ? Optional.of(words.message("answer " + name, 0x30 + i, fields))
                            : Optional.<Template>empty(),
                    Optional.of(words.message("report " + name, 0x40 + i, fields)));
        }
        kinds.ok(words.message("ok", 0x01, sequence)).refused(words.message("no", 0x02, sequence));
        if (numbered && words == Words.HEX) {
            kinds.envelope(new Template.Hex("f0 {length:u16} {body} {check:crc16-ccitt}"));
        }
        return kinds.kind();
    }

    private static String[] with(String[] before, String field) {
        String[] all = Arrays.copyOf(before, before.length + 1);
        all[before.length] = field;
        return all;
    }

    private PropertyType type() {
        return switch (random.nextInt(5)) {
            case 0 -> flag();
            case 1 -> choice();
            case 2 -> whole();
            case 3 -> number();
            default -> new PropertyType.Text(1 + random.nextInt(20));
        };
    }

    private PropertyType flag() {
        return switch (random.nextInt(3)) {
            case 0 -> new PropertyType.Flag(Value.of(0), Value.of(1));
            case 1 -> new PropertyType.Flag(Value.of(1), Value.of(random.nextInt(2, 256)));
            default -> words == Words.HEX
                    ? new PropertyType.Flag(Value.of(3), Value.of(2))
                    : new PropertyType.Flag(Value.of("OFF"), Value.of("ON"));
        };
    }

    private PropertyType choice() {
        Map<String, Value> wire = new LinkedHashMap<>();
        int count = 1 + random.nextInt(6);
        boolean numbers = words == Words.HEX || random.nextBoolean();
        for (int i = 0; i < count; i++) {
            wire.put("choice" + i, numbers ? Value.of(i * 7) : Value.of("w" + i));
        }
        return new PropertyType.Choice(wire);
    }

    private PropertyType whole() {
        long min = random.nextInt(-1000, 1000);
        long max = min + random.nextInt(1, 2000);
        return new PropertyType.Whole(min, max, "", scale());
    }

    private PropertyType number() {
        double min = random.nextInt(-100, 100);
        double max = min + random.nextInt(1, 200);
        double[] steps = {0.01, 0.1, 0.25, 0.5, 1};
        return new PropertyType.Number(min, max, steps[random.nextInt(steps.length)], "", scale());
    }

    /** To whole numbers, finer or coarser than the values, perhaps upside down; or to fractions. */
    private Optional<WireRange> scale() {
        return switch (random.nextInt(4)) {
            case 0 -> Optional.of(new WireRange(0, random.nextInt(2, 60_000)));
            case 1 -> Optional.of(new WireRange(random.nextInt(100, 30_000), random.nextInt(-30_000, 0)));
            case 2 -> Optional.of(new WireRange(0, 1));
            default -> Optional.empty();
        };
    }

    private static String format(PropertyType type) {
        return switch (type) {
            case PropertyType.Flag _,PropertyType.Choice _ -> "u8";
            case PropertyType.Whole w -> fraction(w.wire()) ? "f32le" : "s32";
            case PropertyType.Number n -> n.wire().isEmpty() || fraction(n.wire()) ? "f32" : "s32le";
            case PropertyType.Text t -> "text" + Math.min(99, 4 * t.maxLength());
        };
    }

    private static boolean fraction(Optional<WireRange> wire) {
        return wire.isPresent() && Math.abs(wire.get().to() - wire.get().from()) <= 1;
    }

    /** Any value that the type accepts, not only those on its steps. */
    Value anyAccepted(PropertyType type) {
        return switch (type) {
            case PropertyType.Number n -> switch (random.nextInt(4)) {
                case 0 -> Value.of(n.min());
                case 1 -> Value.of(n.max());
                default -> Value.of(Math.clamp(n.min() + random.nextDouble() * (n.max() - n.min()), n.min(), n.max()));
            };
            case PropertyType.Text t -> Value.of(text(random.nextInt(t.maxLength() + 1)));
            default -> RandomValue.any(type, random);
        };
    }

    private String text(int length) {
        String letters = "aZ09 {}?\"\\/~äßЖ漢=,;:";
        StringBuilder text = new StringBuilder();
        for (int i = 0; i < length; i++) {
            text.append(letters.charAt(random.nextInt(letters.length())));
        }
        return text.toString();
    }
}
