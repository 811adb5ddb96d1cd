package bellpush.tests.simulation;

import bellpush.config.model.Look;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import java.util.List;
import java.util.Map;

/**
 * A number for all effects of an evening in their order, with everything that is in them. The same seed must give the same number in
 * every process; so it rests on nothing that differs between them, such as the identity of enums or the order of sets.
 */
final class Digest {
    private long sum = 0x9E3779B97F4A7C15L;

    long value() {
        return sum;
    }

    void add(long more) {
        sum = (sum ^ more) * 0xFF51AFD7ED558CCDL;
        sum ^= sum >>> 32;
    }

    void add(Effect effect) {
        switch (effect) {
            case Effect.Send send -> {
                add(1);
                text(send.device());
                request(send.request());
            }
            case Effect.ShowLamp show -> {
                add(2);
                text(show.lamp());
                look(show.look());
            }
            case Effect.StartTimer start -> {
                add(3);
                add(start.timer());
                add(start.dueAt());
            }
            case Effect.StopTimer stop -> {
                add(4);
                add(stop.timer());
            }
            case Effect.Record line -> {
                add(5);
                event(line.event());
            }
        }
    }

    private void request(Request request) {
        add(request.id());
        switch (request) {
            case Request.SetProperty set -> {
                text(set.property());
                plain(set.value());
                add(set.urgent() ? 1 : 0);
            }
            case Request.DoCommand act -> {
                text(act.command());
                plain(act.arguments());
                unordered(act.present());
            }
            case Request.AskProperty ask -> text(ask.property());
        }
    }

    /** Values by name whose order means nothing. */
    private void unordered(Map<String, Value> values) {
        long all = 0;
        for (Map.Entry<String, Value> each : values.entrySet()) {
            Digest one = new Digest();
            one.text(each.getKey());
            one.plain(each.getValue());
            all += one.sum;
        }
        add(all);
    }

    private void look(Look look) {
        add(look.pattern().ordinal());
        add(Double.doubleToLongBits(look.brightness()));
        look.colour().ifPresent(this::text);
    }

    private void event(Event event) {
        add(event.at());
        text(event.what());
        text(event.press());
        plain(event.details());
    }

    private void text(String text) {
        add(text.hashCode()); // as the language specification says
    }

    private void plain(Object value) {
        switch (value) {
            case String text -> text(text);
            case Long number -> add(number);
            case Double number -> add(Double.doubleToLongBits(number));
            case Boolean on -> add(on ? 1 : 2);
            case Value.Flag flag -> add(flag.on() ? 1 : 2);
            case Value.Num number -> add(Double.doubleToLongBits(number.number()));
            case Value.Text text -> text(text.text());
            case List<?> list -> list.forEach(this::plain);
            case Map<?, ?> map -> map.forEach((key, each) -> {
                plain(key);
                plain(each);
            });
            default -> text(value.toString());
        }
    }
}
