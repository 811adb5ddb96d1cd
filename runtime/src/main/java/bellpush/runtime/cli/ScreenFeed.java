package bellpush.runtime.cli;

import bellpush.config.model.Fader;
import bellpush.config.model.LinkState;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Event;
import bellpush.runtime.screen.DrawnPanel;
import bellpush.runtime.show.Show;
import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Consumer;

/** Keeps a drawn panel up to date with what the show records: links, running macros, values of knobs, faders and sticks, the last lines. */
final class ScreenFeed implements Consumer<Event> {
    private final Site site;
    private final Show show;
    private final DrawnPanel screen;
    private final Map<Object, String> running = new LinkedHashMap<>();

    ScreenFeed(Site site, Show show, DrawnPanel screen) {
        this.site = site;
        this.show = show;
        this.screen = screen;
    }

    /** On the core's thread. */
    @Override
    public void accept(Event event) {
        Map<String, Object> details = event.details();
        switch (event.what()) {
            case "link" -> screen.link(String.valueOf(details.get("device")),
                    LinkState.valueOf(String.valueOf(details.get("state")).toUpperCase(Locale.ROOT)),
                    String.valueOf(details.get("why")));
            case "lamp" -> screen.why(String.valueOf(details.get("lamp")), String.valueOf(details.get("why")));
            case "run" -> {
                Macro macro = site.macros().get(String.valueOf(details.get("macro")));
                running.put(details.get("run"), macro == null ? "" : macro.label());
                screen.running(List.copyOf(running.values()));
            }
            case "done", "failed", "stopped" -> {
                if (running.remove(details.get("run")) != null) {
                    screen.running(List.copyOf(running.values()));
                }
            }
            case "report", "sent", "answered", "drive", "rest", "slide" -> show.afterwards(this::values);
            case "switch", "note" -> {
                String control = String.valueOf(details.get("control"));
                if (site.panel().switches().containsKey(control)) {
                    show.afterwards(core -> screen.switched(control, core.on(control)));
                }
            }
            default -> {
                // only a line
            }
        }
        EventWords.of(event).ifPresent(screen::line);
    }

    private void values(Core core) {
        site.panel().knobs().values().forEach(knob -> core.belief(knob.turns()).value()
                .ifPresent(value -> screen.knobValue(knob.name(), shown(knob.turns(), value))));
        site.panel().faders().values().forEach(fader -> core.belief(fader.moves()).value()
                .ifPresent(value -> screen.faderValue(fader.name(), shown(fader.moves(), value), way(fader, value))));
        site.panel().joysticks().values().forEach(stick -> stick.axes().values().forEach(axis -> core
                .belief(axis.drives()).value().ifPresent(value -> screen
                        .axisValue(stick.name() + "." + axis.name(), shown(axis.drives(), value)))));
    }

    private static double way(Fader fader, Value value) {
        return value instanceof Value.Num(double number)
                ? Math.pow(Math.clamp((number - fader.from()) / (fader.to() - fader.from()), 0, 1), 1 / fader.curve())
                : 0;
    }

    /** With no more decimals than the property's step has: the wire's own grid is nobody's business here. */
    private String shown(PropertyRef property, Value value) {
        return switch (site.property(property).type()) {
            case PropertyType.Whole whole -> (value + " " + whole.unit()).strip();
            case PropertyType.Number number when value instanceof Value.Num(double exact) -> (BigDecimal.valueOf(exact)
                    .setScale(Math.max(0, BigDecimal.valueOf(number.step()).stripTrailingZeros().scale()),
                            RoundingMode.HALF_EVEN)
                    .toPlainString() + " " + number.unit()).strip();
            default -> value.toString();
        };
    }
}
