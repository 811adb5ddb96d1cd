package bellpush.runtime.kit;

import bellpush.config.model.Chip;
import bellpush.config.model.Chip.Bus;
import bellpush.config.model.Pin;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;

/**
 * How the chips themselves are wired. Numbers of pins are those of the DIP packages in the data sheets, from memory (MCP23017 and
 * MCP23S17: DS20001952, 28 pins; MCP3008: DS21295, 16 pins): compare them with the data sheet of the part in hand. An
 * ADS1115 comes on a carrier board whose order of pins differs, so only names are given.
 */
final class ChipLeads {
    static final String CAPACITOR = "100 nF";

    private final Chip chip;
    private final List<Lead> leads;
    private final List<Row> supply = new ArrayList<>();
    private final List<Row> header = new ArrayList<>();
    private final List<String> advice = new ArrayList<>();

    private ChipLeads(Chip chip, List<Lead> leads) {
        this.chip = chip;
        this.leads = leads;
    }

    /**
     * @param table  for the chip
     * @param header the same leads as the header sees them
     */
    record Wired(ChipTable table, List<Row> header) {}

    /** @param leads of the whole panel */
    static Wired of(Chip chip, List<Lead> leads) {
        return new ChipLeads(chip, leads.stream()
                .filter(lead -> lead.pin() instanceof Pin.OfChip(String name, _, _) && name.equals(chip.name()))
                .toList())
                .wired();
    }

    private Wired wired() {
        ChipTable table = switch (chip) {
            case Chip.Expander expander -> expander(expander);
            case Chip.Converter converter -> converter(converter);
            case Chip.Matrix matrix -> matrix(matrix);
            case Chip.Strip strip -> strip(strip);
        };
        return new Wired(table, List.copyOf(header));
    }

    // ---- expanders -----------------------------------------------------------------------------------------------

    private ChipTable expander(Chip.Expander expander) {
        boolean i2c = expander.bus() instanceof Bus.I2c;
        power(9, "VDD");
        ground(10, "VSS");
        switch (expander.bus()) {
            case Bus.I2c bus -> i2c(bus, 13, "SDA", 12, "SCL");
            case Bus.Spi bus -> spi(bus, 12, "SCK", 13, "SI", 14, "SO", 11, "CS");
        }
        for (int bit = 0; bit < 3; bit++) {
            boolean high = (expander.address() >> bit & 1) == 1;
            level(15 + bit, "A" + bit, high, "address 0x" + Integer.toHexString(expander.address()));
        }
        level(18, "RESET", true, "never leave it open");
        expander.interrupt().ifPresent(pin -> signal(20, "INTA", LeadColour.GREY, pin.number(), "interrupt"));
        advice.add((expander.interrupt().isPresent()
                ? "INTB stays free: INTA tells of both halves."
                : "INTA and INTB stay free: the chip is read again and again, which costs power and time.")
                + " Put " + CAPACITOR + " from VDD to VSS, close to the chip."
                + " The chip's ground: one black lead from VSS, from part to part."
                + (i2c
                        ? " Keep the leads of SDA and SCL shorter than half a metre (common practice, no source)."
                        : ""));
        List<Row> pins = new ArrayList<>();
        for (Lead lead : sorted()) {
            Pin.OfChip pin = (Pin.OfChip) lead.pin();
            int number = pin.index() < 8 ? 21 + pin.index() : pin.index() - 7;
            pins.add(row(number, "GP" + pin.pin().toUpperCase(Locale.ROOT), lead));
        }
        return new ChipTable(chip.name(), (i2c ? "MCP23017" : "MCP23S17") + ", 16 pins more",
                where(expander.bus(), expander.address()),
                supply, pins, advice);
    }

    // ---- converters ----------------------------------------------------------------------------------------------

