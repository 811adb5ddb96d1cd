package bellpush.config.load.shape;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/** The vocabulary in which the files' shapes are written, and the values that occur in several files. */
final class Words {
    private Words() {}

    /** Devices, controls, macros, kinds. */
    static final TextShape NAME = TextShape.of("^[a-z][a-z0-9-]{0,63}$",
            "up to 64 lower-case letters, digits and hyphens, beginning with a letter", "stage-camera")
            .mending(Words::asName);

    /** Words with a meaning of their own in templates and conditions cannot name a property or an argument. */
    private static final String PARTS = "(?!(?:any|all|not|value|sequence|length|check|body)$)[a-z][a-zA-Z0-9]{0,31}"
            + "(?:\\.[a-zA-Z0-9]{1,32}){0,3}$";
    static final TextShape PROPERTY = TextShape.of("^" + PARTS,
            "letters and digits in parts joined by dots, beginning with a lower-case letter, and none of any, all, not,"
                    + " value, sequence, length, check, body",
            "key.onAir");
    static final TextShape REFERENCE = TextShape.of("^[a-z][a-z0-9-]{0,63}\\." + PARTS,
            "a device's name, a dot, and the name of a property or command of its kind", "mixer.key.onAir");

    static final TextShape DURATION = TextShape.of(
            "^(?:[0-9]{1,9}(?:\\.[0-9]{1,9})? ?(?:ms|s)|[0-9]{1,9} ?frames?)$",
            "a duration such as \"200 ms\", \"1.5 s\" or \"5 frames\" (not negative, frames whole)", "200 ms")
            .mending(Words::asDuration);

    static final Shape LABEL = text(1, 60);
    static final Shape ABOUT = text(0, 500);
    static final Shape VALUE = either(text(0, 1000), number(0), flag());
    private static final ObjectShape FROM_ARGUMENT = object("a value looked up").need("argument", PROPERTY,
            "The value of this argument of the macro.");
    private static final ObjectShape FROM_PROPERTY = object("a value looked up").need("property", REFERENCE,
            "The value that this property has when the step begins.");
    /** Inside a macro. */
    static final Shape VALUE_OR_ARGUMENT = either(text(0, 1000), number(0), flag(),
            byKey("a value looked up", FROM_ARGUMENT));
    /** For an argument of a command, inside a macro. */
    static final Shape VALUE_OR_PRESENT = either(text(0, 1000), number(0), flag(),
            byKey("a value looked up", FROM_PROPERTY, FROM_ARGUMENT));
    private static final ObjectShape BY = object("a value looked up").need("by", number(-1e12, 1e12, -3),
            "How much more than the number is, or less if negative; kept within its range.");
    /** For a property that is set, inside a macro. */
    static final Shape OPERAND = either(text(0, 1000), number(0), flag(),
            byKey("a value looked up", FROM_PROPERTY,
                    object("a value looked up").need("opposite", only(true), "The other of what the flag is."), BY,
                    FROM_ARGUMENT));
    /** For a number that glides, inside a macro. */
    static final Shape TARGET = either(number(0), byKey("a value looked up", FROM_PROPERTY, BY, FROM_ARGUMENT));

    static final Shape FREE = new RefShape("free", Words::free, "a text, a number, true, false, a list or an object",
            "a text in quotation marks");

    private static Shape free() {
        return either(text(0, 100_000), number(0), flag(), list(FREE, "An entry", 0, 100_000),
                object("an object").entries(
                        TextShape.of("^[^\\u0000]{0,200}$", "any text of up to 200 characters", "name"),
                        "setting", FREE, "A setting for the driver."));
    }

    /** Capitals, blanks and underscores are what people write where a name has small letters and hyphens. */
    private static String asName(String written) {
        return written.strip().replaceAll("([a-z0-9])([A-Z])", "$1-$2").toLowerCase(Locale.ROOT)
                .replaceAll("[ _.]+", "-");
    }

    /**
     * Other ways of writing the units, a decimal comma, and no unit at all: below ten, or with a fraction, seconds are meant, else
     * milliseconds.
     */
    private static String asDuration(String written) {
        String plain = written.strip().toLowerCase(Locale.ROOT).replace(',', '.').replaceAll("^\\.", "0.");
        String number = plain.replaceAll("[^0-9.].*$", "");
        return switch (plain.substring(number.length()).strip()) {
            case "" -> number + (number.matches("[0-9]?(\\.[0-9]*)?|[0-9]+\\.[0-9]+") ? " s" : " ms");
            case "ms", "msec", "msecs", "millis", "millisecond", "milliseconds" -> number + " ms";
            case "s", "s.", "sec", "secs", "sec.", "second", "seconds" -> number + " s";
            case "f", "fr", "frame", "frames" -> number + " frames";
            case "m", "min", "mins", "min.", "minute", "minutes" ->
                number.matches("[0-9]{1,3}") ? Integer.parseInt(number) * 60 + " s" : written;
            default -> written;
        };
    }

    /**
     * An object with the keys that run a macro.
     *
     * @param value what an argument may be given
     */
    static ObjectShape run(ObjectShape object, Shape value, String about) {
        return object.need("run", NAME, about).may("with",
                map("the arguments", PROPERTY, "argument", value, "The value the argument is given."),
                "Values for the macro's arguments, where it has any.");
    }

    static Shape text(int least, int most) {
        return TextShape.any(least, most);
    }

    static Shape number(double example) {
        return new NumberShape(false, -1e12, 1e12, example);
    }

    static Shape number(double min, double max, double example) {
        return new NumberShape(false, min, max, example);
    }

    static Shape whole(double min, double max, double example) {
        return new NumberShape(true, min, max, example);
    }

    static Shape flag() {
        return new FlagShape(Optional.empty());
    }

    static Shape only(boolean flag) {
        return new FlagShape(Optional.of(flag));
    }

    static Shape word(String... words) {
        return new WordShape(List.of(words));
    }

    static Shape list(Shape item, String itemName, int least, int most) {
        return new ListShape(item, itemName, least, most);
    }

    static Shape either(Shape... shapes) {
        return new EitherShape(List.of(shapes));
    }

    static ObjectShape object(String noun) {
        return ObjectShape.of(noun);
    }

    /** An object that is nothing but named entries. */
    static ObjectShape map(String noun, TextShape names, String entryNoun, Shape shape, String about) {
        return ObjectShape.of(noun).entries(names, entryNoun, shape, about);
    }

    /** Objects told apart by the first key each of them needs. */
    static Shape byKey(String noun, ObjectShape... shapes) {
        Map<String, ObjectShape> byKey = new LinkedHashMap<>();
        for (ObjectShape shape : shapes) {
            byKey.put(shape.required().getFirst(), shape);
        }
        return new ByKeyShape(noun, byKey);
    }

    /** A whole file: like an object, with a schema for the editor. */
    static ObjectShape file(String noun) {
        return ObjectShape.of(noun).may("$schema", text(0, 500), "Where the schema is, for the editor's help.");
    }
}
