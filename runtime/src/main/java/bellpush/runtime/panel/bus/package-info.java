/**
 * Chips behind the board's I2C and SPI buses, byte by byte: through the kernel's {@code /dev/i2c-N} and {@code /dev/spidevB.S}, with
 * the JDK's foreign-function API.
 */
package bellpush.runtime.panel.bus;
