package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** panel.json: what is wired where, and what a gesture does. */
final class PanelFile {
    private static final String PIN_ABOUT = "The BCM number of the GPIO, not its place on the 40-pin header, or a pin of a"
            + " chip. GPIO 0 and 1 are reserved for an add-on board's identification chip. Without it only the drawn"
            + " panel has it.";
    private static final String TOLD = "What it is for and when to use it, for the volunteer's cue card.";
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

    private static final Shape LED = object("an LED")
            .may("colour", COLOUR, "Its colour. Without it: green.")
            .may("volts", number(0.5, 24, 2), "Its forward voltage. Without it: what is typical of the colour.")
            .may("milliamps", number(0.1, 100, 2), "The current to light it with. Without it: 2 mA.");

    private static final ObjectShape LAMP = object("a lamp").may("pin", PinShape.PIN, PIN_ABOUT)
            .may("pins", list(PinShape.PIN, "A pin", 3, 3),
                    "For a lamp of three colours: the pins of red, green and blue.")
            .may("activeHigh", flag(), "Whether a high level lights it. Without it: true.")
            .may("dims", flag(), "Whether its brightness is set by pulse width, on GPIO 12, 13, 18 or 19."
                    + " Without it: false, it is lit or not.")
            .may("led", LED, "The part it is made of, for computing its resistor.")
            .may("about", ABOUT, "What it tells, for the volunteer's cue card.")
            .may("rules", RULES, "The first rule that holds decides what it shows; none: off.");

    /** A macro, by its name or with values for its arguments. */
    private static final Shape RUN = either(NAME,
            run(object("a macro to run"), VALUE, "The macro that runs."));

    private static final Shape BUTTON = object("a button").need("label", LABEL, "What stands beside it on the panel.")
            .may("pin", PinShape.PIN, PIN_ABOUT)
            .may("activeHigh", flag(), "Whether pressing makes the pin high. Without it: false, it pulls to ground.")
            .may("lockout", DURATION,
                    "After an edge that acted, further edges are ignored for this long. Without it: 10 ms.")
            .may("steadyFor", DURATION, "An edge counts once the level has lasted this long, against glitches on long"
                    + " cables. It delays the press. Without it: 0 ms.")
            .may("stuckAfter", DURATION,
                    "Closed for longer than this, the button is taken to be stuck. Without it: 30 s.")
            .may("lamp", either(PinShape.PIN, LAMP), "The lamp in or beside the button: its pin, or an object.")
            .may("about", ABOUT, TOLD)
            .may("press", RUN, "The macro that runs on press.")
            .may("release", RUN, "The macro that runs on release.")
            .may("hold", run(object("a hold").need("for", DURATION, "How long it must be held."), VALUE,
                    "The macro that then runs."), "What holding it does.")
            .may("double", run(object("a double press")
                    .may("within", DURATION, "The longest time between the two presses. Without it: 300 ms."), VALUE,
                    "The macro that then runs."),
                    "What pressing it twice in a row does. A single press is delayed by the time that a second could follow.");

    private static final Shape SWITCH = object("a switch").need("label", LABEL, "What stands beside it on the panel.")
            .may("pin", PinShape.PIN, PIN_ABOUT)
            .may("activeHigh", flag(), "Whether on makes the pin high. Without it: false, it pulls to ground.")
            .may("lockout", DURATION,
                    "After an edge that acted, further edges are ignored for this long. Without it: 10 ms.")
            .may("steadyFor", DURATION, "An edge counts once the level has lasted this long. Without it: 0 ms.")
            .may("on", RUN, "The macro that runs when it is put on.")
            .may("off", RUN, "The macro that runs when it is put off.")
            .may("about", ABOUT, TOLD);

    private static final Shape STEP = number(-1_000_000, 1_000_000, 1);
    private static final String STEP_ABOUT = "Change per detent in the property's unit; negative turns the other way"
            + " round. Without it: 1, or the property's own step.";

    private static final Shape PUSH = object("a push switch").may("pin", PinShape.PIN, PIN_ABOUT)
            .may("activeHigh", flag(), "Whether pushing makes the pin high. Without it: false, it pulls to ground.")
            .may("press", RUN,
                    "The macro that runs on a push; where there is \"turns\", on letting go without having turned.")
            .may("turns", REFERENCE, "The number property that turning moves while it is pushed.")
            .may("step", STEP, STEP_ABOUT);

