package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.SpiDevice;

/**
 * An MCP3008 bit by bit. Source: Microchip DS21295D (2008), §5.0, Figure 5-1: nothing happens before the start bit; then single or
 * differential, D2 D1 D0; one clock to sample; a null bit; ten bits, most significant first; then the same from the least
 * significant one on; then zeros.
 */
final class FakeMcp3008 implements SpiDevice {
    private final World world;
    private final int[] codes = new int[8];
    /** What the data line shows while the chip does not drive it. */
    private boolean idle = true;
    private boolean present = true;

    FakeMcp3008(World world) {
        this.world = world;
    }

    void set(int channel, int code) {
        codes[channel] = code;
    }

    void idle(boolean level) {
        idle = level;
    }

    void connected(boolean yes) {
        present = yes;
    }

    @Override
    public byte[] transfer(byte... bytes) {
        byte[] answer = new byte[bytes.length];
        int since = -1; // clocks since the start bit
        int command = 0;
        for (int i = 0; i < bytes.length * 8; i++) {
            boolean in = (bytes[i / 8] >> 7 - i % 8 & 1) != 0;
            if (since >= 0 || in) {
                since++;
            }
            if (since >= 1 && since <= 4) {
                command = command << 1 | (in ? 1 : 0);
            }
            boolean out = since < 6 || !present ? idle : bit(command, since);
            answer[i / 8] |= (byte) ((out ? 1 : 0) << 7 - i % 8);
        }
        world.pass(bytes.length * World.SPI_BYTE_NANOS);
        return answer;
    }

    private boolean bit(int command, int since) {
        int channel = command & 7;
        boolean single = command >> 3 == 1;
        // Table 5-2: the other input of a pair is the negative one.
        int code = single ? codes[channel] : Math.max(0, codes[channel] - codes[channel ^ 1]);
        if (since == 6) {
            return false;
        }
        if (since <= 16) {
            return (code >> 16 - since & 1) != 0;
        }
        return since <= 25 && (code >> since - 16 & 1) != 0;
    }

    @Override
    public void close() {}
}
