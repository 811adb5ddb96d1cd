package bellpush.runtime.prove;

import bellpush.config.model.Condition;
import bellpush.config.model.Device;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.LinkState;
import bellpush.config.model.Panel;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.runtime.core.Belief;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Elsewhere;
import bellpush.runtime.core.Input;
import bellpush.runtime.core.Verdict;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;

/** Rules of a lamp that can never decide what it shows, whatever the gear reports. */
final class LampProof {
    private final Survey survey;
    private final Lamp lamp;
    private final int waysMax;
    long ways;
    boolean bound;

    LampProof(Survey survey, Lamp lamp, int waysMax) {
        this.survey = survey;
        this.lamp = lamp;
        this.waysMax = waysMax;
    }

    List<Finding> findings() {
        Set<Integer> shows = new TreeSet<>();
        List<Parts> parts = lamp.rules().stream().flatMap(rule -> rule.when().stream())
                .map(when -> Parts.of(survey.site, when)).toList();
        Map<String, Device> devices = new LinkedHashMap<>();
        parts.forEach(p -> p.devices.forEach(name -> {
            Device device = survey.site.devices().get(name);
            devices.put(name, new Device(device.name(), device.label(), device.kind().untimed(), device.address(),
                    device.port(), device.settings(), device.at()));
        }));
        Site site = new Site(survey.site.folder(), survey.site.name(), survey.site.frameRate(), survey.site.limits(),
                Panel.of(Map.of(), Map.of(), Map.of(), List.of(), Panel.Signs.DEFAULT), devices, Map.of());
        Regions regions = new Regions(site, parts);
        Choices choices = new Choices();
        do {
            if (++ways > waysMax || shows.size() == lamp.rules().size()) {
                bound = shows.size() < lamp.rules().size();
                break;
            }
            decide(site, regions, choices).ifPresent(shows::add);
        } while (choices.next());
        List<Finding> findings = new ArrayList<>();
        for (int i = 0; !bound && i < lamp.rules().size(); i++) {
            if (!shows.contains(i)) {
                findings.add(never(lamp.rules().get(i), i));
            }
        }
        return findings;
    }

    /** The rule that decides in one state of the gear; none if it cannot be told for certain. */
    private Optional<Integer> decide(Site site, Regions regions, Choices choices) {
        Core core = new Core(site, new AnyGear(regions, choices));
        core.accept(new Input.Started(1), _ -> {});
        Set<String> asked = new TreeSet<>();
        lamp.rules().forEach(rule -> rule.when().ifPresent(when -> links(when, asked)));
        for (String device : site.devices().keySet()) {
            if (!asked.contains(device) || choices.pick(2) == 0) {
                core.accept(new Input.LinkChanged(1, device, LinkState.UP, ""), _ -> {});
            }
        }
        for (int i = 0; i < lamp.rules().size(); i++) {
            Verdict verdict = lamp.rules().get(i).when().map(core::judge).orElse(Verdict.YES);
            if (verdict != Verdict.NO) {
                return verdict == Verdict.YES ? Optional.of(i) : Optional.empty();
            }
        }
        return Optional.empty();
    }

    private static void links(Condition condition, Set<String> into) {
        switch (condition) {
            case Condition.LinkIs(String device, _) -> into.add(device);
            case Condition.All(var of) -> of.forEach(c -> links(c, into));
            case Condition.Any(var of) -> of.forEach(c -> links(c, into));
            case Condition.Not(var of) -> links(of, into);
            default -> {
            }
        }
    }

    /** Gear that stands at anything; of what no device tells, only what somebody sets is ever known. */
    private final class AnyGear implements Elsewhere {
        private final Regions regions;
        private final Choices choices;
        private final Map<String, Boolean> facts = new TreeMap<>();
        private final Map<PropertyRef, Optional<Belief>> heard = new HashMap<>();

        AnyGear(Regions regions, Choices choices) {
            this.regions = regions;
            this.choices = choices;
        }

        @Override
        public Optional<Belief> heard(PropertyRef ref) {
            return heard.computeIfAbsent(ref, _ -> {
                boolean told = survey.site.property(ref).reported();
                if (!told && !survey.canBeSet(ref)) {
                    return Optional.empty();
                }
                List<Value> values = regions.of(ref);
                Value value = values.get(choices.pick(values.size()));
                return Optional
                        .of(new Belief(told ? Belief.Basis.REPORTED : Belief.Basis.ASSUMED, Optional.of(value), 0));
            });
        }

        @Override
        public boolean settled() {
            return true;
        }

        @Override
        public boolean running(String macro) {
            return fact("running " + macro);
        }

        @Override
        public boolean failed(String macro) {
            return fact("failed " + macro);
        }

        @Override
        public Optional<Boolean> on(String control) {
            return Optional.of(fact("on " + control));
        }

        private boolean fact(String words) {
            return facts.computeIfAbsent(words, _ -> choices.pick(2) == 1);
        }
    }

    private Finding never(LampRule rule, int number) {
        boolean shadowed = lamp.rules().subList(0, number).stream().anyMatch(earlier -> earlier.when().isEmpty());
        return new Finding(Finding.What.DEAD_RULE, lamp.name(), rule.at(),
                "This rule of the lamp " + lamp.name() + " never shows.",
                shadowed
                        ? "A rule before it holds always, and the first one that holds decides."
                        : "Whatever the gear reports, it does not hold, or a rule before it holds as well.",
                shadowed ? "Put the rule that holds always last." : "Put it before the other, change it, or remove it.",
                0, 0,
                List.of());
    }
}
