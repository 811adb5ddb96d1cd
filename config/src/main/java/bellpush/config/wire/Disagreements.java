package bellpush.config.wire;

import bellpush.config.model.PropertyType;
import bellpush.config.model.Value;
import bellpush.config.wire.WireTemplate.Disagreement;
import bellpush.config.wire.WireTemplate.Field;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;

/** Compares the fields of a template with the types of what they carry. */
final class Disagreements {
    private final List<Field> fields;
    private final Function<String, Optional<PropertyType>> typeOfField;
    private final List<Disagreement> found = new ArrayList<>();

    Disagreements(List<Field> fields, Function<String, Optional<PropertyType>> typeOfField) {
        this.fields = fields;
        this.typeOfField = typeOfField;
    }

    List<Disagreement> ofMessage(int ambiguous) {
        unmarkedEnd(ambiguous);
        boolean carries = false;
        Field any = null;
        for (Field field : fields) {
            switch (field.name()) {
                case "any" -> any = any == null ? field : any;
                case "sequence", "length", "check" -> {
                }
                case "body" -> add(field, "only an envelope may hold {body}; remove it here");
                default -> {
                    carries = true;
                    typeOfField.apply(field.name()).ifPresentOrElse(type -> compare(field, type), () -> unknown(field));
                }
            }
        }
        halves();
        if (any != null && !carries && typeOfField.apply("value").isPresent()) {
            add(any, "{any} is the only field, so the property's value is neither sent nor read; write {value"
                    + (any.format().word().isEmpty() ? "" : ":" + any.format().word()) + "} in its place");
        }
        return List.copyOf(found);
    }

    /** How great and which way are one number, and neither can be read without the other. */
    private void halves() {
        for (Field field : fields) {
            boolean size = field.format() instanceof Format.Size;
            if ((size || field.format() instanceof Format.Way) && fields.stream().noneMatch(other -> other.name()
                    .equals(field.name())
                    && (size ? other.format() instanceof Format.Way : other.format() instanceof Format.Size))) {
                add(field, size
                        ? "it says how great the value is and not which way; write {" + field.name()
                                + ":way 01 03 02} where that stands, or u8 in place of " + field.format().word()
                        : "it says which way the value goes and not how great it is; write {" + field.name()
                                + ":size8} where that stands");
            }
        }
    }

    List<Disagreement> ofEnvelope(int ambiguous) {
        unmarkedEnd(ambiguous);
        if (fields.stream().noneMatch(f -> f.name().equals("body"))) {
            found.add(new Disagreement(0, "an envelope must say where the message goes; write {body} there"));
        }
        for (Field field : fields) {
            if (!List.of("any", "sequence", "length", "check", "body").contains(field.name())) {
                add(field,
                        "an envelope knows no {" + field.name()
                                + "}: it may hold body, sequence, length, check and any; move the "
                                + "field into the messages");
            }
        }
        return List.copyOf(found);
    }

    private void unmarkedEnd(int field) {
        if (field >= 0) {
            add(fields.get(field), "nothing marks where {" + fields.get(field).name()
                    + "} ends and the next field of any "
                    + "length begins, so the message cannot be read; put a literal between them, or give one a fixed width");
        }
    }

    private void unknown(Field field) {
        add(field, field.name().equals("value")
                ? "{value} means nothing here: this template belongs to no one property; name the property in full"
                : "there is no property or argument \"" + field.name() + "\" that this template could carry");
    }

    private void compare(Field field, PropertyType type) {
        switch (type) {
            case PropertyType.Flag f -> {
                fits(field, f.offWire(), "the wire value for off");
                fits(field, f.onWire(), "the wire value for on");
            }
            case PropertyType.Choice c -> {
                for (Map.Entry<String, Value> choice : c.wireByName().entrySet()) {
                    if (!fits(field, choice.getValue(), "the wire value of \"" + choice.getKey() + "\"")) {
                        return; // one complaint is enough: the others mostly have the same cause
                    }
                }
            }
            case PropertyType.Whole w ->
                range(field, w.min(), w.max(), w.wire(), w.wire().isEmpty() || w.wire().get().whole());
            case PropertyType.Number n ->
                range(field, n.min(), n.max(), n.wire(), n.wire().isPresent() && n.wire().get().whole());
            case PropertyType.Text t -> text(field, t);
        }
    }

    private void range(Field field, double min, double max, Optional<PropertyType.WireRange> wire, boolean whole) {
        double from = wire.map(PropertyType.WireRange::from).orElse(min);
        double to = wire.map(PropertyType.WireRange::to).orElse(max);
        Format format = field.format();
        if (format.whole() && !whole) {
            add(field, "values may have a fraction, and " + format.word() + " holds whole numbers only; "
                    + (wire.isPresent()
                            ? "give \"wire\" two whole numbers more than 1 apart"
                            : "give the range a \"wire\" of two whole numbers, such as [0, 100], or make the type whole"));
            return;
        }
        if (format instanceof Format.TextFixed && !whole) {
            add(field,
                    "numbers with fractions have no fixed length; use a type that is whole, or a wire range of whole numbers");
            return;
        }
        if (fits(field, Value.of(Math.min(from, to)),
                wire.isPresent() ? "the least value on the wire" : "the least value")) {
            fits(field, Value.of(Math.max(from, to)),
                    wire.isPresent() ? "the greatest value on the wire" : "the greatest value");
        }
    }

    private void text(Field field, PropertyType.Text type) {
        switch (field.format()) {
            case Format.TextFixed t when type.maxLength() > t.bytes() -> add(field,
                    "a text of up to " + type.maxLength()
                            + " characters does not fit the field's " + t.bytes() + " bytes; write \"longest\": "
                            + t.bytes() + " or widen the field");
            case Format f when f.number() ->
                add(field, "the property is text and " + f.word() + " holds numbers only; write {"
                        + field.name() + ":text}, or another type");
            default -> {
            }
        }
    }

    private boolean fits(Field field, Value value, String which) {
        Format format = field.format();
        String wrong = "";
        if (value instanceof Value.Flag) {
            wrong = which + " is " + value + ", which has no bytes of its own; write a number or a word";
        } else if (format.number() && !(value instanceof Value.Num)) {
            wrong = which + " is the word \"" + value + "\", and " + format.word()
                    + " holds numbers only; write a number there, or {"
                    + field.name() + ":text}";
        } else if (format.number() && value instanceof Value.Num(double n)) {
            if (format.whole() && n != Math.rint(n)) {
                wrong = which + " is " + value + ", and " + format.word() + " holds whole numbers only";
            } else if (n < format.min() || n > format.max()) {
                wrong = which + " is " + value + ", and " + format.word() + " holds " + Value.of(format.min()) + " to "
                        + Value.of(format.max()) + "; take a wider format or a smaller range";
            }
        } else {
            wrong = refusal(format, field.name(), value, which);
        }
        if (!wrong.isEmpty()) {
            add(field, wrong);
        }
        return wrong.isEmpty();
    }

    private static String refusal(Format format, String name, Value value, String which) {
        try {
            if (!(format instanceof Format.Check) && !(format instanceof Format.Body)) {
                format.write(new Out(16), name, value);
            }
            return "";
        } catch (IllegalArgumentException e) {
            return which + " cannot be sent: " + e.getMessage();
        }
    }

    private void add(Field field, String words) {
        found.add(new Disagreement(field.offset(), words));
    }
}
