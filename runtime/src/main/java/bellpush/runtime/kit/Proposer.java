package bellpush.runtime.kit;

import bellpush.config.model.Chip;
import bellpush.config.model.Chip.Bus;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.IntStream;

/**
 * Finds pins for what has none. Header pins without a second job come first; dimmed lamps get the pins that make pulses; both channels of a
 * knob stay together. Where the header is full, as few expanders as will do are added on I2C bus 1, each with an interrupt line.
 */
final class Proposer {
    /** Pins that nothing else wants, then PCM, then SPI. Not serial, which may press buttons by itself, nor I2C, which expanders need. */
    private static final List<Integer> ORDER = List.of(5, 6, 16, 17, 22, 23, 24, 25, 26, 27, 4, 12, 13, 20, 21, 18, 19,
            11, 10,
            9, 8, 7);
    private static final List<Integer> PULSES = List.of(12, 13, 18, 19);
    private static final Set<Integer> SPI_0 = Set.of(7, 8, 9, 10, 11);
    private static final int FIRST_ADDRESS = 0x20, ADDRESSES = 8;

    private enum Role {
        KNOB, CONTACT, LAMP
    }

    /** Something that wants pins, one after the other. @param path where they go in panel.json */
    private record Need(Role role, int pins, String... path) {}

    private record Expander(String name, List<String> inputs, List<String> outputsOnly) {}

    private final Panel panel;
    private final Map<String, Object> snippet = new LinkedHashMap<>();
    private final List<String> notes = new ArrayList<>();
    private final List<Integer> header;
    private final Set<String> chipPins = new HashSet<>();
    private final Set<Integer> used = new TreeSet<>();

    Proposer(Panel panel) {
        this.panel = panel;
        WiringPlan plan = WiringPlan.of(panel);
        plan.header().stream().map(row -> Header.at(row.place())).forEach(contact -> {
            if (contact instanceof Header.Gpio(int gpio)) {
                used.add(gpio);
            }
        });
        Leads.of(panel, plan.lamps()).forEach(lead -> chipPins.add(lead.pin().written()));
        boolean spi = SPI_0.stream().filter(gpio -> gpio >= 9).allMatch(used::contains);
        header = new ArrayList<>(
                ORDER.stream().filter(gpio -> !used.contains(gpio) && !(spi && SPI_0.contains(gpio))).toList());
    }

    Optional<Proposal> propose() {
        analogue();
        dimmed();
        List<Need> needs = needs();
        if (needs.isEmpty() && snippet.isEmpty() && notes.isEmpty()) {
            return Optional.empty();
        }
        for (int more = 0; more <= ADDRESSES; more++) {
            if (assign(needs, more)) {
                return done();
            }
        }
        notes.add("Even with " + Plain.many(ADDRESSES, "expander") + " on one bus there are not enough pins for "
                + needs.stream().mapToInt(Need::pins).sum()
                + " more leads. Make it two panels, or use a matrix for the buttons.");
        return done();
    }

    private Optional<Proposal> done() {
        // Chips come first, as in any panel.json.
        Map<String, Object> ordered = new LinkedHashMap<>();
        for (String section : List.of("chips", "buttons", "switches", "knobs", "faders", "joysticks", "lamps")) {
            if (snippet.containsKey(section)) {
                ordered.put(section, snippet.get(section));
            }
        }
        notes.addFirst(
                "A proposal for panel.json: add each of these to what is there. Nothing was written. Afterwards, bellpush wiring"
                        + " computes resistors and currents.");
        return Optional.of(new Proposal(ordered, List.copyOf(notes)));
    }

    private List<Need> needs() {
        List<Need> needs = new ArrayList<>();
        panel.knobs().values().forEach(knob -> {
            if (knob.pinA().isEmpty()) {
                needs.add(new Need(Role.KNOB, 2, "knobs", knob.name(), "pins"));
            }
            knob.push().filter(push -> push.button().pin().isEmpty())
                    .ifPresent(_ -> needs.add(new Need(Role.CONTACT, 1, "knobs", knob.name(), "push", "pin")));
        });
        panel.buttons().values().stream().filter(each -> each.pin().isEmpty())
                .forEach(each -> needs.add(new Need(Role.CONTACT, 1, "buttons", each.name(), "pin")));
        panel.switches().values().stream().filter(each -> each.pin().isEmpty())
                .forEach(each -> needs.add(new Need(Role.CONTACT, 1, "switches", each.name(), "pin")));
        panel.lamps().values().stream().filter(each -> each.pins().isEmpty() && !each.dims())
                .forEach(each -> needs.add(new Need(Role.LAMP, 1, lampPath(each.name()))));
        needs.sort(Comparator.comparing(Need::role));
        return needs;
    }

