package bellpush.runtime.core;

import bellpush.config.model.Condition;
import bellpush.config.model.Condition.Test;
import bellpush.config.model.Operand;
import bellpush.config.model.Step;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.stream.Collectors;

/** Steps and conditions as the log and messages say them: close to the JSON that the admin wrote. */
public final class Words {
    private Words() {}

    public static String of(Condition condition) {
        return switch (condition) {
            case Condition.Is(var ref, var test) -> ref + " " + of(test);
            case Condition.All(var of) -> of.stream().map(Words::part).collect(Collectors.joining(" and "));
            case Condition.Any(var of) -> of.stream().map(Words::part).collect(Collectors.joining(" or "));
            case Condition.Not(var of) -> "not " + part(of);
            case Condition.LinkIs(var device, var state) -> "link to " + device + " " + state.word();
            case Condition.SwitchIs(var control, var on) -> "switch " + control + (on ? " on" : " off");
            case Condition.Running(var macro) -> macro + " running";
            case Condition.Failed(var macro) -> macro + " failed";
        };
    }

    private static String part(Condition condition) {
        return switch (condition) {
            case Condition.All _,Condition.Any _ -> "(" + of(condition) + ")";
            default -> of(condition);
        };
    }

    static String of(Test test) {
        return switch (test) {
            case Test.Equal(var value) -> value.toString();
            case Test.Above(double limit) -> "above " + Value.of(limit);
            case Test.Below(double limit) -> "below " + Value.of(limit);
        };
    }

    public static String of(Step step) {
        return switch (step) {
            case Step.Set(var values, var confirm, _) -> "set " + values.entrySet().stream()
                    .map(e -> e.getKey() + " " + of(e.getValue())).collect(Collectors.joining(", "))
                    + confirm.map(c -> ", confirmed within " + of(c.within())
                            + (c.times() == 1 ? "" : ", sent up to " + c.times() + " times")).orElse("");
            case Step.Do(var device, var command, var arguments, _) -> "do " + device + "." + command
                    + (arguments.isEmpty()
                            ? ""
                            : arguments.entrySet().stream().map(e -> e.getKey() + " " + of(e.getValue()))
                                    .collect(Collectors.joining(", ", " with ", "")));
            case Step.Wait(var time, _) -> "wait " + of(time);
            case Step.Until(var condition, var within, _, _) -> "until " + of(condition) + ", within "
                    + within.toMillis() + " ms";
            case Step.If(var condition, _, _, _) -> "if " + of(condition);
            case Step.Remember(var ref, _) -> "remember " + ref;
            case Step.Restore(var ref, _) -> "restore " + ref;
            case Step.Run(var macro, _) -> "run " + macro;
            case Step.Together(var branches, _) -> "together, " + branches.size() + " branches";
            case Step.Stop(var families, _) ->
                "stop " + (families.isEmpty() ? "everything" : String.join(", ", families));
            case Step.Guarded(var inner, _) -> of(inner);
            case Step.Glide(var values, var over, var ease, _) -> "glide " + values.entrySet().stream()
                    .map(e -> e.getKey() + " " + of(e.getValue())).collect(Collectors.joining(", ")) + " over "
                    + over.toMillis() + " ms, " + ease.word();
            case Step.Say(var text, _) -> "say " + text;
        };
    }

    private static String of(Operand operand) {
        return switch (operand) {
            case Operand.Fixed(var value) -> value.toString();
            case Operand.Present(var ref) -> "to what " + ref + " is";
            case Operand.Opposite() -> "to its opposite";
            case Operand.By(double change) -> "by " + (change > 0 ? "+" : "") + Value.of(change);
        };
    }

    /** A time: whole seconds as such, anything else in milliseconds. */
    static String of(Duration time) {
        return time.toNanos() % 1_000_000_000 == 0
                ? time.toSeconds() + " s"
                : Value.of(time.toNanos() / 1_000_000.0) + " ms";
    }
}
