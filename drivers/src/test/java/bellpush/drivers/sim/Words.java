package bellpush.drivers.sim;

import bellpush.config.model.Template;
import bellpush.config.model.Template.OscArgument;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** The same invented protocol in three sorts of templates. A field is a name, in hex with its format: {@code value:u16}. */
enum Words {
    TEXT {
        @Override
        Template message(String word, int code, String... fields) {
            StringBuilder text = new StringBuilder(word);
            for (String field : fields) {
                text.append(' ').append('{').append(field).append('}');
            }
            return new Template.Text(text.toString());
        }
    },
    HEX {
        @Override
        Template message(String word, int code, String... fields) {
            StringBuilder hex = new StringBuilder(String.format("81 %02x", code));
            for (String field : fields) {
                hex.append(' ').append('{').append(field).append('}');
            }
            return new Template.Hex(hex.append(" 7e").toString());
        }
    },
    OSC {
        @Override
        Template message(String word, int code, String... fields) {
            List<OscArgument> arguments = new ArrayList<>();
            for (String field : fields) {
                arguments.add(new OscArgument(' ', Optional.of(field), Optional.empty()));
            }
            return new Template.Osc("/" + word.replace(' ', '/'), arguments);
        }
    };

    /**
     * @param word what text and osc say
     * @param code what hex says
     */
    abstract Template message(String word, int code, String... fields);
}
