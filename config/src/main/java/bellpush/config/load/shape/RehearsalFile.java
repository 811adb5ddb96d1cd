package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** rehearsals/NAME.json: a scripted evening. */
final class RehearsalFile {
    private static final Shape WITHIN = DURATION;
    private static final String WITHIN_ABOUT = "How long it may take. Without it: 3 s.";

    private static final TextShape AXIS_NAME = TextShape.of("^[a-z][a-z0-9-]{0,63}\\.[a-z][a-z0-9-]{0,63}$",
            "a joystick's name, a dot, and the name of one of its axes", "camera.pan");

    private static final Shape FAULT = either(word("off", "works", "deaf", "refusing"), byKey("a trouble",
            object("a trouble").need("slow", DURATION, "How late every answer and report is."),
            object("a trouble").need("drops", number(0, 1, 0.3), "The share of packets that is lost, from 0 to 1."),
            object("a trouble").need("restarts", DURATION, "How long it is off before it is on again, as when new.")));

    private static final Shape ACT = byKey("an act",
            object("a say act").need("say", text(1, 500), "A line for the reader."),
            object("a press act").need("press", NAME, "The button that is pressed and released."),
            object("a double press act").need("double", NAME, "The button that is pressed twice in a row."),
            object("a hold act").need("hold", NAME, "The button that is held.")
                    .need("for", DURATION, "How long it is held."),
            object("a turn act").need("turn", NAME, "The knob that is turned.")
                    .need("by", whole(-1000, 1000, 3), "By how many detents; negative turns the other way.")
                    .may("pushed", flag(), "Whether it is pushed meanwhile. Without it: false."),
            object("a push act").need("push", NAME, "The knob that is pushed and let go."),
            object("a switch act").need("switch", NAME, "The switch that is moved.")
                    .need("to", word("on", "off"), "Where it is put."),
            object("a fader act").need("fader", NAME, "The fader that is moved.")
                    .need("to", number(0, 1, 0.5), "How far up it is put, from 0 to 1."),
            object("an axis act").need("axis", AXIS_NAME, "The joystick's axis, such as camera.pan.")
                    .need("to", number(-1, 1, 0.8), "How far it is pushed: -1 all the way down, 1 all the way up.")
                    .need("for", DURATION, "For how long, before it is let go."),
            object("a wait act").need("wait", DURATION, "How long."),
            object("an expect act")
                    .need("expect", ConditionShape.CONDITION, "What the runtime must believe for certain.")
                    .may("within", WITHIN, WITHIN_ABOUT),
            object("a gear act").need("gear", values(), "What the simulated gear itself must be set to.")
                    .may("within", WITHIN, WITHIN_ABOUT),
            object("a lamps act")
                    .need("lamps", map("the lamps", NAME, "lamp", word("off", "steady", "slow", "fast", "pulse"),
                            "What it must show.").atLeast(1), "What lamps must show.")
                    .may("within", WITHIN, WITHIN_ABOUT),
            object("an outside act").need("outside", values(), "What somebody changes at the device itself."),
            object("a trouble act").need("trouble",
                    map("the troubles", NAME, "device", FAULT, "What goes wrong with it.")
                            .atLeast(1),
                    "What goes wrong with which device, until works is given."));

    static final Shape SHAPE = file("a rehearsal").may("about", ABOUT, "What it tries.")
            .need("acts", list(ACT, "An act", 0, 10_000), "What happens, act by act.");

    private RehearsalFile() {}

    private static Shape values() {
        return map("the values", REFERENCE, "property", VALUE, "Its value.").atLeast(1);
    }
}
