package bellpush.runtime.kit;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.problem.Problem;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class WiringPlanTest {
    private static WiringPlan plan(String panel) {
        return WiringPlan.of(SmallSite.with(panel).panel());
    }

    private static Row at(WiringPlan plan, int position) {
        return plan.header().stream().filter(row -> row.place() == position).findFirst().orElseThrow();
    }

    private static Row supply(ChipTable chip, String pin) {
        return chip.supply().stream().filter(row -> row.contact().equals(pin)).findFirst().orElseThrow();
    }

    @Test
    void theTableSaysForEachHeaderPinWhatGoesThere() {
        WiringPlan plan = plan("""
                { "buttons": { "doors": { "label": "DOORS", "pin": 17, "press": "open",
                    "lamp": { "pin": 22, "led": { "colour": "red", "volts": 2.0, "milliamps": 2 } } },
                    "live": { "label": "LIVE", "pin": 27, "activeHigh": true } },
                  "knobs": { "level": { "label": "LEVEL", "pins": [23, 24], "turns": "desk.level", "push": { "pin": 25 } } },
                  "lamps": { "low": { "label": "LOW", "pin": 5, "activeHigh": false, "rules": [] } } }""");
        assertThat(plan.header()).isSortedAccordingTo(Comparator.comparingInt(Row::place));
        assertThat(at(plan, 11)).isEqualTo(
                new Row(11, "GPIO 17", "doors", "button contact", "yellow", "up", "other side to ground, pin 9"));
        assertThat(at(plan, 15).to()).isEqualTo("through 680 Ω to the LED's long leg; short leg to ground, pin 14");
        assertThat(at(plan, 13)).isEqualTo(new Row(13, "GPIO 27", "live", "button contact", "yellow", "down",
                "other side to 3.3 V, pin 17"));
        assertThat(at(plan, 16)).isEqualTo(
                new Row(16, "GPIO 23", "level", "channel A", "green", "up", "common terminal to ground, pin 14"));
        assertThat(at(plan, 18).lead()).isEqualTo("channel B");
        assertThat(at(plan, 22).lead()).isEqualTo("push contact");
        assertThat(at(plan, 29).to()).contains("to the LED's short leg; long leg to 3.3 V, pin 17");
        assertThat(at(plan, 14))
                .isEqualTo(new Row(14, "ground", "", "common return", "black", "", "level, doors (lamp)"));
        assertThat(at(plan, 17).colour()).isEqualTo("red");
    }

    @Test
    void fiveVoltsNeverGoToAControlOrAChip() {
        WiringPlan plan = WiringPlan.of(SmallSite.villageHall().panel());
        assertThat(plan.header()).extracting(Row::place).doesNotContain(2, 4);
        assertThat(plan.chips()).flatExtracting(ChipTable::supply).extracting(Row::to)
                .noneMatch(to -> to.contains("5 V"));
    }

    /** Package pins: Microchip DS20001952, PDIP of 28 pins, from memory. */
    @ParameterizedTest
    @CsvSource({"a0,21", "a6,27", "a7,28", "b0,1", "b7,8"})
    void pinsOfAnExpanderHaveTheNumbersOfItsPackage(String pin, int number) {
        WiringPlan plan = plan("""
                { "chips": { "more": { "expander": "mcp23017", "bus": "i2c-1", "address": "0x25", "interrupt": 4 } },
                  "lamps": { "x": { "label": "X", "pin": "more.%s", "rules": [] } } }""".formatted(pin));
        assertThat(plan.chips().getFirst().pins().getFirst()).extracting(Row::place, Row::contact).containsExactly(
                number,
                "GP" + pin.toUpperCase(java.util.Locale.ROOT));
    }

    /** I2C address 0100 A2 A1 A0: Microchip DS20001952. */
    @ParameterizedTest
    @CsvSource({"0x20,black,black,black", "0x21,red,black,black", "0x25,red,black,red", "0x27,red,red,red"})
    void addressPinsAreAtTheLevelsOfTheAddress(String address, String a0, String a1, String a2) {
        ChipTable chip = plan("""
                { "chips": { "more": { "expander": "mcp23017", "bus": "i2c-1", "address": "%s", "interrupt": 4 } } }"""
                .formatted(address)).chips().getFirst();
        assertThat(List.of("A0", "A1", "A2")).extracting(pin -> supply(chip, pin).colour()).containsExactly(a0, a1, a2);
        assertThat(supply(chip, "RESET").to()).contains("3.3 V");
        assertThat(supply(chip, "VDD").to()).isEqualTo("3.3 V, header pin 1");
        assertThat(supply(chip, "SDA").to()).isEqualTo("header pin 3, GPIO 2");
        assertThat(supply(chip, "SCL").to()).isEqualTo("header pin 5, GPIO 3");
        assertThat(supply(chip, "INTA").to()).isEqualTo("header pin 7, GPIO 4");
    }

    @Test
    void aConverterMeasuresAgainstThreeVoltThreeAndIsWiredToSpi() {
        WiringPlan plan = plan("""
                { "chips": { "adc": { "converter": "mcp3008", "bus": "spi-0.1" } },
                  "faders": { "level": { "label": "LEVEL", "input": "adc.3", "moves": "desk.level" } } }""");
        ChipTable chip = plan.chips().getFirst();
        assertThat(supply(chip, "VREF").to()).isEqualTo("3.3 V, never 5 V");
        assertThat(supply(chip, "CLK").to()).isEqualTo("header pin 23, GPIO 11");
        assertThat(supply(chip, "DIN").to()).isEqualTo("header pin 19, GPIO 10");
        assertThat(supply(chip, "DOUT").to()).isEqualTo("header pin 21, GPIO 9");
        assertThat(supply(chip, "CS").to()).isEqualTo("header pin 26, GPIO 7");
        assertThat(chip.pins()).singleElement().satisfies(row -> {
            assertThat(row.contact()).isEqualTo("CH3");
            assertThat(row.place()).isEqualTo(4);
            assertThat(row.to()).contains("the lower end to ground, the upper end to 3.3 V");
        });
        assertThat(plan.parts()).extracting(PartsList.Entry::what).contains("slide potentiometer, 10 kΩ, linear");
    }

    @Test
    void aKeyOfAMatrixHasItsDiodeFromColumnToRow() {
        WiringPlan plan = plan(
                """
                { "chips": { "pad": { "matrix": { "rows": [5, 6], "columns": [13, 19] } } },
                  "buttons": { "one": { "label": "ONE", "pin": "pad.2.1" }, "two": { "label": "TWO", "pin": "pad.1.2" } } }""");
        assertThat(plan.chips().getFirst().pins()).extracting(Row::contact).containsExactly("1.2", "2.1");
        assertThat(plan.chips().getFirst().pins().getLast().to())
                .isEqualTo("one side: column 1 (pin 33, GPIO 13); other side: a"
                        + " diode's anode, its cathode (marked end) to row 2 (pin 31, GPIO 6)");
        assertThat(at(plan, 33).pull()).isEqualTo("up");
        assertThat(plan.parts()).contains(new PartsList.Entry(2, "small signal diode, such as 1N4148"));
    }

    @Test
    void aStripHasItsOwnSupplyAndALevelShifter() {
        WiringPlan plan = plan("""
                { "chips": { "strip": { "strip": "one-wire", "bus": "spi-0.0", "length": 12, "milliampsMax": 400 } },
                  "lamps": { "x": { "label": "X", "pin": "strip.4", "rules": [] } } }""");
        ChipTable chip = plan.chips().getFirst();
        assertThat(supply(chip, "data in").to())
                .isEqualTo("header pin 19, GPIO 10 through a level shifter from 3.3 V to 5 V");
        assertThat(supply(chip, "5V").to()).contains("of its own", "400 mA", "fuse");
        assertThat(String.join(" ", chip.advice())).contains("5 V never goes to a pin of the header");
        assertThat(plan.problems()).isEmpty();
    }

    @Test
    void aBlueLedIsDrivenThroughATransistor() {
        WiringPlan plan = plan(
                """
                { "lamps": { "x": { "label": "X", "pin": 5, "rules": [], "led": { "colour": "blue", "volts": 3.2, "milliamps": 5 } } } }""");
        assertThat(plan.problems()).singleElement().satisfies(problem -> {
            assertThat(problem.severity()).isEqualTo(Problem.Severity.WARNING);
            assertThat(problem.found()).contains("3.2 V", "leaves 0.1 V");
            assertThat(problem.cure()).contains("NPN transistor", "330 Ω", "5.1 kΩ");
            assertThat(problem.at().file()).isEqualTo("panel.json");
        });
        assertThat(at(plan, 29).to()).isEqualTo("through 5.1 kΩ to a transistor's base, its emitter to ground, pin 30;"
                + " the LED between 5 V, pin 2, and its collector (see the resistors)");
        assertThat(at(plan, 2)).isEqualTo(new Row(2, "5 V", "x", "supply", "orange", "", "x (lamp)"));
        assertThat(at(plan, 30).colour()).isEqualTo("black");
        assertThat(plan.parts()).extracting(PartsList.Entry::what).contains("resistor 330 Ω, 1/8 W or more",
                "resistor 5.1 kΩ, 1/8 W or more");
        assertThat(plan.hasErrors()).isFalse();
    }

    /** With its common anode at 5 V, a colour wired to a pin itself would bring more than 3.3 V to it. */
    @Test
    void eachColourOfAThreeColourLampHasItsTransistor() {
        WiringPlan plan = plan(
                "{ \"lamps\": { \"x\": { \"label\": \"X\", \"pins\": [5, 6, 16], \"rules\": [], \"led\": {} } } }");
        assertThat(plan.lamps()).hasSize(3).allMatch(lamp -> lamp.drive() instanceof LampPart.Drive.Transistor);
        assertThat(plan.problems()).singleElement().extracting(Problem::cure).asString().contains("common anode",
                "red too");
        assertThat(plan.parts()).contains(new PartsList.Entry(1, "LED of three colours with four legs, common anode"),
                new PartsList.Entry(3, "NPN transistor for small signals, 100 mA or more"));
    }

    @Test
    void tooMuchForAPinIsAnErrorWithItsCure() {
        String panel = """
                { %s "lamps": { "x": { "label": "X", "pin": 5, "rules": [], "led": { "volts": 2.0, "milliamps": 12 } } } }""";
        WiringPlan plan = plan(panel.formatted(""));
        assertThat(plan.hasErrors()).isTrue();
        assertThat(plan.problems().getFirst().found()).contains("11.8 mA", "bears 8 mA"); // 1.3 V at 110 Ω
        // Raspberry Pi documentation, GPIO pads control: 16 mA up to the 3B+.
        assertThat(plan(panel.formatted("\"board\": { \"chip\": \"bcm2835\" },")).hasErrors()).isFalse();
        assertThat(plan(panel.formatted("\"board\": { \"chip\": \"bcm2711\" },")).hasErrors()).isTrue();
    }

    @Test
    void tooMuchTogetherIsAnErrorAndItsCureCures() {
        WiringPlan tooMuch = plan(twenty(4));
        assertThat(tooMuch.problems()).extracting(Problem::found)
                .anyMatch(found -> found.contains("all header pins together"));
        assertThat(tooMuch.hasErrors()).isTrue();
        String cure = tooMuch.problems().getFirst().cure();
        assertThat(cure).startsWith("With 2.5 mA for each of its 20 LEDs");
        assertThat(plan(twenty(2.5)).hasErrors()).isFalse();
    }

    private static String twenty(double milliamps) {
        return IntStream.rangeClosed(4, 27).filter(gpio -> gpio != 14 && gpio != 15 && gpio != 26 && gpio != 27)
                .mapToObj(gpio -> "\"l" + gpio + "\": { \"label\": \"L\", \"pin\": " + gpio
                        + ", \"rules\": [], \"led\": { \"volts\": 2, \"milliamps\": " + milliamps + " } }")
                .collect(Collectors.joining(",", "{ \"lamps\": {", "} }"));
    }

    @Test
    void theWorstCaseHasLampsAndPullUps() {
        WiringPlan plan = plan(
                """
                { "board": { "chip": "bcm2711" },
                  "buttons": { "doors": { "label": "DOORS", "pin": 17, "lamp": { "pin": 22, "led": { "volts": 2, "milliamps": 2 } } } } }""");
        Current header = plan.currents().stream().filter(each -> each.what().equals("all header pins together"))
                .findFirst()
                .orElseThrow();
        // 1.3 V / 680 Ω, and 3.3 V / 33 kΩ (the documentation's smallest pull-up of a BCM2711)
        assertThat(header.milliamps()).isCloseTo(1.9118 + 0.1, within(1e-3));
        assertThat(header.limit()).isEqualTo(50);
    }

    @Test
    void secondJobsAreToldWhereTheyHurt() {
        assertThat(plan("{ \"buttons\": { \"x\": { \"label\": \"X\", \"pin\": 3 } } }").problems())
                .extracting(Problem::found)
                .singleElement().asString().contains("starts a board that was shut down");
        assertThat(
                plan("{ \"buttons\": { \"x\": { \"label\": \"X\", \"pin\": 2, \"activeHigh\": true } } }").hasErrors())
                .isTrue();
        assertThat(plan("""
                { "chips": { "adc": { "converter": "mcp3008", "bus": "spi-0.0" } },
                  "buttons": { "x": { "label": "X", "pin": 7 } } }""").problems()).extracting(Problem::found)
                .singleElement()
                .asString().contains("second chip-select line of SPI 0");
    }

    @Test
    void everyLeadOfTheVillageHallIsInATable() {
        var panel = SmallSite.villageHall().panel();
        WiringPlan plan = WiringPlan.of(panel);
        assertThat(plan.problems()).isEmpty();
        assertThat(plan.without()).isEmpty();
        Set<String> told = new HashSet<>();
        plan.header().forEach(row -> told.add(row.use()));
        plan.chips().forEach(chip -> chip.pins().forEach(row -> told.add(row.use())));
        assertThat(told).containsAll(panel.buttons().keySet()).containsAll(panel.knobs().keySet())
                .containsAll(panel.lamps().keySet());
        assertThat(plan.chips()).extracting(ChipTable::name)
                .containsExactlyInAnyOrderElementsOf(panel.chips().keySet());
        Map<Integer, Long> gpioRows = plan.header().stream().filter(row -> row.contact().startsWith("GPIO"))
                .collect(Collectors.groupingBy(Row::place, Collectors.counting()));
        assertThat(gpioRows.values()).as("one line for one pin").allMatch(count -> count == 1);
    }

    @ParameterizedTest
    @CsvSource({"60", "80", "120", "200"})
    void theTextKeepsToTheTerminalAndLosesNothing(int width) {
        WiringPlan plan = WiringPlan.of(SmallSite.villageHall().panel());
        String text = WiringText.of("Village hall", plan, width);
        assertThat(text.lines()).allMatch(line -> line.length() <= width);
        assertThat(text).doesNotContain("\u001b");
        assertThat(text.replaceAll("\\s+", " ")).contains("5 V on a pin destroys it", "licensed persons",
                "LED, green, about 2.1 V", "projector-off");
    }

    @Test
    void whatHasNoPinIsNamed() {
        WiringPlan plan = plan(
                """
                { "buttons": { "doors": { "label": "DOORS", "lamp": {} } }, "knobs": { "level": { "label": "L", "turns": "desk.level" } } }""");
        assertThat(plan.without()).containsExactly("doors", "level", "lamp of doors");
        assertThat(WiringText.of("Small hall", plan, 80)).contains("Nothing in panel.json has a pin yet.", "--propose");
    }
}