    private String[] lampPath(String name) {
        return panel.buttons().containsKey(name)
                ? new String[]{"buttons", name, "lamp", "pin"}
                : new String[]{"lamps", name, "pin"};
    }

    private static int channel(int gpio) {
        return new Pin.Gpio(gpio).pulseChannel().orElseThrow();
    }

    private void dimmed() {
        Set<Integer> channels = used.stream().filter(PULSES::contains).map(Proposer::channel)
                .collect(Collectors.toSet());
        panel.lamps().values().stream().filter(lamp -> lamp.pins().isEmpty() && lamp.dims()).forEach(lamp -> {
            Optional<Integer> pin = PULSES.stream()
                    .filter(gpio -> header.contains(gpio) && !channels.contains(channel(gpio)))
                    .findFirst();
            pin.ifPresentOrElse(gpio -> {
                channels.add(channel(gpio));
                header.remove(gpio);
                Proposal.put(snippet, gpio, lampPath(lamp.name()));
            }, () -> notes.add("The lamp " + lamp.name()
                    + " is to be dimmed, and neither of the two pulse channels (GPIO 12 or 18,"
                    + " 13 or 19) is free: free one, or leave its \"dims\" out."));
        });
    }

    /** Faders and sticks go to a converter: one that has inputs left, or one more. */
    private void analogue() {
        List<String[]> wanted = new ArrayList<>();
        panel.faders().values().stream().filter(each -> each.input().isEmpty())
                .forEach(each -> wanted.add(new String[]{"faders", each.name(), "input"}));
        panel.joysticks().values().forEach(stick -> stick.axes().values().stream().filter(axis -> axis.wire().isEmpty())
                .forEach(axis -> wanted.add(new String[]{"joysticks", stick.name(), "axes", axis.name(), "input"})));
        List<String> inputs = new ArrayList<>();
        panel.chips().values().forEach(chip -> {
            if (chip instanceof Chip.Converter converter) {
                IntStream.range(0, converter.model().inputs()).mapToObj(input -> converter.name() + "." + input)
                        .filter(pin -> !chipPins.contains(pin)).forEach(inputs::add);
            }
        });
        int left = wanted.size() - inputs.size();
        for (int select = 0; left > 0 && select < 2; select++) {
            if (used.contains(8 - select) || usedByControls(9, 10, 11)) {
                continue; // its chip-select line, or the bus itself, has another job
            }
            String name = freeName("adc");
            Map<String, Object> chip = new LinkedHashMap<>();
            chip.put("converter", "mcp3008");
            chip.put("bus", "spi-0." + select);
            Proposal.put(snippet, chip, "chips", name);
            notes.add("Faders and joysticks need a converter: an MCP3008, here \"" + name + "\".");
            header.removeAll(SPI_0);
            IntStream.range(0, 8).forEach(input -> inputs.add(name + "." + input));
            left -= 8;
        }
        if (left > 0) {
            notes.add(Plain.many(left, "fader or axis") + " of " + wanted.size()
                    + " found no converter: GPIO 7 to 11 (SPI) are not free for one.");
        }
        for (int i = 0; i < Math.min(wanted.size(), inputs.size()); i++) {
            Proposal.put(snippet, inputs.get(i), wanted.get(i));
        }
    }

    private String freeName(String wanted) {
        @SuppressWarnings("unchecked")
        Map<String, Object> proposed = (Map<String, Object>) snippet.getOrDefault("chips", Map.of());
        String name = wanted;
        for (int i = 2; panel.chips().containsKey(name) || proposed.containsKey(name); i++) {
            name = wanted + "-" + i;
        }
        return name;
    }

