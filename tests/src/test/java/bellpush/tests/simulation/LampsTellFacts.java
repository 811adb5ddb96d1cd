package bellpush.tests.simulation;

import bellpush.config.model.Condition;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Panel;
import bellpush.config.model.Site;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;

/**
 * A lamp never shows an unreported value as fact: what it shows is one of the panel's signs, a finger on its own button, or what its
 * rules come to by {@link Facts} alone. Darkness is a statement too. Of a lamp whose rules speak of macros that run or have failed only
 * its signs are looked at: what they are is known to the core alone.
 */
final class LampsTellFacts implements Invariant {
    private record Rule(Facts.Asked when, Look show) {}

    private final class Watched {
        final String name;
        final List<Rule> rules = new ArrayList<>();
        final Set<String> devices = new TreeSet<>();
        Look look = Look.OFF;
        String why = "";
        boolean dirty;

        Watched(Lamp lamp) {
            name = lamp.name();
            if (speaksOfRuns(lamp)) {
                return;
            }
            for (LampRule rule : lamp.rules()) {
                rule.when().ifPresent(when -> devices(when, devices));
                rules.add(
                        new Rule(rule.when().map(when -> facts.asked(when, this::mark)).orElse(() -> Facts.Answer.YES),
                                rule.show()));
            }
        }

        void mark() {
            if (!dirty && !rules.isEmpty()) {
                dirty = true;
                marked.add(this);
            }
        }

        /** What the rules come to if only facts count, or null where they come to nothing certain. */
        Look fact() {
            for (String device : devices) {
                if (facts.link(device) != LinkState.UP) {
                    return null;
                }
            }
            for (Rule rule : rules) {
                switch (rule.when.answer()) {
                    case YES -> {
                        return rule.show;
                    }
                    case UNSURE -> {
                        return null;
                    }
                    case NO -> {
                    }
                }
            }
            return Look.OFF;
        }
    }

    private final Facts facts;
    private final Set<Look> signs;
    private final Look holding;
    private final Map<String, Watched> lamps = new LinkedHashMap<>();
    private final List<Watched> marked = new ArrayList<>();
    private final Map<String, Look> shownNow = new HashMap<>();
    /** From the end of the show on lamps are left as they are, and put out with the program. */
    private boolean ended;

    LampsTellFacts(Site site, Facts facts) {
        this.facts = facts;
        Panel.Signs of = site.panel().signs();
        signs = new HashSet<>(List.of(of.linkDown(), of.unknown(), of.assumed(), of.running(), of.failed()));
        holding = of.holding();
        site.panel().lamps().values().forEach(lamp -> lamps.put(lamp.name(), new Watched(lamp)));
    }

    private static boolean speaksOfRuns(Lamp lamp) {
        return lamp.rules().stream().anyMatch(rule -> rule.when().filter(LampsTellFacts::speaksOfRuns).isPresent());
    }

    private static boolean speaksOfRuns(Condition condition) {
        return switch (condition) {
            case Condition.All all -> all.of().stream().anyMatch(LampsTellFacts::speaksOfRuns);
            case Condition.Any any -> any.of().stream().anyMatch(LampsTellFacts::speaksOfRuns);
            case Condition.Not not -> speaksOfRuns(not.of());
            case Condition.Running _,Condition.Failed _ -> true;
            default -> false;
        };
    }

    private static void devices(Condition condition, Set<String> into) {
        switch (condition) {
            case Condition.Is is -> into.add(is.property().device());
            case Condition.All all -> all.of().forEach(part -> devices(part, into));
            case Condition.Any any -> any.of().forEach(part -> devices(part, into));
            case Condition.Not not -> devices(not.of(), into);
            default -> {
            }
        }
    }

    @Override
    public void before(Input input) {
        ended |= input instanceof Input.Ending;
    }

    @Override
    public void begins(Machine machine) {
        ended = false;
        lamps.values().forEach(lamp -> {
            lamp.look = Look.OFF;
            lamp.why = "";
            lamp.mark();
        });
    }

    @Override
    public void effect(Effect effect, long now) {
        switch (effect) {
            case Effect.ShowLamp show -> {
                Watched lamp = lamps.get(show.lamp());
                lamp.look = show.look();
                lamp.mark();
                shownNow.put(show.lamp(), show.look());
            }
            case Effect.Record line when line.event().what().equals("lamp") -> told(line.event());
            default -> {
            }
        }
    }

    private void told(Event event) {
        Watched lamp = lamps.get((String) event.details().get("lamp"));
        lamp.why = (String) event.details().get("why");
        lamp.mark();
        shownNow.remove(lamp.name);
        if (!lamp.look.pattern().word().equals(event.details().get("shows"))) {
            throw new Broken("lamps", lamp.name + " was shown " + lamp.look + " and logged as "
                    + event.details().get("shows"));
        }
    }

    @Override
    public void after(long now) {
        if (!shownNow.isEmpty()) {
            throw new Broken("lamps", shownNow + " was shown, and the log does not say so");
        }
        if (ended || marked.isEmpty()) {
            return;
        }
        for (Watched lamp : marked) {
            lamp.dirty = false;
            check(lamp);
        }
        marked.clear();
    }

    private void check(Watched lamp) {
        boolean finger = lamp.why.startsWith("held") && (lamp.look.equals(holding)
                || lamp.look.pattern() == Look.Pattern.STEADY && lamp.look.colour().equals(holding.colour()));
        boolean claimed = lamp.why.equals("a fact");
        if (lamp.why.isEmpty() && lamp.look.equals(Look.OFF) || finger || !claimed && signs.contains(lamp.look)) {
            return;
        }
        Look fact = lamp.fact();
        if (!lamp.look.equals(fact)) {
            throw new Broken("lamps", lamp.name + " shows " + lamp.look + " (" + lamp.why + "), but "
                    + (fact == null ? "nothing of what it speaks of is certain" : "the facts are " + fact));
        }
    }
}
