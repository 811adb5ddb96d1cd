package bellpush.runtime.core;

import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Panel;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;
import java.util.function.Predicate;

/**
 * What every lamp shows. A rule is shown as a fact only if it is one: what rests on a value that was sent and not yet
 * reported, on something unknown, or on a device that cannot be reached, is shown with the sign for that instead.
 */
final class LampBoard {
    private record Entry(Lamp lamp, Set<String> devices) {}

    /** A look and the reason for it, in words for the log. */
    private record Shown(Look look, String why) {}

    private final Turn turn;
    private final Panel.Signs signs;
    private final Judge judge;
    private final Function<String, LinkState> links;
    private final Predicate<String> holding;
    private final Predicate<String> running;
    private final Predicate<String> failed;
    private final Map<String, Entry> lamps = new LinkedHashMap<>();
    private final Map<String, Shown> shown = new HashMap<>();

    /** The predicates are about controls: being held towards a hold, having a macro running, having had one fail. */
    LampBoard(Turn turn, Panel panel, Judge judge, Function<String, LinkState> links, Predicate<String> holding,
            Predicate<String> running, Predicate<String> failed) {
        this.turn = turn;
        this.signs = panel.signs();
        this.judge = judge;
        this.links = links;
        this.holding = holding;
        this.running = running;
        this.failed = failed;
        panel.lamps().values().forEach(lamp -> {
            Set<String> devices = new TreeSet<>();
            lamp.rules().forEach(rule -> rule.when().ifPresent(when -> Reach.devices(when, devices)));
            lamps.put(lamp.name(), new Entry(lamp, devices));
        });
    }

    Look look(String lamp) {
        Shown now = shown.get(lamp);
        return now == null ? Look.OFF : now.look;
    }

    /** Works out every lamp and shows those that have changed. */
    void update() {
        lamps.forEach((name, entry) -> {
            Shown now = lookOf(name, entry);
            Shown before = shown.put(name, now);
            if (before == null || !now.look.equals(before.look)) {
                turn.emit(new Effect.ShowLamp(name, now.look));
            }
            if (!now.equals(before)) {
                turn.record("lamp", "lamp", name, "shows", now.look.pattern().word(), "why", now.why);
            }
        });
    }

    private Shown lookOf(String name, Entry entry) {
        if (holding.test(name)) {
            return new Shown(signs.holding(), "held");
        }
        if (running.test(name)) {
            return new Shown(signs.running(), "its macro is running");
        }
        if (failed.test(name)) {
            return new Shown(signs.failed(), "its macro has failed");
        }
        for (String device : entry.devices) {
            if (links.apply(device) != LinkState.UP) {
                return new Shown(signs.linkDown(), "the link to " + device + " is " + links.apply(device).word());
            }
        }
        return byRules(entry.lamp);
    }

    private Shown byRules(Lamp lamp) {
        boolean doubtful = false; // a rule was passed over that would not have been if what we sent has not arrived
        for (LampRule rule : lamp.rules()) {
            Verdict certain = rule.when().map(judge::forCertain).orElse(Verdict.YES);
            if (certain == Verdict.UNSURE) {
                switch (judge.asBelieved(rule.when().orElseThrow())) {
                    case YES -> {
                        return new Shown(signs.assumed(), "sent, not yet reported");
                    }
                    case UNSURE -> {
                        return new Shown(signs.unknown(), "not known yet");
                    }
                    case NO -> doubtful = true;
                }
            } else if (certain == Verdict.YES) {
                return doubtful ? new Shown(signs.assumed(), "sent, not yet reported") : new Shown(rule.show(), "a fact");
            }
        }
        return doubtful ? new Shown(signs.assumed(), "sent, not yet reported") : new Shown(Look.OFF, "a fact");
    }
}
