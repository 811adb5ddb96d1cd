package bellpush.runtime.panel.bus;

/** The buses of this board, by the kernel's device files. */
public final class LinuxBuses implements Buses {
    @Override
    public I2cDevice i2c(int bus, int address) {
        return new LinuxI2c("/dev/i2c-" + bus, address);
    }

    @Override
    public SpiDevice spi(int bus, int select, int hertz) {
        return new LinuxSpi("/dev/spidev" + bus + "." + select, hertz);
    }
}
