package bellpush.runtime.screen;

import bellpush.config.model.Board;
import bellpush.config.model.Button;
import bellpush.config.model.Device;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Kind;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.Limits;
import bellpush.config.model.Panel;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Switch;
import java.nio.file.Path;
import java.time.Duration;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;

/** Sites built by hand, for drawing only. */
final class MadeUpSite {
    private final Map<String, Button> buttons = new LinkedHashMap<>();
    private final Map<String, Switch> switches = new LinkedHashMap<>();
    private final Map<String, Knob> knobs = new LinkedHashMap<>();
    private final Map<String, Lamp> lamps = new LinkedHashMap<>();
    private final Map<String, Device> devices = new LinkedHashMap<>();
    private List<List<String>> rows = List.of();

    MadeUpSite button(String name, String label) {
        return button(name, label, Optional.empty(), true);
    }

    MadeUpSite holdButton(String name, String label, Duration time) {
        return button(name, label, Optional.of(new Button.Hold(time, "go")), true);
    }

    MadeUpSite button(String name, String label, Optional<Button.Hold> hold, boolean withLamp) {
        Optional<Lamp> lamp = withLamp
                ? Optional.of(Lamp.named(name, label, List.of(), Source.NONE))
                : Optional.empty();
        lamp.ifPresent(it -> lamps.put(name, it));
        Button button = Button.named(name, label, Source.NONE).onPress("go");
        Button held = hold.map(h -> button.onHold(h.time(), h.run())).orElse(button);
        buttons.put(name, lamp.map(held::with).orElse(held));
        return this;
    }

    MadeUpSite knob(String name, String label) {
        knobs.put(name, Knob.named(name, label, new PropertyRef("camera", "iris"), 1, Source.NONE));
        return this;
    }

    MadeUpSite toggle(String name, String label) {
        switches.put(name, new Switch(name, label, Optional.empty(), false, Button.LOCKOUT, Duration.ZERO,
                Optional.empty(), Optional.empty(), Optional.empty(), Source.NONE));
        return this;
    }

    /** A knob that can be pushed, and turns something else then. */
    MadeUpSite pushKnob(String name, String label) {
        PropertyRef iris = new PropertyRef("camera", "iris");
        Button push = Button.named(name + ".push", name + ".push", Source.NONE).onPress("go");
        knobs.put(name, new Knob(name, label, Optional.empty(), Optional.empty(), 4, iris, 5, 1,
                Optional.of(new Knob.Push(push, Optional.of(new Knob.Turning(iris, 1)))), Optional.empty(),
                Source.NONE));
        return this;
    }

    MadeUpSite lamp(String name, String label) {
        lamps.put(name, Lamp.named(name, label, List.of(), Source.NONE));
        return this;
    }

    MadeUpSite device(String name, String label) {
        Kind kind = new Kind("made-up", "", "tcp", false, OptionalInt.empty(), null, Optional.empty(), Map.of(),
                Map.of(), List.of(), Optional.empty(), List.of(), Duration.ZERO, Optional.empty(), Duration.ZERO, null,
                Map.of(),
                Source.NONE);
        devices.put(name, new Device(name, label, kind, "127.0.0.1", 1, Map.of(), Source.NONE));
        return this;
    }

    MadeUpSite rows(List<List<String>> theRows) {
        rows = theRows;
        return this;
    }

    Site site() {
        return site("Village hall");
    }

    Site site(String name) {
        return new Site(Path.of("."), name, new FrameRate(25, 1), Limits.DEFAULT,
                new Panel(Board.ANY, Map.of(), buttons, switches, knobs, Map.of(), Map.of(), lamps, rows,
                        Panel.Signs.DEFAULT, Optional.empty()),
                devices, Map.of());
    }

    /** Eighteen buttons, two knobs, two lamps and eight devices. */
    static MadeUpSite full() {
        return new MadeUpSite().button("welcome", "WELCOME").button("speaker", "SPEAKER").button("slides", "SLIDES")
                .button("both", "SPEAKER + SLIDES").button("poem", "POEM").button("song", "SONG WORDS")
                .button("choir", "CHOIR").button("piano", "PIANO").button("hall", "WHOLE HALL")
                .button("near", "NEAR").button("far", "FAR").button("rail", "RAIL HOME").button("screen", "SCREEN")
                .button("blank", "BLANK").button("mics", "MICS").button("break", "TEA BREAK")
                .holdButton("stream", "STREAM", Duration.ofMillis(1500))
                .holdButton("close", "GOOD NIGHT", Duration.ofSeconds(2)).knob("iris", "IRIS").knob("level", "LEVEL")
                .lamp("gear", "GEAR").lamp("air", "ON AIR").device("mixer", "Vision mixer")
                .device("stage-camera", "Stage camera").device("rail-camera", "Rail camera")
                .device("projector", "Projector").device("slides-pc", "Slides computer")
                .device("desk", "Sound desk").device("encoder", "Stream encoder").device("lights", "House lights")
                .rows(List.of(List.of("welcome", "speaker", "slides", "both", "poem", "song"),
                        List.of("choir", "piano", "hall", "near", "far", "rail"),
                        List.of("screen", "blank", "mics", "break", "stream", "close"),
                        List.of("iris", "level", "gear", "air")));
    }
}
