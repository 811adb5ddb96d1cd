package bellpush.drivers.link;

import bellpush.config.model.Template;
import java.util.LinkedHashSet;
import java.util.Set;

/** Which fields a template names, whatever its sort, so that only their values need to be looked up. */
final class Fields {
    private Fields() {}

    static Set<String> of(Template template) {
        var names = new LinkedHashSet<String>();
        switch (template) {
            case Template.Text(String text) -> collect(text, names);
            case Template.Hex(String hex) -> collect(hex, names);
            case Template.Osc(String address, var arguments) -> {
                collect(address, names);
                arguments.forEach(argument -> argument.field().ifPresent(names::add));
            }
            case Template.ByDriver() -> {
            }
        }
        return names;
    }

    private static void collect(String text, Set<String> names) {
        int at = 0;
        while ((at = text.indexOf('{', at)) >= 0) {
            if (text.startsWith("{{", at)) {
                at += 2;
                continue;
            }
            int end = text.indexOf('}', at);
            if (end < 0) {
                return;
            }
            String field = text.substring(at + 1, end);
            int colon = field.indexOf(':');
            names.add(colon < 0 ? field : field.substring(0, colon));
            at = end + 1;
        }
    }
}
