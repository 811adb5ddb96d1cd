package bellpush.runtime.panel.board;

import bellpush.config.model.Chip;
import bellpush.config.model.Pin;
import bellpush.runtime.panel.Panel;
import bellpush.runtime.panel.PanelListener;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.Wiring;
import bellpush.runtime.panel.bus.Buses;
import bellpush.runtime.panel.bus.LinuxBuses;
import bellpush.runtime.panel.chips.AnalogueListener;
import bellpush.runtime.panel.chips.ChipsThread;
import bellpush.runtime.panel.chips.Clock;
import bellpush.runtime.panel.chips.ExpanderBank;
import bellpush.runtime.panel.chips.MatrixBank;
import bellpush.runtime.panel.chips.Round;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import java.util.function.Consumer;

/**
 * The panel on the pins of a board and of its chips: knows which contact and which lamp is which pin of which bank, and nothing of
 * how a bank is read. Chips that do not answer are said and tried again; only the header must be there.
 * <p>
 * What can no longer be read is not held down: when a bank is lost, its buttons and rockers are told as open, so that nothing goes
 * on that somebody has long let go. Switches and knobs stay as they were.
 */
public final class BoardPanel implements Panel {
    /** What hangs on a pin that is read. */
    private sealed interface Route {
        record ToContact(Wiring.Contact contact) implements Route {}

        record ToInterrupt(ExpanderBank chip) implements Route {}

        record ToColumn(MatrixBank matrix) implements Route {}
    }

    private final Map<String, PinBank> banks = new LinkedHashMap<>();
    private final Map<String, List<PinBank.In>> inputs = new HashMap<>();
    private final Map<String, List<PinBank.Out>> outputs = new HashMap<>();
    private final Map<Place, Route> routes = new HashMap<>();
    /** By bank, the matrices that have a row or a column on it. */
    private final Map<String, List<MatrixBank>> matricesOn = new HashMap<>();
    private final Set<Place> closed = ConcurrentHashMap.newKeySet();
    private final Wiring wiring;
    private final Behind behind;
    private final BoardLamps lamps;
    private final Path pwm;
    private final Clock clock;
    private final Round round;
    private final Round strips;
    private volatile PanelListener listener;

    /** @param header the pins of the board itself; closed with this panel */
    public static BoardPanel on(bellpush.config.model.Panel layout, PinBank header) {
        // What the threads have to say is said by the panel that they are made for.
        List<Consumer<String>> say = new ArrayList<>();
        Consumer<String> failed = text -> say.forEach(to -> to.accept(text));
        BoardPanel panel = new BoardPanel(layout, header, new LinuxBuses(), Path.of("/sys/class/pwm"), Clock.REAL,
                new ChipsThread("chips", Clock.REAL, failed), new ChipsThread("strips", Clock.REAL, failed));
        say.add(panel::note);
        return panel;
    }

    /**
     * @param header the pins of the board itself; closed with this panel
     * @param pwm    {@code /sys/class/pwm}
     * @param round  goes round the chips that are read; closed with this panel
     * @param strips goes round the strips; closed with this panel
     */
    public BoardPanel(bellpush.config.model.Panel layout, PinBank header, Buses buses, Path pwm, Clock clock,
            Round round, Round strips) {
        this.wiring = Wiring.of(layout);
        this.pwm = pwm;
        this.clock = clock;
        this.round = round;
        this.strips = strips;
        this.behind = Behind.of(layout, header, buses, clock, round, new AnaloguesTold(), this::note);
        this.lamps = new BoardLamps(wiring.lamps(), behind.strips());
        banks.put(Place.HEADER, header);
        banks.putAll(behind.expanders());
        banks.putAll(behind.matrices()); // last: their rows and columns must be open
        wiring.contacts().forEach(contact -> read(Place.of(contact.pin()), new Route.ToContact(contact),
                contact.activeHigh() ? PinBank.Pull.DOWN : PinBank.Pull.UP, !contact.activeHigh()));
        layout.chips().values().forEach(this::wire);
    }

    private void wire(Chip chip) {
        if (chip instanceof Chip.Expander expander) {
            expander.interrupt().ifPresent(pin -> read(Place.of(pin),
                    new Route.ToInterrupt(behind.expanders().get(chip.name())), PinBank.Pull.UP, true));
        } else if (chip instanceof Chip.Matrix matrix) {
            MatrixBank bank = behind.matrices().get(chip.name());
            matrix.columns().forEach(
                    pin -> read(Place.of(pin), new Route.ToColumn(bank), PinBank.Pull.UP, true));
            for (Pin row : matrix.rows()) {
                Place place = Place.of(row);
                outputs.computeIfAbsent(place.bank(), _ -> new ArrayList<>()).add(new PinBank.Out(place.pin(), true));
            }
            java.util.stream.Stream.concat(matrix.rows().stream(), matrix.columns().stream())
                    .map(pin -> Place.of(pin).bank()).distinct()
                    .forEach(under -> matricesOn.computeIfAbsent(under, _ -> new ArrayList<>()).add(bank));
        }
    }

