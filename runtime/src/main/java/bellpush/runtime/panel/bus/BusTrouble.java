package bellpush.runtime.panel.bus;

import java.util.Locale;

/**
 * The kernel's error numbers as sentences. What they mean on I2C: kernel documentation, <i>I2C/SMBUS Fault Codes</i>; the numbers
 * are those of {@code asm-generic/errno.h}, which x86, ARM and RISC-V share.
 */
final class BusTrouble {
    static final int ENOENT = 2;
    static final int EIO = 5;
    static final int ENXIO = 6;
    static final int EAGAIN = 11;
    static final int EACCES = 13;
    static final int EBUSY = 16;
    static final int ENODEV = 19;
    static final int ENOTTY = 25;
    static final int EMSGSIZE = 90;
    static final int EOPNOTSUPP = 95;
    static final int ETIMEDOUT = 110;
    static final int EREMOTEIO = 121;

    private static final String POWER_OFF = " Switch the board off before you touch a wire.";

    private BusTrouble() {}

    /** @param file such as {@code /dev/i2c-1} @param errno of a transfer, or of opening the bus */
    static BusException i2c(String file, int address, int errno) {
        String chip = String.format(Locale.ROOT, "the chip at address 0x%02x of %s", address, file);
        return new BusException(switch (errno) {
            case ENOENT, ENODEV ->
                "There is no bus " + file + ": enable I2C in the board's settings and start the board again.";
            case EACCES -> "You may not use " + file + ": sudo usermod -aG i2c $USER, then log in again.";
            // Nobody acknowledges: adapters of different makes say it in different numbers.
            case ENXIO, EREMOTEIO, EIO -> noAnswer(chip);
            case ETIMEDOUT ->
                "The bus " + file + " hangs: a wire of it is held to ground, or a chip on it has lost its power. "
                        + "Check the wires of SDA and SCL." + POWER_OFF;
            case EAGAIN ->
                "The bus " + file + " is disturbed by another master or by noise: make its wires shorter, and keep "
                        + "them away from others.";
            case EBUSY -> "A driver of the kernel holds " + chip
                    + ": take the overlay that names it out of the board's settings.";
            case ENOTTY, EOPNOTSUPP -> file + " is no I2C bus that carries plain transfers.";
            default -> "A transfer to " + chip + " failed with error " + errno + ".";
        });
    }

    private static String noAnswer(String chip) {
        return "No answer from " + chip + ": check the address pins, the supply and the wires SDA and SCL." + POWER_OFF;
    }

    /** @param file such as {@code /dev/spidev0.1} @param bytes the transfer's length */
    static BusException spi(String file, int bytes, int errno) {
        return new BusException(switch (errno) {
            case ENOENT, ENXIO, ENODEV -> "There is no " + file
                    + ": enable SPI in the board's settings (for a second or third select line also its overlay) and start the "
                    + "board again.";
            case EACCES -> "You may not use " + file + ": sudo usermod -aG spi $USER, then log in again.";
            case EBUSY -> "Another program or a driver of the kernel holds " + file + ".";
            case EMSGSIZE -> "A transfer of " + bytes + " bytes is longer than " + file
                    + " takes in one go: add spidev.bufsiz=65536 to the kernel's command line, or declare a shorter strip.";
            case ENOTTY -> file + " is no SPI device.";
            case ETIMEDOUT -> "The bus of " + file + " does not end a transfer (timed out). Start the board again.";
            default -> "A transfer on " + file + " failed with error " + errno + ".";
        });
    }
}