    private static final Shape KNOB = object("a knob").need("label", LABEL, "What stands beside it on the panel.")
            .may("pins", list(PinShape.PIN, "A pin", 2, 2), "The BCM numbers of channels A and B.")
            .may("perDetent", new NumberWordShape(1, 2, 4), "Transitions per detent: 1, 2 or 4. Without it: 4.")
            .need("turns", REFERENCE, "The number property that it moves.")
            .may("step", STEP, STEP_ABOUT)
            .may("faster", whole(1, 100, 4),
                    "How many times the step a detent may be worth when the knob is spun. Without it: 1, always the step.")
            .may("push", PUSH, "Its push switch.").may("about", ABOUT, TOLD);

    private static final Shape SHARE = number(0, 1, 0.5);
    private static final ObjectShape ENDS = object("a calibration")
            .may("low", SHARE,
                    "What the converter reads at the lower end, as a share of its full scale. Without it: 0.")
            .may("high", SHARE, "What it reads at the upper end. Without it: 1.");
    private static final Shape CURVE = number(0.2, 5, 2);
    private static final Shape STEADINESS = number(0, 0.1, 0.004);
    private static final String STEADINESS_ABOUT = "Changes smaller than this share of full scale are noise. Without it: 0.004.";

    private static final Shape FADER = object("a fader").need("label", LABEL, "What stands beside it on the panel.")
            .may("input", PinShape.OF_CHIP.such("adc.0"),
                    "The pin of a converter. Without it only the drawn panel has it.")
            .need("moves", REFERENCE, "The number property that it puts where it stands.")
            .may("from", number(0), "The property's value at the lower end. Without it: the least it takes.")
            .may("to", number(0), "The property's value at the upper end. Without it: the most it takes.")
            .may("calibration", ENDS, "What the converter reads at the ends.")
            .may("curve", CURVE, "1: even. 2: finer towards \"from\". Without it: 1.")
            .may("steadiness", STEADINESS, STEADINESS_ABOUT)
            .may("pickUp", flag(), "Whether it must pass the property's value before it moves it. Without it: true.")
            .may("about", ABOUT, TOLD);

    private static final Shape AXIS = object("an axis")
            .may("input", PinShape.OF_CHIP.such("adc.1"), "The pin of a converter.")
            .may("contacts", list(PinShape.PIN, "A pin", 2, 2), "For a rocker: the pins of its contacts, down and up.")
            .need("drives", REFERENCE, "The number property that it drives: a speed whose 0 is standstill.")
            .may("most", number(5),
                    "The speed at the end of the way up, and its opposite down; negative turns it round."
                            + " Without it: the most the property takes both ways.")
            .may("calibration", object("a calibration")
                    .may("low", SHARE,
                            "What the converter reads at the lower end, as a share of its full scale. Without it: 0.")
                    .may("centre", SHARE, "What it reads when let go. Without it: 0.5.")
                    .may("high", SHARE, "What it reads at the upper end. Without it: 1."),
                    "What the converter reads at the ends and in the middle.")
            .may("deadZone", number(0, 0.5, 0.06),
                    "Share of the way from the middle that still counts as the middle. Without it: 0.06.")
            .may("curve", CURVE, "1: even. 2: finer near the middle. Without it: 2.")
            .may("steadiness", STEADINESS, STEADINESS_ABOUT);

    private static final Shape JOYSTICK = object("a joystick")
            .need("label", LABEL, "What stands beside it on the panel.")
            .need("axes", map("the axes", NAME, "axis", AXIS, "One direction and its opposite.").atLeast(1),
                    "Its axes by name. A rocker has one.")
            .may("about", ABOUT, TOLD);

