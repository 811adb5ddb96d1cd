package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

import bellpush.config.json.Node;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** panel.json: what is wired where, and what a gesture does. */
final class PanelFile {
    private static final Pattern GPIO = Pattern.compile("(?i)(?:gpio|bcm|pin)[ _-]?0*([2-9]|1[0-9]|2[0-7])");
    /** BCM numbers by position on the 40-pin header, where the position itself is no BCM number (common practice, no source). */
    private static final Map<Integer, Integer> BY_POSITION = Map.of(29, 5, 31, 6, 32, 12, 33, 13, 35, 19, 36, 16, 37,
            26, 38,
            20, 40, 21);
    private static final Shape PIN = new NumberShape(true, 2, 27, 5) {
        @Override
        String wanted() {
            return "the BCM number of a GPIO on the 40-pin header, from 2 to 27";
        }

        @Override
        Optional<String> cure(Node node) {
            if (node instanceof Node.Text(String text, _)) {
                Matcher named = GPIO.matcher(text.strip());
                return named.matches()
                        ? Optional.of("Write " + Integer.valueOf(named.group(1)) + ".")
                        : Optional.empty();
            }
            return node instanceof Node.Num n && n.whole()
                    ? Optional.ofNullable(BY_POSITION.get((int) n.number()))
                            .map(gpio -> "If position " + n.written() + " of the header is meant, write " + gpio + ".")
                    : Optional.empty();
        }
    };
    private static final String PIN_ABOUT = "The BCM number of the GPIO, not its place on the 40-pin header; GPIO 0 and 1 are"
            + " reserved for an add-on board's identification chip. Without it only the drawn panel has it.";
    private static final Shape PATTERN = word("off", "steady", "slow", "fast", "pulse");
    private static final Shape BRIGHTNESS = number(0, 1, 0.5);
    private static final Shape COLOUR = word("red", "yellow", "green", "blue", "white");

    private static final Shape RULE = object("a lamp rule")
            .may("when", ConditionShape.CONDITION, "When the rule holds; without it: always.")
            .need("show", PATTERN, "What the lamp shows: off, steady, slow, fast or pulse.")
            .may("brightness", BRIGHTNESS, "From 0 to 1, as the eye sees it.")
            .may("colour", COLOUR, "For a lamp of several colours.");
    private static final Shape RULES = list(RULE, "A rule", 0, 100);
    private static final Shape SIGN = either(PATTERN,
            object("a sign").need("show", PATTERN, "What the lamp shows.")
                    .may("brightness", BRIGHTNESS, "From 0 to 1, as the eye sees it.")
                    .may("colour", COLOUR, "For a lamp of several colours."));

    private static final ObjectShape LAMP = object("a lamp").may("pin", PIN, PIN_ABOUT)
            .may("activeHigh", flag(), "Whether a high level lights it. Without it: true.")
            .may("rules", RULES, "The first rule that holds decides what it shows; none: off.");

    private static final Shape BUTTON = object("a button").need("label", LABEL, "What stands beside it on the panel.")
            .may("pin", PIN, PIN_ABOUT)
            .may("activeHigh", flag(), "Whether pressing makes the pin high. Without it: false, it pulls to ground.")
            .may("lockout", DURATION,
                    "After an edge that acted, further edges are ignored for this long. Without it: 10 ms.")
            .may("lamp", either(PIN, LAMP), "The lamp in or beside the button: its pin, or an object.")
            .may("press", NAME, "The macro that runs on press.")
            .may("release", NAME, "The macro that runs on release.")
            .may("hold", object("a hold").need("for", DURATION, "How long it must be held.")
                    .need("run", NAME, "The macro that then runs."), "What holding it does.");

    private static final Shape KNOB = object("a knob").need("label", LABEL, "What stands beside it on the panel.")
            .may("pins", list(PIN, "A pin", 2, 2), "The BCM numbers of channels A and B.")
            .may("perDetent", new NumberWordShape(1, 2, 4), "Transitions per detent: 1, 2 or 4. Without it: 4.")
            .need("turns", REFERENCE, "The number property that it moves.")
            .may("step", number(-1_000_000, 1_000_000, 1),
                    "Change per detent in the property's unit; negative turns the other way round. Without it: 1, or the"
                            + " property's own step.");

    private static final Shape SIGNS = object("the signs")
            .may("linkDown", SIGN, "The lamp speaks of a device whose link is not up.")
            .may("unknown", SIGN, "What the lamp speaks of is not known.")
            .may("assumed", SIGN, "What the lamp speaks of was sent but not yet reported.")
            .may("running", SIGN, "The button's macro is running.")
            .may("holding", SIGN, "The button is being held towards its hold time.")
            .may("failed", SIGN, "The last macro the button started has failed.")
            .may("failedFor", DURATION, "How long that is shown. Without it: 10 s.");

    static final Shape SHAPE = file("the panel")
            .may("buttons", map("the buttons", NAME, "button", BUTTON, "A push button."), "Push buttons by name.")
            .may("knobs", map("the knobs", NAME, "knob", KNOB, "A rotary encoder."), "Rotary encoders by name.")
            .may("lamps",
                    map("the lamps", NAME, "lamp", LAMP.may("label", LABEL, "What stands beside it on the panel."),
                            "A lamp that belongs to no button."),
                    "Lamps of no button, by name.")
            .may("rows", list(list(NAME, "A name", 0, 100), "A row", 0, 100),
                    "Names of controls and lamps as they lie on the panel, row by row.")
            .may("signs", SIGNS, "What a lamp shows where its rule cannot be shown as a fact.");

    private PanelFile() {}
}
