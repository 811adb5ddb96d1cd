package bellpush.runtime.rehearse;

import bellpush.config.model.Knob;
import bellpush.config.model.Look;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Rehearsal.Act;
import bellpush.config.model.Rehearsal.Fault;
import bellpush.config.model.Value;
import bellpush.runtime.core.Core;
import bellpush.runtime.core.Verdict;
import bellpush.runtime.core.Words;
import bellpush.runtime.panel.AnalogueHand;
import bellpush.runtime.show.Show;
import java.io.PrintWriter;
import java.time.Duration;
import java.util.HashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.concurrent.ExecutionException;
import java.util.function.Function;
import java.util.function.Supplier;

/**
 * Plays a scripted rehearsal on a running show, as a volunteer would: presses take their time, expectations are waited
 * for. Blocks the thread that calls {@link #play}; nothing of it runs on the core's thread but questions.
 */
public final class Evening {
    private static final long FINGER_MS = 80;
    private static final long LOOK_EVERY_MS = 5;
    private static final int SLIDE_STEPS = 40;

    /** How it went. */
    public record Result(int acts, int expectations, int missed) {
        public boolean good() {
            return missed == 0;
        }
    }

    private final Show show;
    private final RehearsalGear gear;
    private final Rehearsal script;
    private final Timeline timeline;
    private final AnalogueHand hand;
    /** Where faders were left; at their lower end before. */
    private final Map<String, Double> slid = new HashMap<>();
    private int expectations;
    private int missed;

    /** @param colours whether {@code out} is a terminal that shows them */
    public Evening(Show show, RehearsalGear gear, Rehearsal script, PrintWriter out, boolean colours) {
        this.show = show;
        this.gear = gear;
        this.script = script;
        this.timeline = new Timeline(out, colours);
        this.hand = new AnalogueHand(gear.site().panel(), show.hand());
        show.tap(timeline::event);
    }

    /** Plays every act, also after one that missed. */
    public Result play() throws InterruptedException {
        // Nobody has touched the panel yet.
        gear.site().panel().switches().keySet()
                .forEach(control -> show.hand().found(System.nanoTime(), control, false));
        for (Act act : script.acts()) {
            play(act);
        }
        return new Result(script.acts().size(), expectations, missed);
    }

    private void play(Act act) throws InterruptedException {
        switch (act) {
            case Act.Press(String button, _) -> {
                timeline.act("press " + button);
                hold(button, FINGER_MS);
            }
            case Act.HoldDown(String button, Duration time, _) -> {
                timeline.act("hold " + button + " for " + ms(time));
                hold(button, time.toMillis());
            }
            case Act.PressTwice(String button, _) -> {
                timeline.act("press " + button + " twice");
                hold(button, FINGER_MS);
                hold(button, FINGER_MS);
            }
            case Act.SwitchTo(String control, boolean on, _) -> {
                timeline.act("put " + control + (on ? " on" : " off"));
                show.hand().contact(System.nanoTime(), control, on);
                Thread.sleep(FINGER_MS);
            }
            case Act.PushKnob(String knob, _) -> {
                timeline.act("push " + knob);
                hold(knob + ".push", FINGER_MS);
            }
            case Act.Turn(String name, int detents, boolean pushed, _) -> {
                timeline.act((pushed ? "push and turn " : "turn ") + name + " by " + detents);
                if (pushed) {
                    show.hand().contact(System.nanoTime(), name + ".push", true);
                    Thread.sleep(FINGER_MS);
                }
                turn(gear.site().panel().knobs().get(name), detents);
                if (pushed) {
                    show.hand().contact(System.nanoTime(), name + ".push", false);
                    Thread.sleep(FINGER_MS);
                }
            }
            case Act.Slide(String fader, double to, _) -> {
                timeline.act("slide " + fader + " to " + to);
                slide(fader, to);
            }
            case Act.Push(String axis, double to, Duration time, _) -> {
                timeline.act("push " + axis + " to " + to + " for " + ms(time));
                hand.push(System.nanoTime(), axis, to);
                Thread.sleep(time);
                hand.push(System.nanoTime(), axis, 0);
            }
            case Act.Wait(Duration time, _) -> Thread.sleep(time);
            case Act.Say(String text, _) -> timeline.heading(text);
            case Act.Outside(Map<PropertyRef, Value> values, _) -> {
                timeline.act("somebody sets " + words(values) + " at the device itself");
                byDevice(values).forEach((device, changes) -> gear.device(device).change(changes));
            }
            case Act.Trouble(String device, Fault fault, _) -> {
                timeline.act("trouble: " + device + " " + words(fault));
                gear.device(device).fault(fault);
            }
            case Act.Expect expect -> expect("believed: " + Words.of(expect.condition()), expect,
                    expect.within(), () -> ask(core -> core.judge(expect.condition()) == Verdict.YES
                            ? Optional.empty()
                            : core.missing(expect.condition())));
            case Act.Gear(Map<PropertyRef, Value> values, Duration within, _) -> expect("the gear itself: "
                    + words(values), act, within, () -> differing(values));
            case Act.Lamps(Map<String, Look.Pattern> looks, Duration within, _) ->
                expect("lamps: " + lampWords(looks), act,
                        within, () -> ask(core -> looks.entrySet().stream()
                                .filter(e -> core.look(e.getKey()).pattern() != e.getValue()).findFirst()
                                .map(e -> "lamp " + e.getKey() + " shows " + core.look(e.getKey()).pattern().word())));
        }
    }

