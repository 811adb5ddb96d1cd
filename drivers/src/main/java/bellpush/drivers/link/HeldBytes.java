package bellpush.drivers.link;

import java.util.Arrays;

/** The beginning of a message whose end has not arrived. Grows as needed, never beyond its limit. */
final class HeldBytes {
    private static final int FIRST_SIZE = 256;

    private final int max;
    private byte[] bytes;
    private int size;

    HeldBytes(int max) {
        this.max = max;
        this.bytes = new byte[Math.min(max, FIRST_SIZE)];
    }

    /** False, and nothing changes, if it is full. */
    boolean add(byte b) {
        if (size == max) {
            return false;
        }
        if (size == bytes.length) {
            bytes = Arrays.copyOf(bytes, (int) Math.min(max, bytes.length * 2L));
        }
        bytes[size++] = b;
        return true;
    }

    int size() {
        return size;
    }

    boolean endsWith(byte[] end) {
        return size >= end.length && Arrays.equals(bytes, size - end.length, size, end, 0, end.length);
    }

    /** The first {@code length} bytes. */
    byte[] first(int length) {
        return Arrays.copyOf(bytes, length);
    }

    void clear() {
        size = 0;
    }

    /** Keeps only the last {@code count} bytes. */
    void keepLast(int count) {
        System.arraycopy(bytes, size - count, bytes, 0, count);
        size = count;
    }
}
