package bellpush.runtime.core;

import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Panel;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;

/**
 * What every lamp shows. A rule is shown as a fact only if it is one: what rests on a value that was sent and not yet
 * reported, on something unknown, or on a device that cannot be reached, is shown with the sign for that instead.
 */
final class LampBoard {
    /** @param rises whether its brightness can tell how far a hold has come */
    private record Entry(Lamp lamp, Set<String> devices, boolean rises) {}

    /** A look and the reason for it, in words for the log. */
    private record Shown(Look look, String why) {}

    private final Turn turn;
    private final Panel.Signs signs;
    private final Judge judge;
    private final Function<String, LinkState> links;
    private final Function<String, Finger> fingers;
    private final Runs runs;
    private final Map<String, Entry> lamps = new LinkedHashMap<>();
    private final Map<String, Shown> shown = new HashMap<>();

    /** @param fingers how each control is being pressed */
    LampBoard(Turn turn, Panel panel, Judge judge, Function<String, LinkState> links, Function<String, Finger> fingers,
            Runs runs) {
        this.turn = turn;
        this.signs = panel.signs();
        this.judge = judge;
        this.links = links;
        this.fingers = fingers;
        this.runs = runs;
        panel.lamps().values().forEach(lamp -> {
            Set<String> devices = new TreeSet<>();
            lamp.rules().forEach(rule -> rule.when().ifPresent(when -> Reach.devices(when, devices)));
            lamps.put(lamp.name(), new Entry(lamp, devices, Contacts.rises(lamp, panel)));
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
        Optional<Shown> finger = touched(entry, fingers.apply(name));
        if (finger.isPresent()) {
            return finger.get();
        }
        if (runs.isRunningFor(name)) {
            return new Shown(signs.running(), "its macro is running");
        }
        if (runs.hasFailedFor(name)) {
            return new Shown(signs.failed(), "its macro has failed");
        }
        for (String device : entry.devices) {
            if (links.apply(device) != LinkState.UP) {
                return new Shown(signs.linkDown(), "the link to " + device + " is " + links.apply(device).word());
            }
        }
        Shown byRules = byRules(entry.lamp);
        // A dark lamp would say that the press came to nothing. A rule that shows something knows better than the sign.
        return byRules.look.pattern() == Look.Pattern.OFF && runs.awaitsPromiseFor(name)
                ? new Shown(signs.running(), "what its macro promised is waited for")
                : byRules;
    }

    private Optional<Shown> touched(Entry entry, Finger finger) {
        Look holding = signs.holding();
        return Optional.ofNullable(switch (finger) {
            case Finger.None() -> null;
            case Finger.Awaited() -> new Shown(signs.running(), "pressed; a second press may follow");
            case Finger.Holding(double share) -> entry.rises
                    ? new Shown(new Look(Look.Pattern.STEADY, share, holding.colour()), "held")
                    : new Shown(holding, "held");
            case Finger.Reached() -> new Shown(new Look(Look.Pattern.STEADY, 1, holding.colour()),
                    "held for long enough");
            case Finger.Faulty(String why) -> new Shown(signs.failed(), why);
        });
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
                return doubtful
                        ? new Shown(signs.assumed(), "sent, not yet reported")
                        : new Shown(rule.show(), "a fact");
            }
        }
        return doubtful ? new Shown(signs.assumed(), "sent, not yet reported") : new Shown(Look.OFF, "a fact");
    }
}
