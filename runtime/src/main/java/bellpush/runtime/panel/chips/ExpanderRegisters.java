package bellpush.runtime.panel.chips;

import bellpush.runtime.panel.bus.BusException;
import bellpush.runtime.panel.bus.I2cDevice;
import bellpush.runtime.panel.bus.SpiDevice;

/**
 * The registers of an MCP23017 or MCP23S17, with IOCON.BANK = 0: A and B side by side, so that both ports go in one transfer.
 * Source: Microchip DS20001952C (2016), Table 3-5.
 */
sealed interface ExpanderRegisters {
    int IODIR = 0x00;
    int GPINTEN = 0x04;
    int IOCON = 0x0a;
    int OLAT = 0x14;
    /** Where port B's interrupt enable is, and with BANK = 1 the configuration. */
    int GPINTEN_B = 0x05;

    /** Both interrupt outputs together; open drain, so that a chip on 5 V cannot hurt a pin of 3.3 V, and chips can share a line. */
    int MIRROR = 0x40;
    int HAEN = 0x08;
    int OPEN_DRAIN = 0x04;

    byte[] read(int register, int count) throws BusException;

    void write(int register, int... values) throws BusException;

    /** What the configuration register is set to. */
    int configuration();

    /** Before all others: makes the chip, whatever state it is in, listen to its address and put its registers in our order. */
    void reach() throws BusException;

    void close();

    record I2c(I2cDevice device) implements ExpanderRegisters {
        @Override
        public byte[] read(int register, int count) throws BusException {
            return device.writeRead(new byte[]{(byte) register}, count);
        }

        @Override
        public void write(int register, int... values) throws BusException {
            byte[] bytes = new byte[1 + values.length];
            bytes[0] = (byte) register;
            put(values, bytes, 1);
            device.write(bytes);
        }

        @Override
        public int configuration() {
            return MIRROR | OPEN_DRAIN;
        }

        @Override
        public void reach() throws BusException {
            // With BANK = 1 this clears BANK. With BANK = 0 it switches off port B's interrupts, which are set later.
            write(GPINTEN_B, 0);
            write(IOCON, configuration());
        }

        @Override
        public void close() {
            device.close();
        }
    }

    /** @param address 0x20 to 0x27 */
    record Spi(SpiDevice device, int address) implements ExpanderRegisters {
        private static final int ALL = 0x20;

        @Override
        public byte[] read(int register, int count) throws BusException {
            byte[] bytes = new byte[2 + count];
            bytes[0] = (byte) (address << 1 | 1);
            bytes[1] = (byte) register;
            byte[] answer = device.transfer(bytes);
            return java.util.Arrays.copyOfRange(answer, 2, answer.length);
        }

        @Override
        public void write(int register, int... values) throws BusException {
            send(address, register, values);
        }

        private void send(int to, int register, int... values) throws BusException {
            byte[] bytes = new byte[2 + values.length];
            bytes[0] = (byte) (to << 1);
            bytes[1] = (byte) register;
            put(values, bytes, 2);
            device.transfer(bytes);
        }

        @Override
        public int configuration() {
            return MIRROR | OPEN_DRAIN | HAEN;
        }

        @Override
        public void reach() throws BusException {
            // A chip that was just switched on does not look at its address pins and listens to 0x20 (HAEN = 0). One that has
            // that address is told only what it is set to anyway.
            send(ALL, IOCON, configuration());
            write(GPINTEN_B, 0);
            write(IOCON, configuration());
        }

        @Override
        public void close() {
            device.close();
        }
    }

    private static void put(int[] values, byte[] bytes, int at) {
        for (int i = 0; i < values.length; i++) {
            bytes[at + i] = (byte) values[i];
        }
    }
}
