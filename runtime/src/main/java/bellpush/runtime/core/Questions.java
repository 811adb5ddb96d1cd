package bellpush.runtime.core;

import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.Template;
import java.util.Optional;

/** Which questions need not be asked, because another one in the same words brings the answer. */
final class Questions {
    private Questions() {}

    /** Whether asking for {@code asked} tells {@code wanted} too. */
    static boolean oneServes(Kind kind, String asked, String wanted) {
        if (asked.equals(wanted)) {
            return true;
        }
        Property one = kind.properties().get(asked);
        Property other = kind.properties().get(wanted);
        return one.ask().isPresent() && one.ask().equals(other.ask())
                && (one.answer().isEmpty() ? other.answer().isEmpty() : names(one.answer(), wanted));
    }

    private static boolean names(Optional<Template> answer, String property) {
        return switch (answer.orElseThrow()) {
            case Template.Text(String text) -> names(text, property);
            case Template.Hex(String hex) -> names(hex, property);
            case Template.Osc(String address, var arguments) -> names(address, property)
                    || arguments.stream().anyMatch(argument -> argument.field().filter(property::equals).isPresent());
            case Template.ByDriver() -> false;
        };
    }

    private static boolean names(String template, String property) {
        return template.contains("{" + property + "}") || template.contains("{" + property + ":");
    }
}