    private void read(Place place, Route route, PinBank.Pull pull, boolean activeLow) {
        routes.put(place, route);
        inputs.computeIfAbsent(place.bank(), _ -> new ArrayList<>())
                .add(new PinBank.In(place.pin(), pull, activeLow));
    }

    private void note(String text) {
        PanelListener to = listener;
        if (to != null) {
            to.noted(text);
        }
    }

    @Override
    public String describe() {
        StringBuilder text = new StringBuilder(many(wiring.contacts().size(), "contact")).append(" and ")
                .append(many(lamps.count(), "lamp")).append(" on ").append(banks.get(Place.HEADER).describe());
        banks.forEach((name, bank) -> {
            if (!name.equals(Place.HEADER)) {
                text.append("; ").append(bank.describe());
            }
        });
        return text.toString();
    }

    private static String many(int count, String what) {
        return count + " " + what + (count == 1 ? "" : "s");
    }

    @Override
    public void open(PanelListener to) {
        listener = to;
        lamps.open(pwm, clock, this::note)
                .forEach((bank, outs) -> outputs.computeIfAbsent(bank, _ -> new ArrayList<>()).addAll(outs));
        banks.forEach((name, bank) -> bank.open(inputs.getOrDefault(name, List.of()),
                outputs.getOrDefault(name, List.of()), new Told(name)));
        behind.expanders().values().forEach(round::add);
        behind.matrices().values().forEach(round::add);
        behind.readers().forEach(round::add);
        behind.strips().values().forEach(strips::add);
        if (behind.isRead()) {
            round.start();
        }
        if (!behind.strips().isEmpty()) {
            strips.start();
        }
    }

    /** Turns one bank's pins into contacts, interrupts and columns. */
    private final class Told implements PinListener {
        private final String bank;

        Told(String bank) {
            this.bank = bank;
        }

        @Override
        public void found(long atNanos, int pin, boolean active) {
            Place place = new Place(bank, pin);
            if (routes.get(place) instanceof Route.ToContact(Wiring.Contact contact)) {
                keep(place, active);
                listener.found(atNanos, contact.name(), active);
            } else {
                edge(atNanos, pin, active);
            }
        }

        @Override
        public void edge(long atNanos, int pin, boolean active) {
            Place place = new Place(bank, pin);
            switch (routes.get(place)) {
                case Route.ToContact(Wiring.Contact contact) -> {
                    keep(place, active);
                    listener.contact(atNanos, contact.name(), active);
                }
                case Route.ToInterrupt(ExpanderBank chip) -> chip.interrupt(atNanos, active);
                case Route.ToColumn(MatrixBank matrix) -> matrix.columnEdge(atNanos, active);
            }
        }

        private void keep(Place place, boolean active) {
            if (active) {
                closed.add(place);
            } else {
                closed.remove(place);
            }
        }

        @Override
        public void lost(String why) {
            listener.noted(why);
            long now = clock.nanos();
            for (Place place : closed) {
                if (place.bank().equals(bank) && routes.get(place) instanceof Route.ToContact(Wiring.Contact contact)
                        && !contact.stays() && closed.remove(place)) {
                    listener.contact(now, contact.name(), false);
                }
            }
            matricesOn.getOrDefault(bank, List.of()).forEach(matrix -> matrix.lost("The matrix on it cannot be read: "
                    + matrix.describe() + "."));
        }

        @Override
        public void back() {
            listener.noted("Back in use: " + banks.get(bank).describe() + ".");
            matricesOn.getOrDefault(bank, List.of()).forEach(MatrixBank::back);
        }

        @Override
        public void noted(String text) {
            listener.noted(text);
        }
    }

    /** Faders and joysticks. */
    private final class AnaloguesTold implements AnalogueListener {
        @Override
        public void moved(long atNanos, String name, double share) {
            listener.moved(atNanos, name, share);
        }

        @Override
        public void lost(long atNanos, String name, String why) {
            listener.lost(atNanos, name, why);
        }

        @Override
        public void noted(String text) {
            listener.noted(text);
        }
    }

    @Override
    public void light(String lamp, double level, Optional<String> colour) {
        lamps.light(lamp, level, colour);
    }

    @Override
    public void show() {
        lamps.show(banks);
    }

    @Override
    public boolean wantsLampTest() {
        return true;
    }

    /** Nothing is read any more; then every lamp goes dark, the header's last, since expanders may be behind its pins. */
    @Override
    public void close() {
        round.close();
        strips.close();
        behind.readers().forEach(reader -> reader.close());
        lamps.close();
        List<PinBank> all = new ArrayList<>(banks.values());
        all.reversed().forEach(PinBank::close);
    }
}
