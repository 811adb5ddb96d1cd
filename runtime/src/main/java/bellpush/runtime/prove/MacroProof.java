package bellpush.runtime.prove;

import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;

/**
 * Everything that one macro can come to. Since anybody may have touched any device before a press, a press meets whatever its
 * devices can stand at; only what is assumed of properties that no device tells depends on the presses before, and those are
 * followed until nothing new comes of them.
 */
final class MacroProof {
    /** What a trial showed, and the way to see it again. */
    private record Seen(Finding.What what, Source at, Optional<PropertyRef> property, Trial.Ending ending,
            Witness witness) {}

    /**
     * How to come to something: presses, the last of them the macro's own, and the choices on the way.
     *
     * @param when how soon the last press comes after the one before
     */
    record Witness(List<String> presses, When when, Map<PropertyRef, Value> assumedBefore, int[] way, int outside,
            int chosen, Trouble trouble, boolean oneTrial) {
        boolean shorterThan(Witness other) {
            if (presses.size() != other.presses.size()) {
                return presses.size() < other.presses.size();
            }
            return outside != other.outside ? outside < other.outside : chosen < other.chosen;
        }
    }

    /** When a press comes. */
    enum When {
        /** When nothing is on its way any more. */
        RESTED,
        /** As soon as the steps of the one before are done. */
        AT_ONCE,
        /** Before the steps of the one before are done, which it ends. */
        MIDWAY
    }

    /**
     * What a press can find under way or only assumed, in the middle of another macro's steps.
     *
     * @param assumed of properties that no device tells
     */
    record Moment(List<World.Moving> moving, Map<PropertyRef, Value> assumed) {
        Moment of(Set<PropertyRef> refs) {
            Map<PropertyRef, Value> known = new TreeMap<>(assumed);
            known.keySet().retainAll(refs);
            return new Moment(moving.stream().filter(m -> refs.contains(m.ref())).toList(), known);
        }

        boolean isNothing() {
            return moving.isEmpty() && assumed.isEmpty();
        }
    }

    private record Key(Finding.What what, Source at, Optional<PropertyRef> property) {}

    private record Before(Map<PropertyRef, Value> assumed, List<String> presses) {}

    private static final int HAND_MOVES_MAX = 3;

    private final Survey survey;
    final Macro macro;
    private final Limits limits;
    final Coverage coverage = new Coverage();
    private final Map<Key, Seen> seen = new LinkedHashMap<>();
    private final Set<PropertyRef> history = new TreeSet<>();
    long states;
    long trials;
    /** Why nothing was proved of the macro, if so. */
    Optional<String> bound = Optional.empty();

    MacroProof(Survey survey, Macro macro, Limits limits) {
        this.survey = survey;
        this.macro = macro;
        this.limits = limits;
    }

    /**
     * @param tails what macros can leave on its way when their steps are done; the next press may come then
     * @param midst for each macro that another one ends, all moments of it
     */
    void prove(List<Tail> tails, Map<String, Set<Moment>> midst) {
        try {
            alone();
            seen.replaceAll((_, found) -> found.witness.presses.size() > 1 ? withFewestHands(found) : found);
            soonAfter(tails);
            midway(midst);
            inTrouble();
        } catch (Trial.TooLong e) {
            bound = Optional.of(e.getMessage());
        }
    }

    /** The part of {@link #prove} that depends on what others leave on its way. */
    void proveSoonAfter(List<Tail> tails) {
        try {
            soonAfter(tails);
        } catch (Trial.TooLong e) {
            bound = Optional.of(e.getMessage());
        }
    }

    boolean anything() {
        return !seen.isEmpty();
    }

    /** What was found, in words. */
    List<Finding> findings() {
        Stories stories = new Stories(survey, macro);
        Map<Key, List<PropertyRef>> together = new LinkedHashMap<>();
        seen.forEach((key, found) -> together
                .computeIfAbsent(new Key(key.what, key.at, Optional.empty()), _ -> new ArrayList<>())
                .addAll(found.property.stream().toList()));
        List<Finding> findings = new ArrayList<>();
        together.forEach((key, properties) -> {
            Seen shortest = seen.values().stream().filter(s -> s.what == key.what && s.at.equals(key.at))
                    .reduce((a, b) -> b.witness.shorterThan(a.witness) ? b : a).orElseThrow();
            List<PropertyRef> first = new ArrayList<>(shortest.property.stream().toList());
            properties.stream().filter(ref -> !first.contains(ref)).forEach(first::add);
            findings.add(stories.tell(key.what, key.at, first, shortest.ending, shortest.witness, replay(shortest)));
        });
        return findings;
    }

