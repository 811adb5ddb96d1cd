/**
 * Chips behind the board's I2C and SPI buses, byte by byte: through the kernel's {@code /dev/i2c-N} and {@code /dev/spidevB.S}, with
 * the JDK's foreign-function API.
 * <p>
 * Not through Pi4J 3.0.3's linuxfs plugin, whose sources say why: on I2C it notes a chip's address as selected before the kernel has
 * accepted it, so that after a refusal the next transfer goes to the chip spoken to before; on SPI the error number is lost,
 * only sets mode bits and never clears them, and a write leaves the select line asserted; both need native libraries (for two kinds of
 * processor only) unpacked to a temporary folder.
 */
package bellpush.runtime.panel.bus;
