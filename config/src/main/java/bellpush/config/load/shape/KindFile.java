package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;
import static java.util.Map.entry;

import java.util.List;

/** kinds/NAME.json: how one model of device is spoken to. */
final class KindFile {
    private static final Shape TEMPLATE = TemplateShape.TEMPLATE;
    private static final Shape WIRE_WORD = either(text(0, 200), number(0));
    private static final Shape WIRE_RANGE = list(number(0), "An end", 2, 2);
    private static final String TYPE = "What values it takes: flag, choice, whole, number or text.";

    private static final Shape FRAMING = either(word("slip"), byKey("a framing",
            object("a framing").need("endsWith", text(1, 16), "The characters that end every message."),
            object("a framing").need("endsWithHex", TextShape.of("^[0-9a-fA-F]{2}(?: ?[0-9a-fA-F]{2}){0,15}$",
                    "pairs of hexadecimal digits", "0d 0a"), "The bytes that end every message."),
            object("a framing")
                    .need("length", word("u8", "u16", "u32", "u16le", "u32le"),
                            "The count of bytes: before every message, or within it where \"at\" says.")
                    .may("counts", word("rest", "all"),
                            "Whether the count is that of what follows it, or includes itself and what is before it. "
                                    + "Without it: rest.")
                    .may("at", whole(0, 64, 1), "How many bytes of the message stand before the count. With it the "
                            + "count is part of the message, and the envelope or the templates write it as {length}.")
                    .may("uncounted", whole(0, 64, 1),
                            "With \"at\": how many bytes at the message's end are not counted. Without it: 0."),
            object("a framing").need("bytes", whole(1, 65_536, 8), "How many bytes every message has.")));

    private static final Shape HEARTBEAT = object("a heartbeat").need("send", TEMPLATE, "What is sent.")
            .may("reply", TEMPLATE, "What must come back. Without it: anything.")
            .need("every", DURATION, "How long nothing may have come in before it is sent.")
            .need("within", DURATION, "How long the answer may take.");

    private static final Shape ANSWERS = object("the answers")
            .may("ok", list(TEMPLATE, "An answer", 0, 100), "What the device says when it has done as asked.")
            .may("refused", list(object("a refusal").need("message", TEMPLATE, "What the device says.")
                    .need("means", text(1, 200), "What it means, in words for people."), "A refusal", 0, 100),
                    "What the device says when it does not do as asked.")
            .may("within", DURATION, "How long an answer may take. Without it: 1 s.")
            .may("again", whole(0, 10, 2), "How often the same datagram is sent again without an answer.");

    private static final Shape EFFECT = either(text(0, 1000), number(0), flag(), byKey("an effect",
            object("an effect").need("opposite", only(true), "The opposite of what the flag was."),
            object("an effect").need("argument", PROPERTY, "The value of this argument of the command."),
            object("an effect").need("property", PROPERTY, "The value that this property had before."),
            object("an effect").need("unknown", only(true), "Something that nobody can know.")));

    private static final Shape COMMAND = object("a command").may("about", ABOUT, "What it does.")
            .need("send", TEMPLATE, "The message that makes the device do it.")
            .may("arguments", map("the arguments", PROPERTY, "argument", argument(),
                    "A value that is given with the command."), "Values that are given with the command.")
            .may("effect", map("the effects", PROPERTY, "property", EFFECT, "What the property becomes."),
                    "What it does to properties of the device.")
            .may("takes", DURATION, "How long the device needs until the effect is complete.")
            .may("urgent", flag(),
                    "For a stop: it leaves before everything that waits for the device. Without it: false.");

    private static final Shape MOVE = object("a move")
            .need("send", TEMPLATE, "The message; it has the fields {value} and {over}.")
            .need("counts", word("ms", "s", "frames"), "What {over} counts.")
            .may("longest", DURATION, "The longest time that the device takes. Without it: an hour.")
            .may("stop", PROPERTY, "The command that ends the move where it is.");

    private static final Shape SPEEDS = object("a table of speeds")
            .need("by", PROPERTY, "The property of the same kind that is its speed.")
            .need("table", list(list(number(0.5), "A number", 2, 2), "An entry", 1, 1000),
                    "Speeds in rising order, each with the units per second that it makes.");

