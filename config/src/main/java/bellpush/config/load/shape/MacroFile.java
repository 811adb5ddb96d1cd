package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** macros/NAME.json: a chain of steps. */
final class MacroFile {
    private static final Shape OTHERWISE = either(word("stop", "go on"),
            object("a fallback").need("run", NAME, "The macro that runs instead."));
    private static final Shape STEPS = new RefShape("steps", MacroFile::steps, "a list of steps in brackets",
            "[ { \"wait\": \"200 ms\" } ]");

    static final Shape SHAPE = file("a macro").may("label", LABEL, "What people call it. Without it: its name.")
            .may("about", ABOUT, "What it is for.")
            .may("lane", either(NAME, list(NAME, "A lane", 0, 16)),
                    "What it must have to itself; macros in one lane never interleave.")
            .may("again", word("ignore", "restart", "queue"),
                    "What a second press does while it runs. Without it: ignore.")
            .may("onFailure", OTHERWISE, "What happens when a step fails. Without it: stop.")
            .need("steps", STEPS, "What it does, step by step.")
            .may("promise", ConditionShape.CONDITION, "What it guarantees once it is done.")
            .may("promiseWithin", DURATION, "How long the devices may take to report that. Without it: 3 s.");

    private MacroFile() {}

    private static Shape steps() {
        return list(byKey("a step",
                object("a set step").need("set",
                        map("the values", REFERENCE, "property", VALUE, "The value it is set to.")
                                .atLeast(1),
                        "Properties and the values they are set to, in this order."),
                object("a do step").need("do", REFERENCE, "The command: a device, a dot, a command of its kind.")
                        .may("with", map("the arguments", PROPERTY, "argument", VALUE, "The argument's value."),
                                "The command's arguments."),
                object("a wait step").need("wait", DURATION, "How long, measured from when the step before was due."),
                object("an until step").need("until", ConditionShape.CONDITION, "The condition that is waited for.")
                        .may("within", DURATION, "How long it is waited for. Without it: 2 s.")
                        .may("else", OTHERWISE, "What happens if it does not come true in time. Without it: stop."),
                object("an if step").need("if", ConditionShape.CONDITION, "The condition that decides.")
                        .need("then", STEPS, "The steps if it holds.").may("else", STEPS, "The steps if it does not."),
                object("a remember step").need("remember", REFERENCE, "The property whose present value is noted."),
                object("a restore step").need("restore", REFERENCE, "The property that gets its noted value back."),
                object("a run step").need("run", NAME, "The macro whose steps run here."),
                object("a glide step").need("glide",
                        map("the targets", REFERENCE, "property", number(0), "The value it goes to.").atLeast(1),
                        "Number properties and the values they go to, all arriving together.")
                        .need("over", DURATION, "How long that takes.")
                        .may("ease", word("even", "start", "end", "both", "smooth"),
                                "Where it goes gently: at the start, at the end, at both (smooth: a little less so), "
                                        + "or nowhere (even). Without it: both."),
                object("a say step").need("say", text(1, 500), "A line for the event log.")), "A step", 0, 1000);
    }
}
