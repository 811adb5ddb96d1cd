package bellpush.drivers.sim;

import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.drivers.link.MessageCodec;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Text templates as plain strings, so that what a behaviour does can be read in its tests. */
final class PlainCodec implements MessageCodec<String> {
    private static final Pattern FIELD = Pattern.compile("\\{([a-zA-Z.]+)}");

    @Override
    public String encode(Template template, Map<String, Value> fields) {
        return FIELD.matcher(((Template.Text) template).text()).replaceAll(m -> {
            Value value = fields.get(m.group(1));
            if (value == null) {
                throw new IllegalArgumentException("no value for " + m.group(1));
            }
            return Matcher.quoteReplacement(value.toString());
        });
    }

    @Override
    public Optional<Map<String, Value>> match(Template template, String message) {
        String text = ((Template.Text) template).text();
        StringBuilder pattern = new StringBuilder();
        Matcher fields = FIELD.matcher(text);
        List<String> names = new ArrayList<>();
        int at = 0;
        while (fields.find()) {
            pattern.append(Pattern.quote(text.substring(at, fields.start()))).append("(.*?)");
            names.add(fields.group(1));
            at = fields.end();
        }
        Matcher matcher = Pattern.compile(pattern + Pattern.quote(text.substring(at))).matcher(message);
        if (!matcher.matches()) {
            return Optional.empty();
        }
        Map<String, Value> values = new HashMap<>();
        for (int i = 0; i < names.size(); i++) {
            values.put(names.get(i), Value.of(matcher.group(i + 1)));
        }
        return Optional.of(values);
    }

    @Override
    public byte[] format(String message) {
        return message.getBytes(StandardCharsets.UTF_8);
    }

    @Override
    public List<Arrival<String>> parse(byte[] frame) {
        return List.of(new Arrival<>(new String(frame, StandardCharsets.UTF_8), 0));
    }

    @Override
    public String show(String message) {
        return message;
    }
}
