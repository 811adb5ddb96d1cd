package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** macros/NAME.json: a chain of steps. */
final class MacroFile {
    private static final Shape OTHERWISE = either(word("stop", "go on"),
            run(object("a fallback"), VALUE_OR_ARGUMENT, "The macro that runs instead."));
    private static final Shape STEPS = new RefShape("steps", MacroFile::steps, "a list of steps in brackets",
            "[ { \"wait\": \"200 ms\" } ]");

    private static final Shape CONFIRM = either(DURATION,
            object("a confirmation").need("within", DURATION, "How long the devices may take to report the values.")
                    .may("times", whole(1, 10, 3), "How often they are sent in all. Without it: 3."));
    private static final String ON_FAILURE = "What happens when this step fails; it comes before the macro's own. Without it: as the macro says.";

    static final Shape SHAPE = file("a macro").may("label", LABEL, "What people call it. Without it: its name.")
            .may("about", ABOUT, "What it is for.")
            .may("lane", either(NAME, list(NAME, "A lane", 0, 16)),
                    "What it must have to itself; macros in one lane never interleave.")
            .may("arguments", map("the arguments", PROPERTY, "argument", KindFile.argument(),
                    "A value that is given where the macro is run."),
                    "What is given where the macro is run, so that one chain serves many buttons.")
            .may("takesOver", flag(),
                    "Whether it stops macros that hold or wait for its lanes, instead of waiting. Without it: false.")
            .may("onTakeover", run(object("a macro to run"), VALUE_OR_ARGUMENT,
                    "The macro that runs before another takes over."),
                    "What is run, to its end, when another macro takes over from this one."
                            + " Without it: it is stopped where it is.")
            .may("again",
                    either(word("ignore", "restart", "queue"),
                            object("a queue").need("queue", whole(1, 16, 3), "How many presses may wait.")),
                    "What a second press does while it runs. Without it: ignore.")
            .may("within", DURATION, "How long its steps may take, from when it has its lanes. Without it: what"
                    + " site.json says, or 60 s.")
            .may("onFailure", OTHERWISE, "What happens when a step fails. Without it: stop.")
            .need("steps", STEPS, "What it does, step by step.")
            .may("promise", ConditionShape.CONDITION, "What it guarantees once it is done.")
            .may("promiseWithin", DURATION, "How long the devices may take to report that. Without it: 3 s.");

    private MacroFile() {}

    private static Shape steps() {
        return list(byKey("a step",
                object("a set step").need("set",
                        map("the values", REFERENCE, "property", OPERAND, "The value it is set to.")
                                .atLeast(1),
                        "Properties and the values they are set to, in this order.")
                        .may("confirm", CONFIRM, "How long the devices may take to report that; what is not reported"
                                + " is sent again.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                object("a do step").need("do", REFERENCE, "The command: a device, a dot, a command of its kind.")
                        .may("with", map("the arguments", PROPERTY, "argument", VALUE_OR_PRESENT,
                                "The argument's value."),
                                "The command's arguments.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                object("a wait step").need("wait", DURATION, "How long, measured from when the step before was due."),
                object("an until step").need("until", ConditionShape.CONDITION, "The condition that is waited for.")
                        .may("within", DURATION, "How long it is waited for. Without it: 2 s.")
                        .may("else", OTHERWISE, "What happens if it does not come true in time. Without it: stop."),
                object("an if step").need("if", ConditionShape.CONDITION, "The condition that decides.")
                        .need("then", STEPS, "The steps if it holds.").may("else", STEPS, "The steps if it does not."),
                object("a remember step").need("remember", REFERENCE, "The property whose present value is noted.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                object("a restore step").need("restore", REFERENCE, "The property that gets its noted value back.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                run(object("a run step"), VALUE_OR_ARGUMENT, "The macro whose steps run here.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                object("a together step")
                        .need("together", list(STEPS, "A branch", 2, 16), "Lists of steps that run side by side.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                object("a stop step").need("stop", either(word("everything"), list(NAME, "A macro", 1, 100)),
                        "everything, or the macros whose runs are ended where they are."),
                object("a glide step").need("glide",
                        map("the targets", REFERENCE, "property", TARGET, "The value it goes to.").atLeast(1),
                        "Number properties and the values they go to, all arriving together.")
                        .need("over", DURATION, "How long that takes.")
                        .may("ease", word("even", "start", "end", "both", "smooth"),
                                "Where it goes gently: at the start, at the end, at both (smooth: a little less so), "
                                        + "or nowhere (even). Without it: both.")
                        .may("onFailure", OTHERWISE, ON_FAILURE),
                object("a say step").need("say", text(1, 500), "A line for the event log.")), "A step", 0, 1000);
    }
}