    private void hold(String button, long ms) throws InterruptedException {
        show.hand().contact(System.nanoTime(), button, true);
        Thread.sleep(ms);
        show.hand().contact(System.nanoTime(), button, false);
        Thread.sleep(FINGER_MS); // a finger does not come back at once
    }

    private void turn(Knob knob, int detents) throws InterruptedException {
        for (int i = 0; i < Math.abs(detents); i++) {
            show.hand().turned(System.nanoTime(), knob.name(), Integer.signum(detents));
            Thread.sleep(LOOK_EVERY_MS);
        }
    }

    /** From where it stands, through everything between: so a value that lies there is picked up. */
    private void slide(String fader, double to) throws InterruptedException {
        double from = slid.getOrDefault(fader, 0.0);
        slid.put(fader, to);
        for (int i = 0; i <= SLIDE_STEPS; i++) {
            hand.slide(System.nanoTime(), fader, from + (to - from) * i / SLIDE_STEPS);
            Thread.sleep(LOOK_EVERY_MS);
        }
    }

    /** Waits until {@code wrong} has nothing to say any more. */
    private void expect(String what, Act act, Duration within, Supplier<Optional<String>> wrong)
            throws InterruptedException {
        expectations++;
        long start = System.nanoTime();
        Optional<String> last = wrong.get();
        while (last.isPresent() && System.nanoTime() - start < within.toNanos()) {
            Thread.sleep(LOOK_EVERY_MS);
            last = wrong.get();
        }
        if (last.isEmpty()) {
            timeline.met(what, (System.nanoTime() - start) / 1_000_000);
        } else {
            missed++;
            timeline.missed(what + " within " + ms(within) + ", but " + last.get() + "  (" + act.at() + ")");
        }
    }

    private Optional<String> differing(Map<PropertyRef, Value> values) {
        return values.entrySet().stream().flatMap(e -> {
            Value is = gear.device(e.getKey().device()).values().get(e.getKey().property());
            boolean same = is != null && gear.site().property(e.getKey()).type().same(is, e.getValue());
            return same ? Optional.<String>empty().stream() : Optional.of(e.getKey() + " is " + is).stream();
        }).findFirst();
    }

    private <T> T ask(Function<Core, T> question) {
        try {
            return show.ask(question).get();
        } catch (ExecutionException e) {
            throw new IllegalStateException("the core could not answer", e.getCause());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted while asking the core", e);
        }
    }

    private static Map<String, Map<String, Value>> byDevice(Map<PropertyRef, Value> values) {
        Map<String, Map<String, Value>> byDevice = new HashMap<>();
        values.forEach((ref, value) -> byDevice.computeIfAbsent(ref.device(), d -> new HashMap<>()).put(ref.property(),
                value));
        return byDevice;
    }

    private static String words(Map<PropertyRef, Value> values) {
        return String.join(", ", values.entrySet().stream().map(e -> e.getKey() + " " + e.getValue()).toList());
    }

    private static String lampWords(Map<String, Look.Pattern> looks) {
        return String.join(", ", looks.entrySet().stream().map(e -> e.getKey() + " " + e.getValue().word()).toList());
    }

    private static String words(Fault fault) {
        return switch (fault) {
            case Fault.Works() -> "works again";
            case Fault.Deaf() -> "goes deaf";
            case Fault.Slow(Duration by) -> "answers " + ms(by) + " late";
            case Fault.Refusing() -> "refuses everything";
            case Fault.Drops(double share) -> String.format(Locale.ROOT, "loses %.0f %% of the packets", share * 100);
            case Fault.Off() -> "is switched off";
            case Fault.Restarts(Duration after) -> "restarts and is back after " + ms(after);
        };
    }

    private static String ms(Duration time) {
        return time.toMillis() % 1000 == 0 ? time.toSeconds() + " s" : time.toMillis() + " ms";
    }
}
