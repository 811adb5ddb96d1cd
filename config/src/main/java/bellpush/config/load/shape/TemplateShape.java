package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** Templates of messages. */
final class TemplateShape {
    private static final Shape TAGGED = byKey("a tagged OSC argument", tagged("i", whole(-2147483648.0, 2147483647, 1)),
            tagged("h", whole(-9e15, 9e15, 1)), tagged("f", number(0.5)), tagged("d", number(0.5)),
            tagged("s", text(0, 1000)), tagged("S", text(0, 1000)),
            tagged("c", TextShape.of("^[ -~]$", "one ASCII character", "a")),
            tagged("b", hex("{0,2000}")), tagged("m", hex("{8}")), tagged("r", hex("{8}")), tagged("t", hex("{16}")),
            tagged("I", only(true)));

    private static final Shape OSC_ARGUMENT = either(text(0, 1000), number(1), flag(), TAGGED, new NullShape());

    static final Shape TEMPLATE = new RefShape("template", TemplateShape::template,
            "a template: a text, { \"hex\": ... } or { \"osc\": ... }", "a text with {value} where the value stands");

    private TemplateShape() {}

    private static Shape template() {
        return either(text(0, 4000), only(true), byKey("a template",
                object("a template").need("hex",
                        TextShape.of("^[^\\u0000]{1,8000}$", "hexadecimal digits and fields", "81 01 {value:u8} ff"),
                        "Bytes in hexadecimal with fields in braces, such as 81 01 {value:u8} ff."),
                object("a template")
                        .need("osc",
                                TextShape.of("^/[!-~]{0,500}$", "an OSC address beginning with a slash", "/key/fill"),
                                "The address of an OSC message; it may hold fields in braces.")
                        .may("args", list(OSC_ARGUMENT, "An argument", 0, 64),
                                "The arguments: fields such as \"{value}\" or \"{value:d}\", or literal values.")));
    }

    private static ObjectShape tagged(String tag, Shape shape) {
        return object("a tagged OSC argument").need(tag, shape,
                "A literal argument with the OSC type tag " + tag + ".");
    }

    private static Shape hex(String count) {
        return TextShape.of("^[0-9a-fA-F]" + count + "$", "hexadecimal digits without spaces", "0a0b0c0d");
    }
}
