package bellpush.runtime.panel;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * The panel on the pins of a board: knows which contact and which lamp is which pin of which bank, and nothing of how a bank
 * is read. One more bank is one more entry of {@code banks}; a {@link Place} names a pin of it.
 */
public final class BoardPanel implements Panel {
    /** The bank of the board's own header. */
    private static final String HEADER = "header";

    private record Place(String bank, int pin) {}

    private final Map<String, PinBank> banks;
    private final Map<String, List<PinBank.In>> inputs = new HashMap<>();
    private final Map<String, List<PinBank.Out>> outputs = new HashMap<>();
    private final Map<Place, String> contacts = new LinkedHashMap<>();
    private final Map<String, Place> lamps = new LinkedHashMap<>();
    /** By bank, what {@link #show} is to write. The lamps thread's own. */
    private final Map<String, Map<Integer, Boolean>> changed = new HashMap<>();

    /** @param header the pins of the board itself; closed with this panel */
    public BoardPanel(bellpush.config.model.Panel layout, PinBank header) {
        this.banks = Map.of(HEADER, header);
        Wiring wiring = Wiring.of(layout);
        wiring.contacts().forEach(contact -> {
            contacts.put(new Place(HEADER, contact.pin()), contact.name());
            inputs.computeIfAbsent(HEADER, _ -> new ArrayList<>()).add(new PinBank.In(contact.pin(),
                    contact.activeHigh() ? PinBank.Pull.DOWN : PinBank.Pull.UP, !contact.activeHigh()));
        });
        wiring.lamps().forEach(lamp -> {
            lamps.put(lamp.name(), new Place(HEADER, lamp.pin()));
            outputs.computeIfAbsent(HEADER, _ -> new ArrayList<>())
                    .add(new PinBank.Out(lamp.pin(), !lamp.activeHigh()));
        });
    }

    @Override
    public String describe() {
        return many(contacts.size(), "contact") + " and " + many(lamps.size(), "lamp") + " on "
                + banks.get(HEADER).describe();
    }

    private static String many(int count, String what) {
        return count + " " + what + (count == 1 ? "" : "s");
    }

    @Override
    public void open(PanelListener listener) {
        banks.forEach((name, bank) -> bank.open(inputs.getOrDefault(name, List.of()),
                outputs.getOrDefault(name, List.of()), new Told(name, listener)));
    }

    /** Turns one bank's pins into contacts. */
    private final class Told implements PinListener {
        private final String bank;
        private final PanelListener to;

        Told(String bank, PanelListener to) {
            this.bank = bank;
            this.to = to;
        }

        @Override
        public void found(long atNanos, int pin, boolean active) {
            to.found(atNanos, contacts.get(new Place(bank, pin)), active);
        }

        @Override
        public void edge(long atNanos, int pin, boolean active) {
            to.contact(atNanos, contacts.get(new Place(bank, pin)), active);
        }

        @Override
        public void lost(String why) {
            to.noted(why);
        }

        @Override
        public void back() {
            to.noted("Back in use: " + banks.get(bank).describe() + ".");
        }

        @Override
        public void noted(String text) {
            to.noted(text);
        }
    }

    @Override
    public void light(String lamp, double level, Optional<String> colour) {
        Place place = lamps.get(lamp);
        if (place != null) {
            // A lamp that cannot be dimmed is better too bright than dark.
            changed.computeIfAbsent(place.bank(), _ -> new HashMap<>()).put(place.pin(), level > 0);
        }
    }

    @Override
    public void show() {
        changed.forEach((bank, levels) -> banks.get(bank).write(levels));
        changed.clear();
    }

    @Override
    public boolean wantsLampTest() {
        return true;
    }

    @Override
    public void close() {
        banks.values().forEach(PinBank::close);
    }
}
