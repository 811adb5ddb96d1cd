package bellpush.runtime.panel.bus;

import bellpush.runtime.panel.kernel.Kernel;
import bellpush.runtime.panel.kernel.LinuxKernel;

/** The buses of this board, by the kernel's device files. */
public final class LinuxBuses implements Buses {
    private Kernel kernel;

    /** Made only where a panel has something behind a bus, since that takes time. */
    private synchronized Kernel kernel() {
        if (kernel == null) {
            kernel = new LinuxKernel();
        }
        return kernel;
    }

    @Override
    public I2cDevice i2c(int bus, int address) {
        return new LinuxI2c(kernel(), "/dev/i2c-" + bus, address);
    }

    @Override
    public SpiDevice spi(int bus, int select, int hertz) {
        return new LinuxSpi(kernel(), "/dev/spidev" + bus + "." + select, hertz);
    }
}
