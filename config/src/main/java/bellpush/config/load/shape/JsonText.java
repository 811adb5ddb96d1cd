package bellpush.config.load.shape;

import java.io.StringWriter;
import java.util.List;
import java.util.Map;
import tools.jackson.core.JsonGenerator;
import tools.jackson.core.ObjectWriteContext;
import tools.jackson.core.PrettyPrinter;
import tools.jackson.core.json.JsonFactory;
import tools.jackson.core.util.DefaultIndenter;
import tools.jackson.core.util.DefaultPrettyPrinter;

/** Writes maps, lists, texts, numbers and flags as indented JSON. */
final class JsonText {
    private JsonText() {}

    static String of(Map<String, Object> value) {
        StringWriter out = new StringWriter();
        ObjectWriteContext context = new ObjectWriteContext.Base() {
            @Override
            public PrettyPrinter getPrettyPrinter() {
                return new DefaultPrettyPrinter().withObjectIndenter(new DefaultIndenter("  ", "\n"));
            }

            @Override
            public boolean hasPrettyPrinter() {
                return true;
            }
        };
        try (JsonGenerator json = new JsonFactory().createGenerator(context, out)) {
            write(value, json);
        }
        return out.append('\n').toString();
    }

    private static void write(Object value, JsonGenerator json) {
        switch (value) {
            case Map<?, ?> map -> {
                json.writeStartObject();
                map.forEach((key, inner) -> {
                    json.writeName(String.valueOf(key));
                    write(inner, json);
                });
                json.writeEndObject();
            }
            case List<?> list -> {
                json.writeStartArray();
                list.forEach(inner -> write(inner, json));
                json.writeEndArray();
            }
            case Boolean flag -> json.writeBoolean(flag);
            case Integer number -> json.writeNumber(number);
            case Long number -> json.writeNumber(number);
            case Double number -> json.writeNumber(number);
            default -> json.writeString(value.toString());
        }
    }
}
