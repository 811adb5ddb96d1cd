package bellpush.runtime.kit;

import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.IntStream;

/**
 * The 40-pin header. Position 1 is the corner with the square pad; odd positions are one row, even ones the other.
 * Source of the positions: Raspberry Pi documentation, <i>GPIO on Raspberry Pi</i>; Zephyr binding {@code raspberrypi-40pins-header}.
 * The second jobs of GPIO 14 and 15, and what pulls at power-on, are from memory.
 */
final class Header {
    static final int POSITIONS = 40;

    /** What a position of the header carries. */
    sealed interface Contact {
        /** As it stands in a table. */
        String words();
    }

    /** @param number BCM number */
    record Gpio(int number) implements Contact {
        @Override
        public String words() {
            return "GPIO " + number;
        }
    }

    enum Supply implements Contact {
        THREE_VOLT_THREE("3.3 V"), FIVE_VOLT("5 V"), GROUND("ground");

        private final String words;

        Supply(String words) {
            this.words = words;
        }

        @Override
        public String words() {
            return words;
        }
    }

    /** Something else that a GPIO may be wanted for. */
    enum SecondJob {
        RESERVED("reserved for an add-on board's identification chip"), I2C(
                "I2C bus 1, with a fixed pull-up of 1.8 kΩ"), SPI(
                        "SPI bus 0"), SERIAL("serial console"), PCM("PCM sound");

        private final String words;

        SecondJob(String words) {
            this.words = words;
        }

        String words() {
            return words;
        }
    }

    /** BCM number of position 1, 2, …, 40; the others as below. */
    private static final int V33 = -1, V5 = -2, GND = -3;
    private static final int[] MAP = {V33, V5, 2, V5, 3, GND, 4, 14, GND, 15, 17, 18, 27, GND, 22, 23, V33, 24, 10, GND,
        9,
        25, 11, 8, GND, 7, 0, 1, 5, GND, 6, 12, 13, GND, 19, 16, 26, 20, GND, 21};

    private Header() {}

    /** @param position 1 to 40 */
    static Contact at(int position) {
        return switch (MAP[position - 1]) {
            case V33 -> Supply.THREE_VOLT_THREE;
            case V5 -> Supply.FIVE_VOLT;
            case GND -> Supply.GROUND;
            default -> new Gpio(MAP[position - 1]);
        };
    }

    /** The position of a GPIO. @param gpio BCM number, 0 to 27 */
    static int positionOf(int gpio) {
        for (int position = 1; position <= POSITIONS; position++) {
            if (MAP[position - 1] == gpio && gpio >= 0) {
                return position;
            }
        }
        throw new IllegalArgumentException("GPIO " + gpio + " is not on the header");
    }

    static List<Integer> positions(Predicate<Contact> wanted) {
        return IntStream.rangeClosed(1, POSITIONS).filter(position -> wanted.test(at(position))).boxed().toList();
    }

    /** The position of that supply with the shortest way from another position. The lower one, where two are as near. */
    static int nearest(Supply supply, int position) {
        return positions(supply::equals).stream()
                .min(Comparator.comparingInt((Integer p) -> distance(p, position)).thenComparing(p -> p)).orElseThrow();
    }

    /** In steps of the header's grid, squared. */
    private static int distance(int one, int other) {
        int along = (one - 1) / 2 - (other - 1) / 2;
        int across = (one - 1) % 2 - (other - 1) % 2;
        return along * along + across * across;
    }

    /** What else the GPIO may be wanted for; empty: nothing. */
    static Optional<SecondJob> secondJob(int gpio) {
        return Optional.ofNullable(switch (gpio) {
            case 0, 1 -> SecondJob.RESERVED;
            case 2, 3 -> SecondJob.I2C;
            case 7, 8, 9, 10, 11 -> SecondJob.SPI;
            case 14, 15 -> SecondJob.SERIAL;
            case 18, 19, 20, 21 -> SecondJob.PCM;
            default -> null;
        });
    }

    /** GPIO 3 pulled low wakes a halted board. */
    static boolean wakesTheBoard(int gpio) {
        return gpio == 3;
    }
}
