package bellpush.runtime.panel.bus;

/** The board's buses. A bus is opened by the first transfer, and again after an error: a bus may come later than the panel. */
public interface Buses {
    /** @param address 7 bits */
    I2cDevice i2c(int bus, int address);

    /** Mode 0, eight bits, most significant bit first. @param hertz the fastest clock that the chip stands */
    SpiDevice spi(int bus, int select, int hertz);
}
