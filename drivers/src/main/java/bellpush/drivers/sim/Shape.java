package bellpush.drivers.sim;

import bellpush.config.model.Template;
import java.util.LinkedHashSet;
import java.util.Set;

/**
 * What can be told of a template without a codec.
 *
 * @param fields the names of its fields
 * @param fixed  how much of it is fixed, in half bytes: of two templates that fit a message, the one with more fixed parts
 *               was meant
 */
record Shape(Set<String> fields, int fixed) {

    /** What an argument that must have exactly one value weighs: as much as four letters. */
    private static final int LITERAL_ARGUMENT = 8;

    static Shape of(Template template) {
        Set<String> fields = new LinkedHashSet<>();
        int fixed = switch (template) {
            case Template.Text(String text) -> scan(text, 2, fields);
            case Template.Hex(String hex) -> scan(hex, 1, fields);
            case Template.Osc osc -> {
                int weight = scan(osc.address(), 2, fields);
                for (Template.OscArgument argument : osc.arguments()) {
                    argument.field().ifPresent(fields::add);
                    weight += argument.field().isPresent() ? 0 : LITERAL_ARGUMENT;
                }
                yield weight;
            }
            case Template.ByDriver _ -> 0;
        };
        return new Shape(fields, fixed);
    }

    /** Collects the fields and gives the weight of the rest, each character that is not white space in hex counting. */
    private static int scan(String text, int each, Set<String> fields) {
        int fixed = 0;
        int i = 0;
        while (i < text.length()) {
            char c = text.charAt(i);
            boolean doubled = i + 1 < text.length() && text.charAt(i + 1) == c;
            int end = c == '{' && !doubled ? text.indexOf('}', i) : -1;
            if (end > 0) {
                String field = text.substring(i + 1, end);
                int format = field.indexOf(':');
                fields.add((format < 0 ? field : field.substring(0, format)).strip());
                i = end + 1;
            } else {
                fixed += each == 1 && Character.isWhitespace(c) ? 0 : each;
                i += (c == '{' || c == '}') && doubled ? 2 : 1;
            }
        }
        return fixed;
    }
}