    private ChipTable converter(Chip.Converter converter) {
        List<Row> pins = new ArrayList<>();
        return switch (converter.model()) {
            case MCP3008 -> {
                power(16, "VDD");
                supply.add(new Row(15, "VREF", "", "", LeadColour.RED.word(), "", "3.3 V, never 5 V"));
                ground(14, "AGND");
                ground(9, "DGND");
                if (converter.bus() instanceof Bus.Spi bus) {
                    spi(bus, 13, "CLK", 11, "DIN", 12, "DOUT", 10, "CS");
                }
                advice.add("The ends of each fader and joystick go to the same 3.3 V and ground as VREF and AGND. Put "
                        + CAPACITOR
                        + " from VDD to DGND, close to the chip; inputs that are not used go to ground.");
                sorted().forEach(lead -> pins.add(row(((Pin.OfChip) lead.pin()).index() + 1,
                        "CH" + ((Pin.OfChip) lead.pin()).pin(), lead)));
                yield new ChipTable(chip.name(), "MCP3008, 8 voltages", converter.bus().written(), supply, pins,
                        advice);
            }
            case ADS1115 -> {
                power(0, "VDD");
                ground(0, "GND");
                int address = 0;
                if (converter.bus() instanceof Bus.I2c bus) {
                    address = bus.address();
                    i2c(bus, 0, "SDA", 0, "SCL");
                    supply.add(new Row(0, "ADDR", "", "", address == 0x48
                            ? LeadColour.BLACK.word()
                            : address == 0x49 ? LeadColour.RED.word() : LeadColour.VIOLET.word(), "",
                            "the chip's own " + List.of("GND", "VDD", "SDA", "SCL").get(address & 3) + " (address 0x"
                                    + Integer.toHexString(address) + ")"));
                }
                advice.add("VDD from 3.3 V, so that SDA and SCL stay at 3.3 V; no input above VDD. ALERT stays free.");
                sorted().forEach(lead -> pins.add(row(0, "AIN" + ((Pin.OfChip) lead.pin()).pin(), lead)));
                yield new ChipTable(chip.name(), "ADS1115, 4 voltages", where(converter.bus(), address), supply, pins,
                        advice);
            }
        };
    }

    // ---- matrices and strips -------------------------------------------------------------------------------------

    private ChipTable matrix(Chip.Matrix matrix) {
        List<Row> pins = new ArrayList<>();
        for (Lead lead : sorted()) {
            Pin.OfChip pin = (Pin.OfChip) lead.pin();
            int row = pin.index() / matrix.columns().size();
            int column = pin.index() % matrix.columns().size();
            pins.add(new Row(0, pin.pin(), lead.use(), lead.what(), LeadColour.YELLOW.word(), "",
                    "one side: column " + (column + 1) + " (" + words(matrix.columns().get(column))
                            + "); other side: a diode's anode, its cathode (marked end) to row " + (row + 1) + " ("
                            + words(matrix.rows().get(row)) + ")"));
        }
        advice.add(
                "One small signal diode for each key, such as 1N4148: without it, three keys pressed look like four.");
        return new ChipTable(chip.name(), "matrix of " + matrix.rows().size() + " rows and " + matrix.columns().size()
                + " columns", "", supply, pins, advice);
    }

    private static String words(Pin pin) {
        return pin instanceof Pin.Gpio(int gpio) ? "pin " + Header.positionOf(gpio) + ", GPIO " + gpio : pin.written();
    }

    private ChipTable strip(Chip.Strip strip) {
        supply.add(new Row(0, "5V", "", "", LeadColour.ORANGE.word(), "",
                "a 5 V supply of its own, of at least " + Plain.number(strip.milliampsMax()) + " mA, with a fuse"));
        supply.add(new Row(0, "GND", "", "", LeadColour.BLACK.word(), "",
                "the supply's ground, joined with the board's ground (pin " + Header.nearest(Header.Supply.GROUND,
                        dataPosition(strip.bus())) + ")"));
        strip.bus().lines().ifPresentOrElse(lines -> {
            String through = "through a level shifter from 3.3 V to 5 V";
            signal(0, "data in", LeadColour.VIOLET, lines.toChip(), "data", through);
            if (strip.clocked()) {
                signal(0, "clock in", LeadColour.VIOLET, lines.clock(), "clock", through);
            }
        }, () -> advice.add(strange(strip.bus())));
        advice.add(
                "5 V never goes to a pin of the header. A level shifter is a buffer of the HCT family that is fed with 5 V."
                        + " Put 330 Ω into the data lead at the strip and 1000 µF across its supply (common practice, no source)."
                        + " Bellpush dims the strip so that it stays below " + Plain.number(strip.milliampsMax())
                        + " mA.");
        List<Row> lamps = new ArrayList<>();
        sorted().forEach(
                lead -> lamps.add(new Row(0, "lamp " + ((Pin.OfChip) lead.pin()).pin(), lead.use(), lead.what(), "", "",
                        "in the strip, counted from its data end")));
        return new ChipTable(chip.name(), "strip of " + strip.length() + " lamps, "
                + (strip.clocked() ? "data and clock" : "one data line"), strip.bus().written(), supply, lamps, advice);
    }

