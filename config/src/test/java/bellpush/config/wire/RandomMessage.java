package bellpush.config.wire;

import bellpush.config.model.Value;
import java.util.HashMap;
import java.util.Map;
import java.util.random.RandomGenerator;

/**
 * A random template with values that fit it. Literals and the texts of fields have no byte in common, so that every value can
 * be sent; what happens when they have is tested by hand elsewhere.
 *
 * @param template as an admin would write it
 * @param values   what to encode
 * @param expected what a match must give back: plain fields read as text
 */
record RandomMessage(String template, boolean hex, WireTemplate compiled, Map<String, Value> values,
        Map<String, Value> expected) {
    private static final String[] TEXT_LITERALS = {";", ",", "<>", "{{", "}}", "=é=", "\t", "::\r\n", "💡"};
    private static final String[] HEX_LITERALS = {"ff", "80 81", "FE", "c0 c0 c1", "9f"};
    private static final String[] INTEGERS = {"u8", "u16", "u32", "u16le", "u32le", "s8", "s16", "s32", "s16le",
        "s32le"};
    private static final String[] COUNTS = {"u8", "u16", "u16le", "u32", "dec3", "hex2", "nibbles3", "bcd4"};
    private static final String[] CHECKS = {"xor", "sum8", "crc16-modbus", "crc16-ccitt", "crc16-xmodem"};

    static RandomMessage from(RandomGenerator random, boolean envelope) {
        return new Maker(random, random.nextBoolean()).make(envelope);
    }

    private static final class Maker {
        private final RandomGenerator random;
        private final boolean hex;
        private final StringBuilder template = new StringBuilder();
        private final Map<String, Value> values = new HashMap<>();
        private final Map<String, Value> expected = new HashMap<>();
        private boolean tail; // a field of any length stands open: nothing but fixed widths may follow
        private boolean counted;
        private boolean numbered;

        Maker(RandomGenerator random, boolean hex) {
            this.random = random;
            this.hex = hex;
        }

        RandomMessage make(boolean envelope) {
            int pieces = 1 + random.nextInt(7);
            int bodyAt = envelope ? random.nextInt(pieces) : -1;
            for (int i = 0; i < pieces; i++) {
                if (i == bodyAt) {
                    template.append("{body}");
                    tail = true;
                } else {
                    piece(envelope);
                }
                template.append(hex && random.nextBoolean() ? " " : "");
            }
            String text = template.toString();
            return new RandomMessage(text, hex, hex ? WireTemplate.hex(text) : WireTemplate.text(text), values,
                    expected);
        }

        private void piece(boolean envelope) {
            switch (random.nextInt(8)) {
                case 0, 1 -> template.append(pick(hex ? HEX_LITERALS : TEXT_LITERALS));
                case 2 -> any();
                case 3 -> counter();
                case 4 -> check();
                case 5 -> plain(envelope);
                default -> fixed(envelope);
            }
        }

        private String pick(String... of) {
            return of[random.nextInt(of.length)];
        }

        private void any() {
            template.append("{any:")
                    .append(hex ? pick("u8", "s32le", "bcd2", "nibbles2", "dec3", "hex2") : pick("dec2", "hex4"))
                    .append('}');
        }

        private void counter() {
            if (!counted) {
                counted = true;
                template.append("{length:").append(hex ? pick(COUNTS) : pick("dec3", "hex2")).append(pick("", "", "+3"))
                        .append('}');
            } else if (!numbered) {
                numbered = true;
                Value n = Value.of(random.nextInt(100));
                template.append("{sequence:").append(hex ? pick(COUNTS) : pick("dec3", "hex2")).append('}');
                values.put("sequence", n);
                expected.put("sequence", n);
            }
        }

        private void check() {
            template.append("{check:").append(pick(CHECKS)).append(hex && random.nextBoolean() ? "" : ".hex")
                    .append('}');
        }

        private void plain(boolean envelope) {
            if (tail || envelope) {
                return;
            }
            String name = "f" + values.size();
            Value value = random.nextBoolean()
                    ? Value.of(letters(random.nextInt(12)))
                    : Value.of(Math.round(random.nextDouble(-1e6, 1e6) * 1000) / 1000.0);
            values.put(name, value);
            expected.put(name, Value.of(value instanceof Value.Num(double d)
                    ? new java.math.BigDecimal(Double.toString(d)).stripTrailingZeros().toPlainString()
                    : value.toString()));
            template.append('{').append(name).append(hex || random.nextBoolean() ? ":text}" : "}");
            if (random.nextInt(3) == 0) {
                tail = true;
            } else {
                template.append(pick(hex ? HEX_LITERALS : TEXT_LITERALS));
            }
        }

        private void fixed(boolean envelope) {
            if (envelope) {
                return;
            }
            String name = "f" + values.size();
            int kind = random.nextInt(hex ? 8 : 2);
            int digits = 1 + random.nextInt(13);
            Value value;
            String format;
            switch (kind) {
                case 0 -> {
                    format = "dec" + digits;
                    value = whole(digits == 1 ? 0 : -Math.pow(10, digits - 1.0) + 1, Math.pow(10, digits) - 1);
                }
                case 1 -> {
                    format = "hex" + digits;
                    value = whole(0, Math.pow(16, digits) - 1);
                }
                case 2 -> {
                    format = pick(INTEGERS);
                    int bits = Integer.parseInt(format.replaceAll("\\D", ""));
                    double all = Math.pow(2, bits);
                    value = format.startsWith("s") ? whole(-all / 2, all / 2 - 1) : whole(0, all - 1);
                }
                case 3 -> {
                    format = pick("f32", "f32le");
                    value = Value.of((float) random.nextDouble(-1e9, 1e9));
                }
                case 4 -> {
                    format = "nibbles" + digits;
                    value = whole(0, Math.pow(16, digits) - 1);
                }
                case 5 -> {
                    format = "snibbles" + digits;
                    value = whole(-Math.pow(16, digits) / 2, Math.pow(16, digits) / 2 - 1);
                }
                case 6 -> {
                    int even = 2 * (1 + digits / 2);
                    format = "bcd" + even;
                    value = whole(0, Math.pow(10, even) - 1);
                }
                default -> {
                    format = "text" + digits;
                    value = Value.of(letters(random.nextInt(digits + 1)));
                }
            }
            if (hex && random.nextInt(6) == 0) {
                format = "nibble";
                value = whole(0, 15);
                template.append(random.nextBoolean() ? "5{" + name + ":nibble}" : "{" + name + ":nibble}c");
            } else {
                template.append('{').append(name).append(':').append(format).append('}');
            }
            values.put(name, value);
            expected.put(name, value);
        }

        private Value whole(double min, double max) {
            return Value.of(switch (random.nextInt(5)) {
                case 0 -> min;
                case 1 -> max;
                default -> Math.rint(random.nextDouble(min, max));
            });
        }

        private String letters(int count) {
            StringBuilder s = new StringBuilder();
            for (int i = 0; i < count; i++) {
                s.append("abcXYZ0189-. _\"'".charAt(random.nextInt(i == count - 1 ? 10 : 16)));
            }
            return s.toString();
        }
    }
}