    // --- one press, after whatever presses matter

    private void alone() {
        Before nothing = new Before(Map.of(), List.of());
        Map<Map<PropertyRef, Value>, Before> known = new LinkedHashMap<>();
        List<Before> level = List.of(nothing);
        known.put(Map.of(), nothing);
        explore(nothing);
        if (history.isEmpty()) {
            return;
        }
        Set<String> alphabet = alphabet();
        while (!level.isEmpty()) {
            List<Before> next = new ArrayList<>();
            for (Before before : level) {
                for (String press : alphabet) {
                    for (Map<PropertyRef, Value> assumed : after(before, press)) {
                        List<String> presses = new ArrayList<>(before.presses);
                        presses.add(press);
                        Before then = new Before(assumed, List.copyOf(presses));
                        if (known.putIfAbsent(assumed, then) == null) {
                            if (known.size() > limits.befores()) {
                                throw new Trial.TooLong("more than " + limits.befores() + " pasts");
                            }
                            next.add(then);
                        }
                    }
                }
            }
            next.forEach(this::explore);
            level = next;
        }
    }

    /** The presses that can change what the macro takes from the past, and what those take from it themselves. */
    private Set<String> alphabet() {
        Set<String> alphabet = new LinkedHashSet<>();
        List<PropertyRef> open = new ArrayList<>(history);
        while (!open.isEmpty()) {
            PropertyRef ref = open.removeLast();
            for (String name : survey.changers(ref)) {
                if (alphabet.add(name)) {
                    survey.touches(name).stream().filter(r -> !survey.site.property(r).reported())
                            .filter(history::add).forEach(open::add);
                }
            }
        }
        return alphabet;
    }

    private Set<Map<PropertyRef, Value>> after(Before before, String press) {
        Set<Map<PropertyRef, Value>> results = new LinkedHashSet<>();
        Choices choices = new Choices();
        Set<String> both = new LinkedHashSet<>(List.of(press, macro.name()));
        do {
            Trial trial = new Trial(survey.slice(both), choices, before.assumed, Trouble.NONE);
            trial.press(press);
            count(trial);
            Map<PropertyRef, Value> assumed = new TreeMap<>();
            for (PropertyRef ref : history) {
                trial.assumed(ref).or(() -> trial.world.untouched(ref)
                        ? Optional.ofNullable(before.assumed.get(ref))
                        : Optional.empty()).ifPresent(value -> assumed.put(ref, value));
            }
            results.add(assumed);
        } while (choices.next());
        return results;
    }

    private void explore(Before before) {
        Slice slice = survey.slice(Set.of(macro.name()));
        List<String> presses = new ArrayList<>(before.presses);
        presses.add(macro.name());
        Choices choices = new Choices();
        do {
            Trial trial = new Trial(slice, choices, before.assumed, Trouble.NONE);
            Trial.Ending ending = trial.press(macro.name());
            boolean broken = broken(trial, ending);
            count(trial);
            coverage.note(slice, trial.events, true);
            history.addAll(trial.world.askedOfHistory);
            judge(trial, ending, broken, List.copyOf(presses), When.RESTED, before.assumed, choices, Trouble.NONE);
        } while (choices.next());
    }

    private void count(Trial trial) {
        states += trial.newStates;
        if (++trials > limits.trials()) {
            throw new Trial.TooLong("more than " + limits.trials() + " ways through it");
        }
    }

    private boolean broken(Trial trial, Trial.Ending ending) {
        return !ending.done() || macro.promise().isPresent() && !trial.holds(macro.promise().get());
    }

