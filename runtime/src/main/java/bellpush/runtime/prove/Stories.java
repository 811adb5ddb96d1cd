package bellpush.runtime.prove;

import bellpush.config.model.Command;
import bellpush.config.model.Condition;
import bellpush.config.model.Macro;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Source;
import bellpush.config.model.Step;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Words;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;

/** What a trial has shown of a macro, in words for the admin who will mend it. */
final class Stories {
    private static final int LINES_MAX = 60;
    private final Survey survey;
    private final Macro macro;

    Stories(Survey survey, Macro macro) {
        this.survey = survey;
        this.macro = macro;
    }

    Finding tell(Finding.What what, Source at, List<PropertyRef> properties, Trial.Ending ending,
            MacroProof.Witness witness, Trial trial) {
        List<String> story = story(witness, trial);
        int presses = witness.presses().size();
        int outside = witness.outside();
        Finding told = switch (what) {
            case UNSTEADY -> {
                PropertyRef ref = properties.getFirst();
                String steady = steady(ref);
                yield new Finding(what, macro.name(), at,
                        all(properties) + changed(properties) + " changed while this may be so: " + steady + ".",
                        "The kind of " + ref.device() + " declares that " + ref.property()
                                + " must not change then: it would be seen.",
                        "Before this step, see to it that it is not so, and wait for that with an until.",
                        presses, outside, story);
            }
            case TOO_EARLY -> new Finding(what, macro.name(), at,
                    all(properties) + (properties.size() == 1 ? " is" : " are")
                            + " changed while the command before it that changes the same is not done yet.",
                    "Which of the two comes last is up to the device.",
                    "Wait with an until for what the command leads to, before this.", presses, outside, story);
            case TOGGLE -> {
                PropertyRef ref = properties.getFirst();
                yield new Finding(what, macro.name(), at,
                        "This turns " + ref + " to its opposite, and " + macro.name()
                                + " has neither set it nor looked at it before.",
                        "Whether it ends up on or off depends on what it was, and a second press undoes the first.",
                        survey.site.property(ref).set().isPresent()
                                ? "Set " + ref
                                        + " to what this starts from and wait with an until, or look at it with an if."
                                : "Look at " + ref + " with an if, and do this in one of its branches only.",
                        presses, outside, story);
            }
            case DEVICE_DOWN -> {
                PropertyRef ref = properties.getFirst();
                boolean moves = survey.isSpeed(ref);
                yield new Finding(what, macro.name(), at,
                        moves
                                ? macro.name() + " fails and leaves " + ref + " at " + trial.world.value(ref) + "."
                                : all(properties) + changed(properties) + " changed while this may be so: "
                                        + steady(ref) + ".",
                        "With " + witness.trouble().device() + (witness.trouble().kind() == Trouble.Kind.DOWN
                                ? " down, it does not stop in a safe state."
                                : " not taking what it is sent, it does not stop in a safe state."),
                        moves
                                ? "Give " + macro.name() + " an onFailure that runs a macro which sets " + ref
                                        + " to 0."
                                : "Do not go on where the step before has failed.",
                        presses, outside, story);
            }
            default -> broken(what, ending, trial, presses, outside, story);
        };
        return properties.isEmpty() ? told : told.about(properties.getFirst());
    }

    private static String all(List<PropertyRef> refs) {
        return refs.stream().map(PropertyRef::toString).collect(Collectors.joining(", "));
    }

    private static String changed(List<PropertyRef> refs) {
        return refs.size() == 1 ? " is" : " are";
    }

    private String steady(PropertyRef ref) {
        return Words.of(Parts.on(ref.device(), survey.site.property(ref).steadyWhile().orElseThrow()));
    }

    static String words(Step step) {
        return Words.of(step) + "   (" + step.at() + ")";
    }

    // --- broken promises

    private Finding broken(Finding.What what, Trial.Ending ending, Trial trial, int presses, int outside,
            List<String> story) {
        List<Condition> missing = macro.promise().map(promise -> missing(promise, trial)).orElse(List.of());
        List<PropertyRef> refs = new ArrayList<>();
        missing.forEach(part -> refs.addAll(Parts.of(survey.site, part).reads));
        String unkept = "promise not kept: ";
        boolean inSteps = !ending.done() && !ending.why().startsWith(unkept);
        Optional<Step> last = inSteps ? trial.failedAt(ending.why()) : last(trial, refs);
        String now = refs.stream().distinct().map(ref -> ref + " is " + trial.world.value(ref))
                .collect(Collectors.joining(", "));
        String promised = missing.stream().map(Words::of).collect(Collectors.joining(" and "));
        boolean setsNone = !refs.isEmpty() && refs.stream().noneMatch(survey.changes(macro.name())::contains);
        List<String> whole = new ArrayList<>(story);
        if (!missing.isEmpty()) {
            whole.add("Promised: " + promised + ". But " + now + ".");
        }
        if (setsNone && !inSteps) {
            return new Finding(Finding.What.UNKEPT, macro.name(), macro.at(),
                    macro.name() + " promises " + promised + ", and no step of it changes that.",
                    "The promise holds only if it was so before.",
                    "Set it in " + macro.name() + ", or take it out of the promise.", presses, outside, whole);
        }
        String found = macro.promise().isEmpty()
                ? macro.name() + " can fail although all gear is well: " + ending.why() + "."
                : macro.name() + " can end without its promise: "
                        + (inSteps
                                ? ending.why()
                                : missing.isEmpty() ? ending.why().replace(unkept, "") : promised + " does not hold")
                        + ".";
        return new Finding(what, macro.name(), last.map(Step::at).orElse(macro.at()), found,
                macro.promise().isEmpty()
                        ? "Its button shows failure, and what it was pressed for has not happened."
                        : "Whoever presses it does not get the picture that it stands for.",
                cure(inSteps, last, refs), presses, outside, whole);
    }

