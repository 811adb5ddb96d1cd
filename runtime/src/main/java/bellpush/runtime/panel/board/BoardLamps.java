package bellpush.runtime.panel.board;

import bellpush.config.model.Pin;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.Wiring;
import bellpush.runtime.panel.chips.Clock;
import bellpush.runtime.panel.chips.Lightness;
import bellpush.runtime.panel.chips.PwmOutput;
import bellpush.runtime.panel.chips.Rgb;
import bellpush.runtime.panel.chips.StripOutput;
import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Consumer;

/**
 * The lamps of a board's panel: on pins, on strips, by pulse width, of one colour or of three. Pins and strips are written
 * together, with {@link #show}. Used by one thread at a time.
 */
final class BoardLamps {
    /** One lead of a lamp. */
    private sealed interface Lead {
        record OnPin(Place place) implements Lead {}

        record ByWidth(PwmOutput output) implements Lead {}

        record OnStrip(StripOutput strip, int lamp) implements Lead {}
    }

    private final List<Wiring.Lamp> wired;
    private final Map<String, StripOutput> strips;
    private final Map<String, List<Lead>> lamps = new LinkedHashMap<>();
    private final List<PwmOutput> widths = new ArrayList<>();
    private final Map<String, Map<Integer, Boolean>> changed = new HashMap<>();
    private final Set<StripOutput> changedStrips = new HashSet<>();

    BoardLamps(List<Wiring.Lamp> wired, Map<String, StripOutput> strips) {
        this.wired = wired;
        this.strips = strips;
    }

    int count() {
        return wired.size();
    }

    /**
     * Takes the pulse widths, dark. A lamp that is to be dimmed where the board cannot is lit or not.
     *
     * @param root {@code /sys/class/pwm}
     * @return by bank, the pins that are to be opened as outputs
     */
    Map<String, List<PinBank.Out>> open(Path root, Clock clock, Consumer<String> noted) {
        Map<String, List<PinBank.Out>> outputs = new HashMap<>();
        Map<PwmOutput.Place, String> taken = new HashMap<>();
        for (Wiring.Lamp lamp : wired) {
            List<Lead> leads = new ArrayList<>();
            for (Pin pin : lamp.pins()) {
                Place place = Place.of(pin);
                StripOutput strip = strips.get(place.bank());
                Optional<PwmOutput> width = lamp.dims()
                        ? width(lamp, place, root, taken, clock, noted)
                        : Optional.empty();
                if (strip != null) {
                    leads.add(new Lead.OnStrip(strip, place.pin()));
                } else if (width.isPresent()) {
                    widths.add(width.get());
                    leads.add(new Lead.ByWidth(width.get()));
                } else {
                    leads.add(new Lead.OnPin(place));
                    outputs.computeIfAbsent(place.bank(), _ -> new ArrayList<>())
                            .add(new PinBank.Out(place.pin(), !lamp.activeHigh()));
                }
            }
            lamps.put(lamp.name(), leads);
        }
        return outputs;
    }

    private static Optional<PwmOutput> width(Wiring.Lamp lamp, Place pin, Path root,
            Map<PwmOutput.Place, String> taken, Clock clock, Consumer<String> noted) {
        if (!pin.bank().equals(Place.HEADER)) {
            return Optional.empty();
        }
        String instead = " The lamp \"" + lamp.name() + "\" is lit or not, and not dimmed.";
        Optional<PwmOutput.Place> found = PwmOutput.of(root, pin.pin());
        if (found.isEmpty()) {
            noted.accept("There is no pulse width for GPIO " + pin.pin()
                    + ": add dtoverlay=pwm-2chan, with this pin, to the "
                    + "board's settings and start it again." + instead);
            return Optional.empty();
        }
        String other = taken.putIfAbsent(found.get(), lamp.name());
        if (other != null) {
            noted.accept("GPIO " + pin.pin() + " shares its pulse width with a pin of the lamp \"" + other + "\"."
                    + instead);
            return Optional.empty();
        }
        try {
            return Optional.of(PwmOutput.open(found.get(), lamp.activeHigh(), noted, clock));
        } catch (IOException e) {
            noted.accept(e.getMessage() + instead);
            return Optional.empty();
        }
    }

    /** See {@link bellpush.runtime.panel.Panel#light}. */
    void light(String lamp, double level, Optional<String> colour) {
        List<Lead> leads = lamps.getOrDefault(lamp, List.of());
        Rgb light = Rgb.of(level, colour);
        double[] parts = leads.size() == 3
                ? new double[]{light.red(), light.green(), light.blue()}
                : new double[]{Lightness.luminance(level)};
        for (int i = 0; i < leads.size(); i++) {
            switch (leads.get(i)) {
                // A lamp that cannot be dimmed is better too bright than dark.
                case Lead.OnPin(Place place) -> changed.computeIfAbsent(place.bank(), _ -> new HashMap<>())
                        .put(place.pin(), parts[i] > 0);
                case Lead.ByWidth(PwmOutput output) -> output.light(parts[i]);
                case Lead.OnStrip(StripOutput strip, int at) -> {
                    strip.light(at, light);
                    changedStrips.add(strip);
                }
            }
        }
    }

    /** Writes what has changed, each bank and each strip in one go. */
    void show(Map<String, PinBank> banks) {
        changed.forEach((bank, levels) -> banks.get(bank).write(levels));
        changed.clear();
        changedStrips.forEach(StripOutput::show);
        changedStrips.clear();
    }

    /** Dark, apart from what is on pins: those are their banks' to put out. */
    void close() {
        widths.forEach(PwmOutput::close);
        strips.values().forEach(StripOutput::close);
    }
}
