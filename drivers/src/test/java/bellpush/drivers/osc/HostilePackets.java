package bellpush.drivers.osc;

import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Random;

/** Bytes that no honest sender sends, the same for the same seed: noise, damage, lies about sizes, deep nesting. */
final class HostilePackets {
    private final Random random;
    private final RandomPackets valid;

    HostilePackets(long seed) {
        random = new Random(seed);
        valid = new RandomPackets(seed + 1);
    }

    byte[] next() {
        return switch (random.nextInt(8)) {
            case 0 -> valid.bytes(random.nextInt(200));
            case 1 -> headed(valid.bytes(random.nextInt(50) * 4), "/a\0\0,");
            case 2 -> headed(valid.bytes(16 + random.nextInt(50) * 4), "#bundle\0");
            case 3 -> truncated(OscEncoder.encode(valid.packet()));
            case 4, 5 -> flipped(OscEncoder.encode(valid.packet()));
            case 6 -> lied(OscEncoder.encode(valid.bundle(1, 1)));
            default -> deep();
        };
    }

    private static byte[] headed(byte[] bytes, String head) {
        byte[] start = head.getBytes(StandardCharsets.US_ASCII);
        System.arraycopy(start, 0, bytes, 0, Math.min(start.length, bytes.length));
        return bytes;
    }

    private byte[] truncated(byte[] bytes) {
        int length = random.nextInt(bytes.length);
        return Arrays.copyOf(bytes, random.nextBoolean() ? length & ~3 : length);
    }

    private byte[] flipped(byte[] bytes) {
        for (int n = 1 + random.nextInt(4); n > 0; n--) {
            bytes[random.nextInt(bytes.length)] ^= (byte) (1 << random.nextInt(8));
        }
        return bytes;
    }

    /** A huge, negative or slightly wrong size somewhere on a multiple of 4. */
    private byte[] lied(byte[] bytes) {
        int at = random.nextInt(bytes.length / 4) * 4;
        int[] sizes = {Integer.MAX_VALUE, Integer.MIN_VALUE, -1, -4, 0x7ffffffc, bytes.length, bytes.length - at,
            random.nextInt(64)};
        ByteBuffer.wrap(bytes).putInt(at, sizes[random.nextInt(sizes.length)]);
        return bytes;
    }

    private byte[] deep() {
        int depth = 1 + random.nextInt(200);
        if (random.nextBoolean()) {
            String text = "/a\0\0," + "[".repeat(depth) + "]".repeat(depth - random.nextInt(2)) + "\0\0\0\0";
            return Arrays.copyOf(text.getBytes(StandardCharsets.US_ASCII), text.length() & ~3);
        }
        ByteBuffer bytes = ByteBuffer.allocate(depth * 20 + 16);
        for (int n = 0; n < depth; n++) {
            bytes.put("#bundle\0".getBytes(StandardCharsets.US_ASCII)).putLong(1).putInt(bytes.remaining() - 4);
        }
        return bytes.put("#bundle\0".getBytes(StandardCharsets.US_ASCII)).putLong(1).array();
    }
}