    private List<Condition> missing(Condition promise, Trial trial) {
        if (promise instanceof Condition.All(var of)) {
            return of.stream().flatMap(part -> missing(part, trial).stream()).toList();
        }
        return trial.holds(promise) ? List.of() : List.of(promise);
    }

    /** The last step that changed what is missing. */
    private Optional<Step> last(Trial trial, List<PropertyRef> refs) {
        Step last = null;
        for (String place : trial.steps()) {
            Step step = trial.stepAt(place);
            if (step != null && Parts.changed(survey.site, step).stream().anyMatch(refs::contains)) {
                last = step;
            }
        }
        return Optional.ofNullable(last);
    }

    private String cure(boolean inSteps, Optional<Step> last, List<PropertyRef> refs) {
        if (last.isPresent() && last.get() instanceof Step.Do act && toggles(act, refs)) {
            return "This turns it to its opposite: set it to what this starts from and wait with an until before.";
        }
        if (inSteps) {
            return last.orElse(null) instanceof Step.Until
                    ? "Set what this waits for before it, allow the device more time, or say with else what happens instead."
                    : "See to it that this step can be done from every state, or put it into an if.";
        }
        if (last.isEmpty()) {
            return "Set it on every way through the macro, also where an if goes the other way.";
        }
        return "See to it that this leads to what is promised from every state, or that a step after it does.";
    }

    private boolean toggles(Step.Do act, List<PropertyRef> refs) {
        return survey.site.devices().get(act.device()).kind().commands().get(act.command()).effect().entrySet().stream()
                .anyMatch(e -> e.getValue() instanceof Command.Effect.Opposite
                        && refs.contains(new PropertyRef(act.device(), e.getKey())));
    }

    // --- step by step

    private List<String> story(MacroProof.Witness witness, Trial trial) {
        List<String> lines = new ArrayList<>();
        switch (witness.trouble().kind()) {
            case DOWN -> lines.add("The link to " + witness.trouble().device() + " is down.");
            case DEAF ->
                lines.add(witness.trouble().device() + " takes no notice of what it is sent, and tells nothing.");
            case NONE -> {
            }
        }
        if (!witness.oneTrial()) {
            witness.assumedBefore().forEach((ref, value) -> lines.add("Sent last to " + ref + ": " + value + "."));
        }
        String start = trial.world.chosen.stream().filter(u -> u.origin == Unknown.Origin.START)
                .map(u -> u.of + " is " + u.value).collect(Collectors.joining(", "));
        if (!start.isEmpty()) {
            lines.add("At the start, " + start + ".");
        }
        trial.world.facts().forEach(fact -> lines.add("At the start, " + fact + "."));
        int press = 0;
        for (Event event : trial.events) {
            Map<String, Object> details = event.details();
            switch (event.what()) {
                case "asked" -> {
                    String when = press == 0 ? "" : switch (witness.when()) {
                        case RESTED -> "";
                        case AT_ONCE -> ", at once";
                        case MIDWAY -> ", while the other still runs";
                    };
                    String gesture = survey.gesture((String) details.get("macro"));
                    lines.add(++press + ". " + Character.toUpperCase(gesture.charAt(0)) + gesture.substring(1)
                            + when + ": " + details.get("macro") + " runs.");
                }
                case "hand" ->
                    lines.add("   Somebody changes " + details.get("property") + " to " + details.get("value")
                            + " at the device.");
                case "step" -> lines.add("   " + details.get("step") + "   (" + details.get("at") + ")");
                case "report" -> told(details).ifPresent(lines::add);
                case "note" -> lines.add("   " + details.get("text") + ".");
                case "failed" -> lines.add("   " + details.get("macro") + " fails: " + details.get("why") + ".");
                case "done", "stopped" -> lines.add("   " + details.get("macro") + " is " + event.what() + ".");
                default -> {
                }
            }
        }
        String later = trial.world.chosen.stream()
                .filter(u -> u.origin == Unknown.Origin.EFFECT || u.origin == Unknown.Origin.HAND && !told(trial, u))
                .map(u -> u.of + " has become " + u.value
                        + (u.origin == Unknown.Origin.HAND
                                ? " by somebody's hand at the device, which it does not tell"
                                : ""))
                .collect(Collectors.joining(", "));
        if (!later.isEmpty()) {
            lines.add("Meanwhile " + later + ".");
        }
        return lines.size() <= LINES_MAX ? lines : shortened(lines);
    }

    private static boolean told(Trial trial, Unknown by) {
        return trial.events.stream()
                .anyMatch(e -> e.what().equals("hand") && e.details().get("property").equals(by.of));
    }

    private static List<String> shortened(List<String> lines) {
        List<String> all = new ArrayList<>(lines.subList(0, LINES_MAX / 2));
        all.add("   ... " + (lines.size() - LINES_MAX) + " more ...");
        all.addAll(lines.subList(lines.size() - LINES_MAX / 2, lines.size()));
        return all;
    }

    private static Optional<String> told(Map<String, Object> details) {
        Map<?, ?> values = (Map<?, ?>) details.get("values");
        return values.isEmpty()
                ? Optional.empty()
                : Optional.of("   " + details.get("device") + " tells: " + values.entrySet().stream()
                        .map(e -> e.getKey() + " is " + e.getValue()).collect(Collectors.joining(", ")));
    }
}
