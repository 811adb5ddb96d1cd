package bellpush.drivers.osc;

import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.util.Map;
import java.util.Optional;

/** One argument of an OSC template: always the same, or a field. */
sealed interface ArgumentShape {
    /** @throws IllegalArgumentException if the field has no value or one that does not fit */
    OscValue encode(Map<String, Value> fields);

    /** Whether the received argument fits; puts the field's value into {@code values}. */
    boolean match(OscValue argument, Map<String, Value> values);

    /**
     * @param blankTag what a blank tag of a field means: a tag that its type asks for, or a blank if the value decides
     * @throws IllegalArgumentException if the argument makes no sense; the message is for people
     */
    static ArgumentShape of(Template.OscArgument argument, char blankTag) {
        char tag = argument.tag();
        if (tag != ' ' && OscWire.TAGS.indexOf(tag) < 0) {
            throw new IllegalArgumentException("OSC has no type tag " + OscText.shownChar(tag) + "; it has "
                    + String.join(" ", OscWire.TAGS.split("")));
        }
        boolean empty = tag == 'N' || tag == 'I';
        if (argument.field().isPresent()) {
            if (empty) {
                throw new IllegalArgumentException(
                        "the OSC type tag " + tag + " carries no value, so it cannot be the field {"
                                + argument.field().get() + "}");
            }
            String name = argument.field().get();
            return name.equals("any") ? new Any(tag) : new Field(name, tag == ' ' ? blankTag : tag);
        }
        if (empty || argument.literal().isEmpty()) {
            return new Literal(switch (tag) {
                case 'I' -> OscValue.Impulse.IMPULSE;
                case 'T', 'F' -> OscValue.Flag.of(tag == 'T');
                case 'N', ' ' -> OscValue.Nil.NIL;
                default -> throw new IllegalArgumentException("null has no OSC type tag " + tag);
            }, Optional.empty());
        }
        return new Literal(OscWire.argument(tag, argument.literal().get()), argument.literal());
    }

    /** {@code value} is what the admin wrote, which a float may have rounded. */
    record Literal(OscValue encoded, Optional<Value> value) implements ArgumentShape {
        @Override
        public OscValue encode(Map<String, Value> fields) {
            return encoded;
        }

        @Override
        public boolean match(OscValue argument, Map<String, Value> values) {
            if (encoded.equals(argument)) {
                return true;
            }
            Optional<Value> came = OscWire.value(argument);
            return came.isPresent() && (came.equals(value) || came.equals(OscWire.value(encoded)));
        }
    }

    record Field(String name, char tag) implements ArgumentShape {
        @Override
        public OscValue encode(Map<String, Value> fields) {
            Value value = fields.get(name);
            if (value == null) {
                throw new IllegalArgumentException("the field {" + name + "} of an OSC argument has no value");
            }
            try {
                return OscWire.argument(tag, value);
            } catch (IllegalArgumentException e) {
                throw new IllegalArgumentException("{" + name + "} cannot be sent: " + e.getMessage(), e);
            }
        }

        @Override
        public boolean match(OscValue argument, Map<String, Value> values) {
            if (!OscWire.takes(tag, argument)) {
                return false;
            }
            Optional<Value> value = OscWire.value(argument);
            return value.isPresent() && AddressShape.agree(values.put(name, value.get()), value.get());
        }
    }

    /** Takes anything; sends 1, or an empty text where the tag asks for text. */
    record Any(char tag) implements ArgumentShape {
        @Override
        public OscValue encode(Map<String, Value> fields) {
            return switch (tag) {
                case 's', 'S', 'b' -> OscWire.argument(tag, Value.of(""));
                case 'c' -> new OscValue.Char(' ');
                case 'r' -> new OscValue.Colour(0);
                case 'm' -> new OscValue.Midi(0);
                case 't' -> new OscValue.Time(OscTimeTag.IMMEDIATELY);
                default -> OscWire.argument(tag, Value.of(1));
            };
        }

        @Override
        public boolean match(OscValue argument, Map<String, Value> values) {
            return !(argument instanceof OscValue.Unreadable);
        }
    }
}