    static final Shape SHAPE = file("a kind").may("about", ABOUT, "What device this is.")
            .need("driver", NAME.such("tcp"), "tcp, udp, osc, or the name of a driver from another jar.")
            .may("stream", flag(), "For osc only: over TCP instead of UDP.")
            .may("port", whole(1, 65_535, 4000), "The port such a device listens on.")
            .may("framing", FRAMING, "How one message is told from the next on a byte stream.")
            .may("envelope", TEMPLATE, "What is put around every message; the field {body} is the message.")
            .may("fastest", DURATION, "The least time between two messages to the device.")
            .may("properties", map("the properties", PROPERTY, "property", typed("a property", KindFile::property),
                    "Something the device has."), "What the device has.")
            .may("commands", map("the commands", PROPERTY, "command", COMMAND, "A one-shot act of the device."),
                    "What the device can be told to do.")
            .may("reports", list(TEMPLATE, "A report", 0, 1000),
                    "Messages that tell several properties at once, or that are to be known and ignored.")
            .may("greeting", TEMPLATE, "What the device says first on a new connection.")
            .may("asks", list(PROPERTY, "A property", 0, 1000),
                    "What is asked after each connect. Without it: everything.")
            .may("askEvery", DURATION,
                    "How often all of that is asked again, for a device that does not speak by itself.")
            .may("heartbeat", HEARTBEAT, "How a silent device is told from a dead one.")
            .may("answers", ANSWERS, "How the device acknowledges what it is sent.")
            .may("settings", DevicesFile.settings(), "Free settings for the driver.");

    private KindFile() {}

    private interface Base {
        ObjectShape of(String noun);
    }

    /** What values an argument takes: of a command or of a macro. */
    static Shape argument() {
        return typed("an argument", KindFile::bare);
    }

    private static ObjectShape bare(String noun) {
        return object(noun).may("about", ABOUT, "What it is.");
    }

    private static ObjectShape property(String noun) {
        return bare(noun).may("set", TEMPLATE, "The message that changes it.")
                .may("move", MOVE, "How the device itself moves it to a value within a time.")
                .may("speeds", SPEEDS, "How fast it goes at each value of its speed.")
                .may("ask", TEMPLATE, "The message that asks for it.")
                .may("answer", TEMPLATE, "What the device says to that question, and at no other time.")
                .may("report", TEMPLATE, "What the device may say about it at any time.")
                .may("initial", VALUE, "What a simulated device starts with.")
                .may("fastest", DURATION, "The least time between two writes of it. Without it: 20 ms.")
                .may("takes", DURATION, "How long the device needs to arrive at a new value.")
                .may("steadyWhile", ConditionShape.OF_KIND, "While this holds, the property must not be changed.")
                .may("unsettles", list(PROPERTY, "A property", 0, 1000),
                        "Properties that nobody knows any more once this one has been set, as a speed moves a position.");
    }

    private static Shape typed(String noun, Base base) {
        Shape unit = text(0, 20);
        Shape choices = either(list(text(1, 60), "A choice", 1, 1000), map("the choices",
                TextShape.of("^[^\\u0000-\\u001f]{1,60}$", "a text of 1 to 60 characters", "slides"), "choice",
                WIRE_WORD,
                "What the device sends and takes for it.").atLeast(1));
        return new ByWordShape(noun, "type", TYPE, ByWordShape.choices(List.of(
                entry("flag", base.of(noun).may("wire", list(WIRE_WORD, "A wire value", 2, 2),
                        "What the device sends and takes for off and on. Without it: 0 and 1.")),
                entry("choice", base.of(noun).need("choices", choices,
                        "The names to choose from, perhaps with what the device sends and takes for each.")),
                entry("whole", base.of(noun)
                        .need("range", list(whole(-9e15, 9e15, 0), "An end", 2, 2), "The least and the greatest value.")
                        .may("unit", unit, "The unit, for people.")
                        .may("wire", WIRE_RANGE, "What the device sends and takes for the two ends of the range.")),
                entry("number", base.of(noun)
                        .need("range", list(number(0), "An end", 2, 2), "The least and the greatest value.")
                        .may("step", number(1e-9, 1e9, 0.1), "Values closer than half of this are the same value.")
                        .may("unit", unit, "The unit, for people.")
                        .may("wire", WIRE_RANGE, "What the device sends and takes for the two ends of the range.")),
                entry("text", base.of(noun).may("longest", whole(1, 1000, 80),
                        "The greatest length in characters. Without it: 255.")))));
    }
}