    private void judge(Trial trial, Trial.Ending ending, boolean broken, List<String> presses, When when,
            Map<PropertyRef, Value> assumed, Choices choices, Trouble trouble) {
        Witness witness = new Witness(presses, when, assumed, choices.way(), trial.world.outside,
                trial.world.chosen.size(), trouble, when != When.RESTED || presses.size() == 1);
        for (Trial.Slip slip : trial.slips) {
            if (when != When.RESTED && slip.what() == Finding.What.TOO_EARLY) {
                continue; // to take over what another press has begun is what the next one is for
            }
            Optional<Step> step = trial.cause(slip.property(), slip.request());
            step.ifPresent(
                    cause -> note(new Seen(slip.what(), cause.at(), Optional.of(slip.property()), ending, witness)));
        }
        if (broken) {
            note(new Seen(macro.promise().isPresent() ? Finding.What.BROKEN_PROMISE : Finding.What.FAILS, macro.at(),
                    Optional.empty(), ending, witness));
        }
    }

    private void note(Seen found) {
        seen.merge(new Key(found.what, found.at, found.property), found,
                (old, other) -> other.witness.shorterThan(old.witness) ? other : old);
    }

    // --- several presses as one story

    /** The same after the same presses, with as few changes by hand as can be. */
    private Seen withFewestHands(Seen found) {
        List<List<String>> ways = sequences(List.copyOf(alphabet()), found.witness.presses.size() - 1);
        for (int hands = 0; hands <= HAND_MOVES_MAX; hands++) {
            Seen best = null;
            for (List<String> presses : ways) {
                best = better(best, found, presses, hands);
            }
            if (best != null) {
                return best;
            }
        }
        return found;
    }

    private Seen better(Seen before, Seen found, List<String> presses, int hands) {
        Seen best = before;
        Choices choices = new Choices();
        do {
            Trial trial = story(presses, When.RESTED, choices, Map.of(), hands, Trouble.NONE);
            Trial.Ending ending = trial.press(macro.name());
            boolean broken = broken(trial, ending);
            count(trial);
            if (trial.world.outside == hands && shows(trial, broken, found)) {
                Witness witness = new Witness(presses, When.RESTED, Map.of(), choices.way(), hands,
                        trial.world.chosen.size(), Trouble.NONE, true);
                if (best == null || witness.shorterThan(best.witness)) {
                    best = new Seen(found.what, found.at, found.property, ending, witness);
                }
            }
        } while (choices.next());
        return best;
    }

    /** All series of so many presses of these, each with the macro's own press after it. */
    private List<List<String>> sequences(List<String> alphabet, int length) {
        List<List<String>> sequences = List.of(List.of());
        for (int i = 0; i < length; i++) {
            List<List<String>> longer = new ArrayList<>();
            for (List<String> sequence : sequences) {
                for (String press : alphabet) {
                    List<String> more = new ArrayList<>(sequence);
                    more.add(press);
                    longer.add(more);
                }
            }
            sequences = longer;
        }
        return sequences.stream().map(sequence -> {
            List<String> more = new ArrayList<>(sequence);
            more.add(macro.name());
            return List.copyOf(more);
        }).toList();
    }

    private boolean shows(Trial trial, boolean broken, Seen found) {
        return switch (found.what) {
            case BROKEN_PROMISE, FAILS -> broken;
            default -> trial.slips.stream().anyMatch(slip -> slip.what() == found.what
                    && Optional.of(slip.property()).equals(found.property));
        };
    }

    /** All presses but the last, with up to so many changes by hand between them. */
    private Trial story(List<String> presses, When when, Choices choices, Map<PropertyRef, Value> assumed, int hands,
            Trouble trouble) {
        Trial trial = new Trial(survey.slice(new LinkedHashSet<>(presses)), choices, assumed, trouble);
        List<PropertyRef> touchable = new ArrayList<>(survey.touches(macro.name()));
        int left = hands;
        for (String press : presses.subList(0, presses.size() - 1)) {
            switch (when) {
                case AT_ONCE -> trial.pressAndGoOn(press);
                case MIDWAY -> trial.pressAndBreakOff(press);
                case RESTED -> {
                    trial.press(press);
                    trial.rest();
                    while (left > 0 && trial.hand(touchable)) {
                        left--;
                    }
                }
            }
        }
        return trial;
    }

    // --- while something is still on its way

    /**
     * A way through a macro at whose end something is still on its way.
     *
     * @param later whether more is left than what is moving: messages still to be sent, or something that nobody can know any more
     */
    record Tail(String press, int[] way, List<World.Moving> moving, Set<PropertyRef> refs, boolean later) {}

    /** All that a macro can leave on its way when its steps are done. */
    static List<Tail> tails(Survey survey, String name, Limits limits) {
        List<Tail> tails = new ArrayList<>();
        try {
            tails(survey, name, limits, tails);
        } catch (Trial.TooLong _) {
            // the macro's own proof comes to it, too, and tells
        }
        return tails;
    }