    /** Where the data comes out; of a bus whose pins are not known, where SPI 0 has them. */
    private static int dataPosition(Bus.Spi bus) {
        return Header.positionOf(bus.lines().or(new Bus.Spi(0, 0)::lines).orElseThrow().toChip());
    }

    // ---- what they share -----------------------------------------------------------------------------------------

    private List<Lead> sorted() {
        return leads.stream().sorted(Comparator.comparingInt(lead -> ((Pin.OfChip) lead.pin()).index())).toList();
    }

    private static Row row(int place, String contact, Lead lead) {
        return new Row(place, contact, lead.use(), lead.what(), lead.colour().word(), lead.pull().word(),
                WiringPlan.to(lead, "the chip's ground", "the chip's 3.3 V"));
    }

    private void power(int number, String pin) {
        int position = Header.positions(Header.Supply.THREE_VOLT_THREE::equals).getFirst();
        supply.add(new Row(number, pin, "", "", LeadColour.RED.word(), "", "3.3 V, header pin " + position));
        header.add(new Row(position, "3.3 V", chip.name(), pin, LeadColour.RED.word(), "", pin + " of " + chip.name()));
    }

    private void ground(int number, String pin) {
        // The one beside the buses: chips are best grounded together.
        int position = Header.nearest(Header.Supply.GROUND, Header.positionOf(3));
        supply.add(new Row(number, pin, "", "", LeadColour.BLACK.word(), "", "ground, header pin " + position));
        header.add(
                new Row(position, "ground", chip.name(), pin, LeadColour.BLACK.word(), "", pin + " of " + chip.name()));
    }

    private void level(int number, String pin, boolean high, String why) {
        supply.add(new Row(number, pin, "", "", (high ? LeadColour.RED : LeadColour.BLACK).word(), "",
                (high ? "3.3 V, at the chip" : "ground, at the chip") + " (" + why + ")"));
    }

    private void i2c(Bus.I2c bus, int dataNumber, String data, int clockNumber, String clock) {
        bus.lines().ifPresentOrElse(lines -> {
            signal(dataNumber, data, LeadColour.VIOLET, lines.data(), "data of " + bus.written());
            signal(clockNumber, clock, LeadColour.VIOLET, lines.clock(), "clock of " + bus.written());
        }, () -> advice.add(strange(bus)));
    }

    private void spi(Bus.Spi bus, int clockNumber, String clock, int inNumber, String in, int outNumber, String out,
            int selectNumber, String select) {
        if (bus.lines().isEmpty() || bus.selectPin().isEmpty()) {
            advice.add(strange(bus));
            return;
        }
        Bus.Spi.Lines lines = bus.lines().get();
        signal(clockNumber, clock, LeadColour.VIOLET, lines.clock(), "SCLK of spi-" + bus.number());
        signal(inNumber, in, LeadColour.VIOLET, lines.toChip(), "MOSI of spi-" + bus.number());
        signal(outNumber, out, LeadColour.VIOLET, lines.fromChip(), "MISO of spi-" + bus.number());
        signal(selectNumber, select, LeadColour.GREY, bus.selectPin().getAsInt(), "chip select CE" + bus.select());
    }

    private static String strange(Bus bus) {
        return "The header pins of " + bus.written()
                + " depend on how the board was set up: look in the text of its overlay, and keep controls off them.";
    }

    private void signal(int number, String pin, LeadColour colour, int gpio, String what) {
        signal(number, pin, colour, gpio, what, "");
    }

    private void signal(int number, String pin, LeadColour colour, int gpio, String what, String through) {
        int position = Header.positionOf(gpio);
        String way = through.isEmpty() ? "" : " " + through;
        supply.add(new Row(number, pin, "", "", colour.word(), "", "header pin " + position + ", GPIO " + gpio + way));
        header.add(new Row(position, "GPIO " + gpio, chip.name(), what, colour.word(), "",
                pin + " of " + chip.name() + way));
    }

    private static String where(Bus bus, int address) {
        return bus.written() + ", address 0x" + Integer.toHexString(address);
    }
}
