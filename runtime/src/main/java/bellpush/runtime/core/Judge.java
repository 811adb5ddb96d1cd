package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.Condition.Test;
import bellpush.config.model.LinkState;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import java.util.function.Predicate;

/**
 * Decides conditions over what is believed. Two ways of looking: {@link #forCertain} trusts only what devices have
 * reported over a link that is up (or what nobody reports at all, once sent); {@link #asBelieved} also trusts what was
 * sent and not yet reported.
 */
final class Judge {
    private final Site site;
    private final Function<PropertyRef, Belief> beliefs;
    private final Function<String, LinkState> links;
    private final Function<String, Optional<Boolean>> switches;
    private final Predicate<String> running;
    private final Predicate<String> failed;

    Judge(Site site, Function<PropertyRef, Belief> beliefs, Function<String, LinkState> links,
            Function<String, Optional<Boolean>> switches, Predicate<String> running, Predicate<String> failed) {
        this.site = site;
        this.beliefs = beliefs;
        this.links = links;
        this.switches = switches;
        this.running = running;
        this.failed = failed;
    }

    Verdict forCertain(Condition condition) {
        return decide(condition, true);
    }

    Verdict asBelieved(Condition condition) {
        return decide(condition, false);
    }

    private Verdict decide(Condition condition, boolean certain) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, Test test) -> decide(ref, test, certain);
            case Condition.All(List<Condition> of) -> {
                Verdict all = Verdict.YES;
                for (Condition part : of) {
                    Verdict v = decide(part, certain);
                    if (v == Verdict.NO) {
                        yield v;
                    }
                    all = v == Verdict.UNSURE ? v : all;
                }
                yield all;
            }
            case Condition.Any(List<Condition> of) -> {
                Verdict any = Verdict.NO;
                for (Condition part : of) {
                    Verdict v = decide(part, certain);
                    if (v == Verdict.YES) {
                        yield v;
                    }
                    any = v == Verdict.UNSURE ? v : any;
                }
                yield any;
            }
            case Condition.Not(Condition of) -> switch (decide(of, certain)) {
                case YES -> Verdict.NO;
                case NO -> Verdict.YES;
                case UNSURE -> Verdict.UNSURE;
            };
            case Condition.LinkIs(String device, LinkState state) -> known(links.apply(device) == state);
            case Condition.SwitchIs(String control, boolean on) -> switches.apply(control)
                    .map(stands -> known(stands == on)).orElse(Verdict.UNSURE);
            case Condition.Running(String macro) -> known(running.test(macro));
            case Condition.Failed(String macro) -> known(failed.test(macro));
        };
    }

    private Verdict decide(PropertyRef ref, Test test, boolean certain) {
        Belief belief = beliefs.apply(ref);
        Property property = site.property(ref);
        boolean doubtful = belief.basis() == Belief.Basis.ASSUMED && property.reported()
                || links.apply(ref.device()) != LinkState.UP;
        if (belief.value().isEmpty() || certain && doubtful) {
            return Verdict.UNSURE;
        }
        return known(passes(property.type(), belief.value().get(), test));
    }

    private static boolean passes(PropertyType type, Value value, Test test) {
        return switch (test) {
            case Test.Equal(Value wanted) -> type.same(value, wanted);
            case Test.Above(double limit) -> value instanceof Value.Num(double n) && n > limit;
            case Test.Below(double limit) -> value instanceof Value.Num(double n) && n < limit;
        };
    }

    private static Verdict known(boolean holds) {
        return holds ? Verdict.YES : Verdict.NO;
    }

    /** In words for the log: the parts that keep a condition from holding for certain, or empty if it holds. */
    Optional<String> missing(Condition condition) {
        if (forCertain(condition) == Verdict.YES) {
            return Optional.empty();
        }
        return Optional.of(switch (condition) {
            case Condition.All(List<Condition> of) -> String.join("; ",
                    of.stream().map(this::missing).flatMap(Optional::stream).toList());
            case Condition.Is(PropertyRef ref, Test test) ->
                ref + " should be " + words(test) + " and is " + words(ref);
            case Condition.SwitchIs(String control, boolean on) -> "the switch " + control + " should be "
                    + SwitchReading.word(on) + " and "
                    + switches.apply(control).map(stands -> "is " + SwitchReading.word(stands))
                            .orElse("has not been found yet");
            default -> Words.of(condition) + " does not hold";
        });
    }

    private String words(PropertyRef ref) {
        LinkState link = links.apply(ref.device());
        if (link != LinkState.UP) {
            return "unknown since the link to " + ref.device() + " is " + link.word();
        }
        Belief belief = beliefs.apply(ref);
        return belief.value().map(v -> v + " (" + belief.basis().word() + ")").orElse("unknown");
    }

    private static String words(Test test) {
        return Words.of(test);
    }
}