    private static final Shape SPI = TextShape.of("^spi-[0-9]\\.[0-9]$",
            "an SPI bus and its chip-select line, such as \"spi-0.0\"", "spi-0.0");
    private static final Shape BUS = TextShape.of("^(?:i2c-[0-9]|spi-[0-9]\\.[0-9])$",
            "\"i2c-1\" or another I2C bus, or \"spi-0.0\" or another SPI bus with its chip-select line", "i2c-1");
    private static final Shape ADDRESS = TextShape.of("^0x[0-7][0-9a-fA-F]$",
            "the address on the bus in hexadecimal, such as \"0x20\"", "0x20");
    private static final Shape CHIP = byKey("a chip, matrix or strip",
            object("an expander").need("expander", word("mcp23017", "mcp23s17"), "The part: on I2C or on SPI.")
                    .need("bus", BUS, "Where it is connected.")
                    .may("address", ADDRESS, "0x20 to 0x27, as its address pins are wired. Without it: 0x20.")
                    .may("interrupt", PinShape.GPIO,
                            "The GPIO to which its interrupt output goes. Without it, it is read"
                                    + " again and again, which costs power and time."),
            object("a converter").need("converter", word("mcp3008", "ads1115"), "The part: on SPI or on I2C.")
                    .need("bus", BUS, "Where it is connected.")
                    .may("address", ADDRESS, "0x48 to 0x4b, as its address pin is wired. Without it: 0x48.")
                    .may("every", DURATION, "How often it is read while something moves. Without it: 20 ms.")
                    .may("volts", number(1, 5.5, 3.3),
                            "For an ADS1115: the voltage at the upper end of the fader or joystick. Without it: 3.3."),
            object("a matrix").need("matrix", object("the pins of a matrix")
                    .need("rows", list(PinShape.PIN, "A pin", 1, 16), "Pins that are driven low, one after the other.")
                    .need("columns", list(PinShape.PIN, "A pin", 1, 16), "Pins that are pulled up and read."),
                    "Keys at the crossings of rows and columns, each with a diode from its column to its row.")
                    .may("every", DURATION, "How often it is looked through while a key is closed. Without it: 5 ms."),
            object("a strip").need("strip", word("one-wire", "clocked"),
                    "Lamps of three colours in a row: with one data line, or with data and clock.")
                    .need("bus", SPI, "Where it is connected.")
                    .need("length", whole(1, 300, 12), "How many lamps it has.")
                    .may("order", word("rgb", "rbg", "grb", "gbr", "brg", "bgr"),
                            "The order in which its colours are sent. Without it: grb, or bgr if clocked.")
                    .may("milliampsMax", number(10, 20_000, 500),
                            "What all its lamps together may draw; they are dimmed to stay below it. Without it: 500."));

    private static final Shape BOARD = object("the board")
            .may("chip", word("bcm2835", "bcm2711", "other"),
                    "The chip that drives the header's pins; bcm2835 stands for"
                            + " 2836 and 2837 as well. Without it: other.")
            .may("milliampsPerPin", number(0.5, 50, 8),
                    "The most that one pin may give or take. Without it: what the chip"
                            + " can, 8 mA for other.")
            .may("milliampsTogether", number(1, 1000, 50),
                    "The most that all pins may give together. Without it: 50 mA.");

    private static final Shape FACE = object("the front of the panel")
            .need("width", number(20, 2000, 320), "Millimetres.").need("height", number(20, 2000, 160), "Millimetres.")
            .may("places", map("the places", NAME, "control or lamp",
                    list(number(0, 2000, 30), "A number of millimetres", 2, 2),
                    "Its middle: millimetres from the left edge and from the upper edge."),
                    "Where controls and lamps are. What is not in it is placed by its row.");

    private static final Shape SIGNS = object("the signs")
            .may("linkDown", SIGN, "The lamp speaks of a device whose link is not up.")
            .may("unknown", SIGN, "What the lamp speaks of is not known.")
            .may("assumed", SIGN, "What the lamp speaks of was sent but not yet reported.")
            .may("running", SIGN, "The button's macro is running.")
            .may("holding", SIGN, "The button is being held towards its hold time.")
            .may("failed", SIGN, "The last macro the button started has failed.")
            .may("failedFor", DURATION, "How long that is shown. Without it: 10 s.");

    static final Shape SHAPE = file("the panel")
            .may("board", BOARD, "What the board's pins can bear.")
            .may("chips", map("the chips", NAME, "chip", CHIP, "More pins than the header has."),
                    "Expanders, converters, matrices and strips by name.")
            .may("buttons", map("the buttons", NAME, "button", BUTTON, "A push button."), "Push buttons by name.")
            .may("switches", map("the switches", NAME, "switch", SWITCH, "A switch that stays where it is put."),
                    "Switches by name.")
            .may("knobs", map("the knobs", NAME, "knob", KNOB, "A rotary encoder."), "Rotary encoders by name.")
            .may("faders", map("the faders", NAME, "fader", FADER, "A slide or turn potentiometer."), "Faders by name.")
            .may("joysticks", map("the joysticks", NAME, "joystick", JOYSTICK, "A spring-returned stick or rocker."),
                    "Joysticks and rockers by name.")
            .may("lamps",
                    map("the lamps", NAME, "lamp", LAMP.may("label", LABEL, "What stands beside it on the panel."),
                            "A lamp that belongs to no button."),
                    "Lamps of no button, by name.")
            .may("rows", list(list(NAME, "A name", 0, 100), "A row", 0, 100),
                    "Names of controls and lamps as they lie on the panel, row by row.")
            .may("signs", SIGNS, "What a lamp shows where its rule cannot be shown as a fact.")
            .may("face", FACE, "The front of the panel, for labels and the drilling plan.");

    private PanelFile() {}
}
