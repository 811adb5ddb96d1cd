package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

import bellpush.config.model.Accepted;

/** site.json: the venue and the limits. */
final class SiteFile {
    private static final Shape LIMITS = object("the limits")
            .may("runs", whole(1, 1000, 32), "Macros running or waiting at the same time; one more is refused.")
            .may("runDepth", whole(1, 32, 8), "How deep macros may run inside macros.")
            .may("stepsPerPress", whole(1, 100_000, 1000), "Steps that one press may run in all.")
            .may("waitingSends", whole(1, 10_000, 64), "Messages waiting for one device's pace.")
            .may("logQueue", whole(100, 1_000_000, 10_000), "Lines of the event log waiting for the disk.")
            .may("messageBytes", whole(64, 1_048_576, 65_536), "The longest message taken from a device, in bytes.")
            .may("macro", DURATION,
                    "How long the steps of a macro may take that does not say so itself. Without it: 60 s.");

    private static final Shape ACCEPTED = object("an accepted finding")
            .need("finding", word(Accepted.FINDINGS.toArray(String[]::new)), "What was found, in the words of check.")
            .need("of", text(1, 200), "The macro, or the lamp, of which it was found, as check names it.")
            .may("about", text(1, 300),
                    "What it was found about, as check names it, where one macro can have several of a kind.")
            .need("reason", text(1, 300), "Why it is meant to be so; check lists it.");

    static final Shape SHAPE = file("the site").need("name", LABEL, "What people call the venue.")
            .may("frameRate",
                    either(number(1, 1000, 25), TextShape.of("^[1-9][0-9]{0,8}(?:/[1-9][0-9]{0,8})?$",
                            "a fraction in quotation marks", "30000/1001")),
                    "Frames per second, for durations in frames: 25, 29.97, 59.94, 23.976 or a fraction such as"
                            + " \"30000/1001\". Without it: 25.")
            .may("limits", LIMITS, "Limits of a running site.")
            .may("accepted", list(ACCEPTED, "an accepted finding", 0, 200),
                    "Findings of check that are meant to be so, each with the reason.");

    private SiteFile() {}
}
