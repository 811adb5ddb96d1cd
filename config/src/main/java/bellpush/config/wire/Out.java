package bellpush.config.wire;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;

/** Bytes being written. If the size was foreseen exactly, {@link #bytes()} hands out the array without a copy. */
final class Out {
    private static final byte[] UPPER = "0123456789ABCDEF".getBytes(StandardCharsets.US_ASCII);
    private byte[] bytes;
    private int size;

    Out(int expected) {
        bytes = new byte[expected];
    }

    int size() {
        return size;
    }

    byte[] bytes() {
        return size == bytes.length ? bytes : Arrays.copyOf(bytes, size);
    }

    /** The array itself, valid up to {@link #size()} and until the next write. */
    byte[] raw() {
        return bytes;
    }

    void put(int b) {
        room(1);
        bytes[size++] = (byte) b;
    }

    void put(byte[] b) {
        room(b.length);
        System.arraycopy(b, 0, bytes, size, b.length);
        size += b.length;
    }

    void fill(int count, int b) {
        room(count);
        Arrays.fill(bytes, size, size + count, (byte) b);
        size += count;
    }

    /** The lowest {@code count} bytes of {@code n}. */
    void integer(long n, int count, boolean little) {
        room(count);
        for (int i = 0; i < count; i++) {
            bytes[size++] = (byte) (n >> 8 * (little ? i : count - 1 - i));
        }
    }

    /** {@code count} ASCII decimal digits, zero-padded. {@code n} is not negative and fits. */
    void decimals(long n, int count) {
        room(count);
        for (int i = size + count - 1; i >= size; i--) {
            long tenth = n / 10;
            bytes[i] = (byte) ('0' + n - 10 * tenth);
            n = tenth;
        }
        size += count;
    }

    /** {@code count} ASCII hex digits in upper case, zero-padded. {@code n} is not negative and fits. */
    void hexes(long n, int count) {
        room(count);
        for (int shift = 4 * (count - 1); shift >= 0; shift -= 4) {
            bytes[size++] = UPPER[(int) (n >> shift) & 0xf];
        }
    }

    /** As many decimal digits as it takes. */
    void decimal(long n) {
        if (n < 0) {
            put('-');
            n = -n; // callers stay within 2^53
        }
        int count = 1;
        for (long rest = n / 10; rest > 0; rest /= 10) {
            count++;
        }
        decimals(n, count);
    }

    /** UTF-8; returns false, with nothing written, if the text holds half a surrogate pair. */
    boolean text(String text) {
        int length = text.length();
        room(length);
        for (int i = 0; i < length; i++) {
            char c = text.charAt(i);
            if (c >= 0x80) {
                return beyondAscii(text);
            }
            bytes[size + i] = (byte) c;
        }
        size += length;
        return true;
    }

    private boolean beyondAscii(String text) {
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (Character.isHighSurrogate(c) && i + 1 < text.length() && Character.isLowSurrogate(text.charAt(i + 1))) {
                i++;
            } else if (Character.isSurrogate(c)) {
                return false;
            }
        }
        put(text.getBytes(StandardCharsets.UTF_8));
        return true;
    }

    /** Makes room for {@code inserted} at {@code at}; what stood there moves towards the end. */
    void insert(int at, byte[] inserted) {
        room(inserted.length);
        System.arraycopy(bytes, at, bytes, at + inserted.length, size - at);
        System.arraycopy(inserted, 0, bytes, at, inserted.length);
        size += inserted.length;
    }

    /** Writes {@code b} over what stands at {@code at}. */
    void over(int at, byte[] b) {
        System.arraycopy(b, 0, bytes, at, b.length);
    }

    private void room(int more) {
        if (bytes.length - size < more) {
            bytes = Arrays.copyOf(bytes, Math.max(size + more, bytes.length * 2));
        }
    }
}
