package bellpush.config.model;

import java.util.OptionalInt;

/** Where the lead of a control or a lamp goes. */
public sealed interface Pin {
    /** As it is written in panel.json, without quotation marks. */
    String written();

    /** A pin of the board's 40-pin header. @param number its BCM number, 2 to 27 */
    record Gpio(int number) implements Pin {
        /**
         * Which of the board's two pulse-width channels comes out here; pins of one channel always have the same brightness. Empty:
         * none does. GPIO 12 and 18 are one channel, 13 and 19 the other (BCM2835 to 2711; from memory).
         */
        public OptionalInt pulseChannel() {
            return switch (number) {
                case 12, 18 -> OptionalInt.of(0);
                case 13, 19 -> OptionalInt.of(1);
                default -> OptionalInt.empty();
            };
        }

        @Override
        public String written() {
            return Integer.toString(number);
        }
    }

    /**
     * A pin of a chip that panel.json declares.
     *
     * @param chip  the chip's name
     * @param pin   the pin as written after the dot: {@code a3} of an expander, {@code 1.3} (row and column) of a matrix,
     *              {@code 0} of a converter, {@code 1} (the first) of a strip
     * @param index the pin counted from 0; of an expander a0 to a7 are 0 to 7 and b0 to b7 are 8 to 15; of a matrix row by row
     */
    record OfChip(String chip, String pin, int index) implements Pin {
        @Override
        public String written() {
            return chip + "." + pin;
        }
    }
}
