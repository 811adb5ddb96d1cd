package bellpush.config.wire;

/**
 * The checksums that templates know. The three CRCs are, in the terms of the Rocksoft parameter model: polynomial 8005 reflected,
 * init FFFF (MODBUS); polynomial 1021, init FFFF (CCITT as most makers of gear mean it); polynomial 1021, init 0 (XMODEM);
 * no final inversion in any of them.
 */
public enum Checksum {
    /** Exclusive or of all bytes. */
    XOR("xor", 1),
    /** The sum of all bytes, its lowest 8 bits. */
    SUM8("sum8", 1),
    /** Sent low byte first. */
    CRC16_MODBUS("crc16-modbus", 2),
    /** Sent high byte first. */
    CRC16_CCITT("crc16-ccitt", 2),
    /** Sent high byte first. */
    CRC16_XMODEM("crc16-xmodem", 2);

    private final String word;
    private final int width;

    Checksum(String word, int width) {
        this.word = word;
        this.width = width;
    }

    /** How templates call it. */
    public String word() {
        return word;
    }

    /** Bytes it takes in a message. */
    public int width() {
        return width;
    }

    /** The checksum's bytes, as sent, packed into one number with the first byte sent highest. */
    int over(byte[] bytes, int from, int to) {
        return switch (this) {
            case XOR -> {
                int x = 0;
                for (int i = from; i < to; i++) {
                    x ^= bytes[i];
                }
                yield x & 0xff;
            }
            case SUM8 -> {
                int sum = 0;
                for (int i = from; i < to; i++) {
                    sum += bytes[i];
                }
                yield sum & 0xff;
            }
            case CRC16_MODBUS -> {
                int crc = lowBitFirst(bytes, from, to);
                yield (crc & 0xff) << 8 | crc >> 8;
            }
            case CRC16_CCITT -> highBitFirst(bytes, from, to, 0xffff);
            case CRC16_XMODEM -> highBitFirst(bytes, from, to, 0);
        };
    }

    private static int lowBitFirst(byte[] bytes, int from, int to) {
        int crc = 0xffff;
        for (int i = from; i < to; i++) {
            crc ^= bytes[i] & 0xff;
            for (int bit = 0; bit < 8; bit++) {
                crc = (crc & 1) != 0 ? crc >> 1 ^ 0xa001 : crc >> 1; // a001 is 8005 with its bits turned round
            }
        }
        return crc;
    }

    private static int highBitFirst(byte[] bytes, int from, int to, int init) {
        int crc = init;
        for (int i = from; i < to; i++) {
            crc ^= (bytes[i] & 0xff) << 8;
            for (int bit = 0; bit < 8; bit++) {
                crc = ((crc & 0x8000) != 0 ? crc << 1 ^ 0x1021 : crc << 1) & 0xffff;
            }
        }
        return crc;
    }
}