    private static void tails(Survey survey, String name, Limits limits, List<Tail> tails) {
        Choices choices = new Choices();
        int trials = 0;
        do {
            Trial trial = new Trial(survey.slice(Set.of(name)), choices, Map.of(), Trouble.NONE);
            trial.pressAndGoOn(name);
            List<World.Moving> moving = trial.onTheWay();
            Set<PropertyRef> refs = trial.moving();
            int[] way = choices.way();
            Set<PropertyRef> later = trial.later();
            later.addAll(trial.world.unheard());
            refs.addAll(later);
            if (!refs.isEmpty()) {
                tails.add(new Tail(name, way, moving, refs, !later.isEmpty()));
            }
        } while (choices.next() && ++trials < limits.trials());
    }

    /**
     * A press that comes while something of another macro is on its way. First with that on its way and all else at anything; only
     * where this shows something is it tried whether the other macro's press really leads there.
     */
    private void soonAfter(List<Tail> tails) {
        Set<PropertyRef> touches = survey.touches(macro.name());
        Map<List<World.Moving>, List<Tail>> moments = new LinkedHashMap<>();
        for (Tail tail : tails) {
            List<World.Moving> moment = tail.moving.stream().filter(m -> touches.contains(m.ref())).toList();
            if (tail.later && tail.refs.stream().anyMatch(touches::contains)) {
                after(tail);
            } else if (!moment.isEmpty()) {
                moments.computeIfAbsent(moment, _ -> new ArrayList<>()).add(tail);
            }
        }
        moments.forEach((moment, alike) -> {
            if (shows(new Moment(moment, Map.of()), Optional.empty())) {
                alike.forEach(this::after);
            }
        });
    }

    /**
     * Whether something new can come of it.
     *
     * @param first what is run before, to its end
     */
    private boolean shows(Moment moment, Optional<String> first) {
        Set<String> names = new LinkedHashSet<>(first.stream().toList());
        names.add(macro.name());
        Slice slice = survey.slice(names);
        Choices choices = new Choices();
        Key promise = new Key(Finding.What.BROKEN_PROMISE, macro.at(), Optional.empty());
        Key fails = new Key(Finding.What.FAILS, macro.at(), Optional.empty());
        do {
            Trial trial = new Trial(slice, choices, moment.assumed, Trouble.NONE);
            trial.begin(moment.moving);
            first.ifPresent(trial::pressAndGoOn);
            trial.slips.clear();
            Trial.Ending ending = trial.press(macro.name());
            boolean broken = broken(trial, ending);
            count(trial);
            coverage.note(slice, trial.events, true);
            if (broken && !seen.containsKey(promise) && !seen.containsKey(fails)
                    || trial.slips.stream().anyMatch(slip -> slip.what() != Finding.What.TOO_EARLY
                            && trial.cause(slip.property(), slip.request()).filter(step -> !seen.containsKey(
                                    new Key(slip.what(), step.at(), Optional.of(slip.property())))).isPresent())) {
                return true;
            }
        } while (choices.next());
        return false;
    }

    private void after(Tail tail) {
        after(tail.press, When.AT_ONCE, Choices.after(tail.way));
    }

    private void after(String press, When when, Choices choices) {
        List<String> presses = List.of(press, macro.name());
        Slice slice = survey.slice(new LinkedHashSet<>(presses));
        do {
            Trial trial = story(presses, when, choices, Map.of(), 0, Trouble.NONE);
            trial.slips.clear();
            trial.events.clear();
            Trial.Ending ending = trial.press(macro.name());
            boolean broken = broken(trial, ending);
            count(trial);
            coverage.note(slice, trial.events, true);
            judge(trial, ending, broken, presses, when, Map.of(), choices, Trouble.NONE);
        } while (choices.next());
    }

