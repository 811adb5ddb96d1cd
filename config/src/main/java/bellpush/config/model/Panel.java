package bellpush.config.model;

import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/**
 * What the volunteer touches and sees. Maps keep the order written, which is also the order on the drawn panel.
 *
 * @param chips      what gives the panel more pins than the header has
 * @param lamps      all lamps by name: those of buttons (under the button's name) and those that stand alone
 * @param rows       names of buttons, knobs and lamps as they lie on the panel, row by row; empty: as the runtime likes
 * @param signs      what a lamp shows instead of a fact
 * @param face       the front, where it is drawn in panel.json
 */
public record Panel(Board board, Map<String, Chip> chips, Map<String, Button> buttons, Map<String, Switch> switches,
        Map<String, Knob> knobs, Map<String, Fader> faders, Map<String, Joystick> joysticks, Map<String, Lamp> lamps,
        List<List<String>> rows, Signs signs, Optional<Face> face) {

    /** A panel of buttons, knobs and lamps, wired to the header alone. */
    public static Panel of(Map<String, Button> buttons, Map<String, Knob> knobs, Map<String, Lamp> lamps,
            List<List<String>> rows, Signs signs) {
        return new Panel(Board.ANY, Map.of(), buttons, Map.of(), knobs, Map.of(), Map.of(), lamps, rows, signs,
                Optional.empty());
    }

    /**
     * What a lamp shows where its rule cannot be shown as a fact.
     *
     * @param linkDown the lamp speaks of a device whose link is not up
     * @param unknown  no rule can be decided since a property it names is unknown
     * @param assumed  the rule that decides rests on a value that was sent but not yet reported
     * @param running  the macro of this button is running
     * @param holding  the button is being held towards its hold time
     * @param failed   the last macro this button started has failed; shown for {@code failedFor}
     */
    public record Signs(Look linkDown, Look unknown, Look assumed, Look running, Look holding, Look failed,
            Duration failedFor) {
        public static final Signs DEFAULT = new Signs(Look.of(Look.Pattern.PULSE), Look.of(Look.Pattern.PULSE),
                Look.of(Look.Pattern.SLOW), Look.of(Look.Pattern.SLOW), Look.of(Look.Pattern.FAST),
                Look.of(Look.Pattern.FAST), Duration.ofSeconds(10));
    }
}
