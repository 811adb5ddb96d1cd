package bellpush.runtime.panel.chips;

import java.util.List;

/** How a strip of addressable lamps is told its colours, as bytes for SPI. */
enum StripCode {
    /**
     * One data line, 800 000 bits a second, each bit a pulse: short for 0, long for 1, sent as three bits of SPI at 2.4 MHz, 100 or
     * 110 (0.42 and 0.83 µs high of 1.25 µs). A silence of 300 µs or more ends it. From memory: parts differ a little, and
     * these times lie within what the common ones take.
     */
    ONE_WIRE(2_400_000) {
        @Override
        byte[] encode(List<Rgb> lamps, String order) {
            Bits bits = new Bits(2 * SILENCE_BYTES + lamps.size() * 9);
            bits.zeros(SILENCE_BYTES * 8); // the line may have idled high
            for (Rgb lamp : lamps) {
                for (char colour : order.toCharArray()) {
                    int value = eightBits(lamp.part(colour));
                    for (int bit = 7; bit >= 0; bit--) {
                        bits.put((value >> bit & 1) == 0 ? 0b100 : 0b110, 3);
                    }
                }
            }
            return bits.bytes();
        }
    },
    /**
     * Data and clock line: 32 zeros, then for each lamp 111 and five bits of brightness (always full) and one byte for each colour,
     * then at least half as many bits as there are lamps, since every lamp delays the data by half a clock. From memory.
     */
    CLOCKED(4_000_000) {
        @Override
        byte[] encode(List<Rgb> lamps, String order) {
            int ending = 4 + (lamps.size() + 15) / 16;
            Bits bits = new Bits(4 + lamps.size() * 4 + ending);
            bits.zeros(32);
            for (Rgb lamp : lamps) {
                bits.put(0xff, 8);
                for (char colour : order.toCharArray()) {
                    bits.put(eightBits(lamp.part(colour)), 8);
                }
            }
            return bits.bytes(); // the ending is zeros: ones would light a lamp more than there should be
        }
    };

    /** 300 µs and a little at 2.4 MHz. */
    static final int SILENCE_BYTES = 96;

    private final int hertz;

    StripCode(int hertz) {
        this.hertz = hertz;
    }

    int hertz() {
        return hertz;
    }

    /** @param order a permutation of {@code rgb} */
    abstract byte[] encode(List<Rgb> lamps, String order);

    private static int eightBits(double share) {
        return (int) Math.round(Math.clamp(share, 0, 1) * 255);
    }

    /** Most significant bit first. */
    private static final class Bits {
        private final byte[] bytes;
        private int at;

        Bits(int count) {
            bytes = new byte[count];
        }

        void zeros(int count) {
            at += count;
        }

        void put(int value, int count) {
            for (int bit = count - 1; bit >= 0; bit--, at++) {
                bytes[at / 8] |= (byte) ((value >> bit & 1) << 7 - at % 8);
            }
        }

        byte[] bytes() {
            return bytes;
        }
    }
}