    /**
     * A press that ends another one's steps where they are, wherever that is. As with what others leave on their way, each moment is
     * tried by itself first.
     */
    private void midway(Map<String, Set<Moment>> midst) {
        Set<PropertyRef> touches = survey.touches(macro.name());
        Map<Optional<String>, Map<Moment, Boolean>> shown = new HashMap<>();
        for (String other : survey.endedBy(macro)) {
            Optional<String> tidy = survey.site.macros().get(other).onTakeover().filter(_ -> macro.takesOver());
            Set<PropertyRef> refs = new TreeSet<>(touches);
            tidy.ifPresent(name -> refs.addAll(survey.touches(name)));
            Map<Moment, Boolean> known = shown.computeIfAbsent(tidy, _ -> new HashMap<>());
            if (midst.get(other).stream().map(moment -> moment.of(refs))
                    .filter(moment -> tidy.isPresent() || !moment.isNothing()).distinct()
                    .anyMatch(moment -> known.computeIfAbsent(moment, _ -> shows(moment, tidy)))) {
                after(other, When.MIDWAY, new Choices());
            }
        }
    }

    /** Everything that a macro can have on its way, or have done, at any moment of its steps. */
    static Set<Moment> moments(Survey survey, String name, Limits limits) {
        List<PropertyRef> untold = survey.changes(name).stream().filter(ref -> !survey.site.property(ref).reported())
                .toList();
        Set<Moment> moments = new LinkedHashSet<>();
        Choices choices = new Choices();
        int trials = 0;
        try {
            do {
                Trial trial = new Trial(survey.slice(Set.of(name)), choices, Map.of(), Trouble.NONE);
                trial.press(name, () -> {
                    Map<PropertyRef, Value> assumed = new TreeMap<>();
                    untold.stream().filter(ref -> !trial.world.untouched(ref))
                            .forEach(ref -> trial.assumed(ref).ifPresent(value -> assumed.put(ref, value)));
                    moments.add(new Moment(trial.onTheWay(), assumed));
                });
            } while (choices.next() && ++trials < limits.trials());
        } catch (Trial.TooLong _) {
            // the macro's own proof comes to it, too, and tells
        }
        return moments;
    }

    // --- a device in trouble

    private void inTrouble() {
        for (String device : new TreeSet<>(survey.union(macro.name(), p -> p.devices))) {
            for (Trouble.Kind kind : List.of(Trouble.Kind.DOWN, Trouble.Kind.DEAF)) {
                Trouble trouble = new Trouble(device, kind);
                Slice slice = survey.slice(Set.of(macro.name()));
                Choices choices = new Choices();
                do {
                    Trial trial = new Trial(slice, choices, Map.of(), trouble);
                    Trial.Ending ending = trial.press(macro.name());
                    count(trial);
                    coverage.note(slice, trial.events, false);
                    unsafe(trial, ending, choices, trouble);
                } while (choices.next());
            }
        }
    }

    /** Left in a state that is not safe: something set in motion goes on, or a steady property was moved. */
    private void unsafe(Trial trial, Trial.Ending ending, Choices choices, Trouble trouble) {
        Witness witness = new Witness(List.of(macro.name()), When.RESTED, Map.of(), choices.way(), trial.world.outside,
                trial.world.chosen.size(), trouble, true);
        for (PropertyRef ref : survey.changes(macro.name())) {
            if (survey.isSpeed(ref) && !ref.device().equals(trouble.device()) && !ending.done()
                    && !trial.world.untouched(ref)
                    && !trial.world.value(ref).equals(Value.of(0))) {
                note(new Seen(Finding.What.DEVICE_DOWN, macro.at(), Optional.of(ref), ending, witness));
            }
        }
        for (Trial.Slip slip : trial.slips) {
            Key known = trial.cause(slip.property(), slip.request())
                    .map(step -> new Key(slip.what(), step.at(), Optional.of(slip.property()))).orElse(null);
            if (slip.what() == Finding.What.UNSTEADY && known != null && !seen.containsKey(known)) {
                note(new Seen(Finding.What.DEVICE_DOWN, known.at, Optional.of(slip.property()), ending, witness));
            }
        }
    }

    // --- the story

    private Trial replay(Seen found) {
        Witness witness = found.witness;
        Choices choices = Choices.along(witness.way);
        boolean whole = witness.oneTrial;
        List<String> presses = whole ? witness.presses : List.of(macro.name());
        int hands = whole && witness.when == When.RESTED && presses.size() > 1 ? witness.outside : 0;
        Trial trial = story(presses, witness.when, choices, witness.assumedBefore, hands, witness.trouble);
        Trial.Ending ending = trial.press(macro.name());
        broken(trial, ending);
        return trial;
    }
}
