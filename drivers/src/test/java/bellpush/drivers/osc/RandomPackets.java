package bellpush.drivers.osc;

import java.util.ArrayList;
import java.util.List;
import java.util.Random;

/** Valid packets of every sort, the same for the same seed. */
final class RandomPackets {
    private static final String NAMES = "abcdefghijklmnopqrstuvwxyzABCDEFXYZ0123456789_-.:~!$%&()+;<=>@^|`'\"\\";
    private static final int[] BEYOND_ASCII = "äßé€日🎶x".codePoints().toArray();
    private final Random random;

    RandomPackets(long seed) {
        random = new Random(seed);
    }

    OscPacket packet() {
        return random.nextInt(3) == 0 ? bundle(1, 1) : message();
    }

    OscBundle bundle(int depth, long notBefore) {
        long time = random.nextInt(3) == 0 ? notBefore : Math.max(notBefore, 1) + random.nextInt(1_000_000_000);
        List<OscPacket> elements = new ArrayList<>();
        for (int n = random.nextInt(5); n > 0; n--) {
            elements.add(depth < OscLimits.DEPTH && random.nextInt(3) == 0 ? bundle(depth + 1, time) : message());
        }
        return new OscBundle(new OscTimeTag(time), elements);
    }

    OscMessage message() {
        StringBuilder address = new StringBuilder();
        for (int parts = 1 + random.nextInt(4); parts > 0; parts--) {
            address.append('/');
            for (int n = 1 + random.nextInt(9); n > 0; n--) {
                address.append(NAMES.charAt(random.nextInt(NAMES.length())));
            }
        }
        return new OscMessage(address.toString(), values(random.nextInt(9), 1));
    }

    private List<OscValue> values(int count, int depth) {
        List<OscValue> values = new ArrayList<>();
        for (int n = 0; n < count; n++) {
            values.add(value(depth));
        }
        return values;
    }

    private OscValue value(int depth) {
        return switch (random.nextInt(depth < OscLimits.DEPTH ? 15 : 14)) {
            case 0 -> new OscValue.Int32(random.nextInt());
            case 1 -> new OscValue.Float32(Float.intBitsToFloat(random.nextInt() & 0xbfff_ffff)); // finite
            case 2 -> new OscValue.Text(text());
            case 3 -> new OscValue.Blob(bytes(random.nextInt(20)));
            case 4 -> new OscValue.Int64(random.nextLong());
            case 5 -> new OscValue.Time(new OscTimeTag(random.nextInt(4) == 0 ? 1 : random.nextLong()));
            case 6 -> new OscValue.Float64(random.nextGaussian() * Math.pow(10, random.nextInt(-30, 30)));
            case 7 -> new OscValue.Symbol(text());
            case 8 -> new OscValue.Char(' ' + random.nextInt(95));
            case 9 -> new OscValue.Colour(random.nextInt());
            case 10 -> new OscValue.Midi(random.nextInt());
            case 11 -> OscValue.Flag.of(random.nextBoolean());
            case 12 -> OscValue.Nil.NIL;
            case 13 -> OscValue.Impulse.IMPULSE;
            default -> new OscValue.Array(values(random.nextInt(4), depth + 1));
        };
    }

    private String text() {
        StringBuilder text = new StringBuilder();
        boolean ascii = random.nextInt(3) > 0;
        for (int n = random.nextInt(20); n > 0; n--) {
            text.appendCodePoint(
                    ascii ? ' ' + random.nextInt(95) : BEYOND_ASCII[random.nextInt(BEYOND_ASCII.length)]);
        }
        return text.toString();
    }

    byte[] bytes(int count) {
        byte[] bytes = new byte[count];
        random.nextBytes(bytes);
        return bytes;
    }
}