    /** Whether everything finds its pin with so many expanders more; only then is anything kept. */
    private boolean assign(List<Need> needs, int more) {
        List<Integer> free = new ArrayList<>(header);
        List<Expander> expanders = new ArrayList<>();
        panel.chips().values().forEach(chip -> {
            if (chip instanceof Chip.Expander expander) {
                expanders.add(pins(expander.name(), expander.bus() instanceof Bus.I2c));
            }
        });
        if (more > 0 && usedByControls(2, 3)) {
            if (more == 1) {
                notes.add(
                        "More pins need an expander on I2C, and something else is wired to GPIO 2 or 3: move it first.");
            }
            return false;
        }
        Set<Integer> addresses = panel.chips().values().stream().filter(WiringPlan::isOnHeaderI2c)
                .map(chip -> chip instanceof Chip.Expander expander ? expander.address() : -1)
                .collect(Collectors.toSet());
        Map<String, Map<String, Object>> chips = new LinkedHashMap<>();
        for (int i = 0; i < more; i++) {
            Optional<Integer> address = IntStream.range(FIRST_ADDRESS, FIRST_ADDRESS + ADDRESSES).boxed()
                    .filter(addresses::add).findFirst();
            if (address.isEmpty()) {
                return false;
            }
            String name = freeName("more" + (more == 1 ? "" : "-" + (char) ('a' + i)));
            Map<String, Object> chip = new LinkedHashMap<>();
            chip.put("expander", "mcp23017");
            chip.put("bus", "i2c-1");
            chip.put("address", "0x" + Integer.toHexString(address.get()));
            if (!free.isEmpty()) {
                chip.put("interrupt", free.removeFirst());
            }
            chips.put(name, chip);
            expanders.add(pins(name, true));
        }
        Map<Need, List<Object>> found = new LinkedHashMap<>();
        for (Need need : needs) {
            Optional<List<Object>> pins = need.role() == Role.LAMP && !expanders.isEmpty()
                    ? ofExpander(expanders, need).or(() -> ofHeader(free, need))
                    : ofHeader(free, need).or(() -> ofExpander(expanders, need));
            if (pins.isEmpty()) {
                return false;
            }
            found.put(need, pins.get());
        }
        chips.forEach((name, chip) -> Proposal.put(snippet, chip, "chips", name));
        found.forEach((need, pins) -> Proposal.put(snippet, need.pins() == 1 ? pins.getFirst() : pins, need.path()));
        if (more > 0) {
            notes.add("The header alone has not enough pins: " + Plain.many(more, "MCP23017 expander") + " ("
                    + String.join(", ", chips.keySet()) + ") " + (more == 1 ? "carries" : "carry") + " the rest.");
            if (chips.values().stream().anyMatch(chip -> !chip.containsKey("interrupt"))) {
                notes.add(
                        "The header has no pin left for interrupt lines, so expanders are read again and again. Better move a few"
                                + " lamps to them, and write their GPIO as \"interrupt\".");
            }
        }
        return true;
    }

    private boolean usedByControls(int... gpios) {
        return Leads.of(panel, LampPart.of(panel)).stream().anyMatch(lead -> lead.pin() instanceof Pin.Gpio(int gpio)
                && IntStream.of(gpios).anyMatch(each -> each == gpio));
    }

    /** @param i2c a7 and b7 of the part on I2C may be outputs only */
    private Expander pins(String name, boolean i2c) {
        List<String> inputs = new ArrayList<>();
        List<String> outputsOnly = new ArrayList<>();
        for (char half : new char[]{'a', 'b'}) {
            for (int i = 0; i < 8; i++) {
                String pin = name + "." + half + i;
                if (!chipPins.contains(pin)) {
                    (i2c && i == 7 ? outputsOnly : inputs).add(pin);
                }
            }
        }
        return new Expander(name, inputs, outputsOnly);
    }

    private static Optional<List<Object>> ofHeader(List<Integer> free, Need need) {
        if (free.size() < need.pins()) {
            return Optional.empty();
        }
        List<Object> pins = new ArrayList<>();
        for (int i = 0; i < need.pins(); i++) {
            pins.add(free.removeFirst());
        }
        return Optional.of(pins);
    }

    private static Optional<List<Object>> ofExpander(List<Expander> expanders, Need need) {
        for (Expander expander : expanders) {
            if (need.role() == Role.LAMP && !expander.outputsOnly().isEmpty()) {
                return Optional.of(List.of(expander.outputsOnly().removeFirst()));
            }
            if (expander.inputs().size() >= need.pins()) {
                List<Object> pins = new ArrayList<>();
                for (int i = 0; i < need.pins(); i++) {
                    pins.add(expander.inputs().removeFirst());
                }
                return Optional.of(pins);
            }
        }
        return Optional.empty();
    }
}
