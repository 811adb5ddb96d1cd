package bellpush.runtime.prove;

import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import bellpush.runtime.core.Words;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;

/** Macros that no lane keeps apart, and that touch the same thing. */
final class Crossings {
    private final Survey survey;
    private final Map<String, Finding> found = new TreeMap<>();

    private Crossings(Survey survey) {
        this.survey = survey;
    }

    static List<Finding> of(Survey survey) {
        Crossings crossings = new Crossings(survey);
        survey.changers().forEach(crossings::bothChange);
        survey.gestures.keySet().forEach(crossings::unsettled);
        return List.copyOf(crossings.found.values());
    }

    private void bothChange(PropertyRef ref, List<String> macros) {
        for (int i = 0; i < macros.size(); i++) {
            for (int j = i + 1; j < macros.size(); j++) {
                String one = macros.get(i);
                String other = macros.get(j);
                if (!survey.shareLane(one, other) && !survey.family(one).equals(survey.family(other))
                        && !sameValue(ref, one, other)) {
                    note(one, other, ref, one + " and " + other + " both change " + ref
                            + ", and no lane keeps them apart.");
                }
            }
        }
    }

    /** Both set it to one and the same value and to nothing else: then it does not matter who comes last. */
    private boolean sameValue(PropertyRef ref, String one, String other) {
        Optional<Set<Value>> a = survey.fixedValues(one, ref);
        Optional<Set<Value>> b = survey.fixedValues(other, ref);
        if (a.isEmpty() || b.isEmpty()) {
            return false;
        }
        Set<Value> all = new HashSet<>(a.get());
        all.addAll(b.get());
        return all.size() == 1;
    }

    /** One changes what must be steady while the other can make it that it must. */
    private void unsettled(String name) {
        for (PropertyRef ref : survey.changes(name)) {
            Property property = survey.site.property(ref);
            if (property.steadyWhile().isEmpty()) {
                continue;
            }
            Condition steady = Parts.on(ref.device(), property.steadyWhile().get());
            Set<PropertyRef> rests = new TreeSet<>(Parts.of(survey.site, steady).reads);
            for (PropertyRef rest : rests) {
                for (String other : survey.changers(rest)) {
                    if (!other.equals(name) && !survey.shareLane(name, other) && canBring(other, rest, steady)) {
                        note(name, other, ref, name + " changes " + ref + ", and no lane keeps " + other
                                + " from making meanwhile that " + Words.of(steady) + ".");
                    }
                }
            }
        }
    }

    private boolean canBring(String macro, PropertyRef rest, Condition steady) {
        Optional<Set<Value>> fixed = survey.fixedValues(macro, rest);
        return !(steady instanceof Condition.Is(var ref, Condition.Test.Equal(Value bad))) || !ref.equals(rest)
                || fixed.isEmpty()
                || fixed.get().stream().anyMatch(value -> survey.site.property(rest).type().same(value, bad));
    }

    private void note(String one, String other, PropertyRef ref, String words) {
        Macro macro = survey.site.macros().get(one);
        Source at = step(one, ref).map(Step::at).orElse(macro.at());
        found.putIfAbsent(one + " " + other, new Finding(Finding.What.INTERLEAVED, one, at, words,
                "Pressed one shortly after the other, their steps mix, and what is left is what neither of them means.",
                cure(one, other, ref), 2, 0, List.of("1. " + first(survey.gesture(one)) + ": " + one + " runs.",
                        "2. " + first(survey.gesture(other)) + " before it is done: " + other
                                + " runs at the same time.",
                        "   " + one + ": " + step(one, ref).map(Stories::words).orElse("changes " + ref),
                        "   " + other + ": "
                                + step(other, ref).map(Stories::words).orElse("changes what it rests on")))
                .about(survey.family(other)));
    }

    /** The lane that most of those have that change it. */
    private String cure(String one, String other, PropertyRef ref) {
        Set<String> lanes = new LinkedHashSet<>(survey.lanes(one));
        lanes.addAll(survey.lanes(other));
        return lanes.stream().max(Comparator.comparingLong(
                lane -> survey.changers(ref).stream().filter(name -> survey.lanes(name).contains(lane)).count()))
                .map(lane -> "Give both macros the lane " + lane + ".")
                .orElse("Give both macros one lane of the same name.");
    }

    private static String first(String gesture) {
        return Character.toUpperCase(gesture.charAt(0)) + gesture.substring(1);
    }

    private Optional<Step> step(String macro, PropertyRef ref) {
        List<Step> all = new ArrayList<>();
        survey.reached(macro).forEach(name -> all.addAll(survey.parts.get(name).steps));
        return all.stream().filter(step -> Parts.changed(survey.site, step).contains(ref)).findFirst();
    }
}
