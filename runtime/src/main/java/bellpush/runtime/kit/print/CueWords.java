package bellpush.runtime.kit.print;

import bellpush.config.model.Button;
import bellpush.config.model.Condition;
import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Knob;
import bellpush.config.model.Lamp;
import bellpush.config.model.LampRule;
import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Pin;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Site;
import bellpush.config.model.Switch;
import bellpush.config.model.Chip;
import bellpush.config.model.Value;
import java.time.Duration;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/** What the card says of each control: plain words, derived from what the site declares, and no more than that. */
final class CueWords {
    private static final Set<Look.Pattern> SHOWN = Set.of(Look.Pattern.STEADY, Look.Pattern.SLOW, Look.Pattern.FAST,
            Look.Pattern.PULSE);

    private final Site site;

    CueWords(Site site) {
        this.site = site;
    }

    /**
     * @param act  what a hand does, in a word or two; may be empty
     * @param text paragraphs: what it is for, what else to do, what its lamp says beyond what every lamp does
     */
    record Entry(String label, String act, List<String> text) {}

    /** What a hand does, in short, and what more there is to say of it. */
    private record Gesture(String act, List<String> more) {}

    /** The entry of a control or a lamp of no button; empty for a name that is neither. */
    Optional<Entry> of(String name) {
        Panel panel = site.panel();
        if (panel.buttons().get(name) instanceof Button button) {
            return Optional.of(entry(button.label(), button.about().or(() -> macroOf(button)), gesture(button),
                    button.lamp().map(lamp -> lamp
                            .about().map(CueWords::sentence).orElseGet(() -> lamp(lamp,
                                    promise(button.press().or(() -> button.hold().map(Button.Hold::run))))))));
        }
        if (panel.switches().get(name) instanceof Switch each) {
            return Optional.of(entry(each.label(), each.about(), gesture(each), Optional.empty()));
        }
        if (panel.knobs().get(name) instanceof Knob knob) {
            return Optional.of(entry(knob.label(), knob.about(), gesture(knob), Optional.empty()));
        }
        if (panel.faders().get(name) instanceof Fader fader) {
            return Optional.of(entry(fader.label(), fader.about(), gesture(fader), Optional.empty()));
        }
        if (panel.joysticks().get(name) instanceof Joystick stick) {
            return Optional.of(entry(stick.label(), stick.about(), gesture(stick), Optional.empty()));
        }
        return Optional.ofNullable(panel.lamps().get(name))
                .map(lamp -> entry(lamp.label(), lamp.about(), new Gesture("lamp", List.of()),
                        lamp.about().isPresent() ? Optional.empty() : Optional.of(lamp(lamp, Optional.empty()))));
    }

    /** Where nobody wrote what a button with one gesture is for, its macro's label is the best there is. */
    private Optional<String> macroOf(Button button) {
        boolean one = button.twice().isEmpty() && button.press().isPresent() != button.hold().isPresent();
        return button.press().or(() -> button.hold().map(Button.Hold::run)).filter(_ -> one).map(this::macro)
                .filter(label -> !label.equalsIgnoreCase(button.label()));
    }

    private static Entry entry(String label, Optional<String> about, Gesture gesture, Optional<String> lamp) {
        List<String> text = new ArrayList<>();
        about.map(CueWords::sentence).ifPresent(text::add);
        List<String> more = new ArrayList<>(gesture.more);
        lamp.filter(words -> !words.isEmpty()).ifPresent(more::add);
        if (!more.isEmpty()) {
            text.add(String.join(" ", more));
        }
        return new Entry(label, gesture.act, text);
    }

    // ---- what to do --------------------------------------------------------------------------------------------------

    private Gesture gesture(Button button) {
        List<String> words = new ArrayList<>();
        boolean several = button.hold().isPresent() || button.twice().isPresent();
        String early = isHoldingShown(button) ? "" : " Let go early, and nothing happens.";
        if (!several && button.press().isPresent() && button.release().isEmpty()) {
            return new Gesture("press", List.of());
        }
        if (button.press().isEmpty() && button.release().isEmpty() && button.twice().isEmpty()
                && button.hold().isPresent()) {
            return new Gesture("hold for " + seconds(button.hold().get().time()),
                    early.isEmpty() ? List.of() : List.of(early.strip()));
        }
        if (!several && button.press().isPresent()) {
            return new Gesture("hold down", List.of("As long as you hold it; let go, and it ends."));
        }
        if (button.press().isPresent()) {
            words.add("Press: " + macro(button.press().get()) + ".");
        }
        button.release().ifPresent(run -> words.add("Let go: " + macro(run) + "."));
        button.twice().ifPresent(twice -> words.add("Press twice: " + macro(twice.run()) + "."));
        button.hold().ifPresent(hold -> words.add("Hold for " + seconds(hold.time()) + ": " + macro(hold.run()) + "."
                + (button.press().isPresent() ? "" : early)));
        return new Gesture("", words);
    }

    /** Then what holding does is said once, in the legend. */
    private boolean isHoldingShown(Button button) {
        return button.lamp().isPresent() && isHoldingShown();
    }

    private boolean isHoldingShown() {
        return site.panel().signs().holding().pattern() != Look.Pattern.OFF;
    }

    private Gesture gesture(Switch each) {
        List<String> words = new ArrayList<>();
        each.on().ifPresent(run -> words.add("On: " + macro(run) + "."));
        each.off().ifPresent(run -> words.add("Off: " + macro(run) + "."));
        return new Gesture("switch", words);
    }

    /** Where the knob has an {@code about}, that says what it turns. */
    private Gesture gesture(Knob knob) {
        List<String> words = new ArrayList<>();
        words.add((knob.about().isPresent() ? "" : property(knob.turns()) + ". ")
                + capital(step(knob.turns(), knob.step()))
                + (knob.faster() > 1 ? "; spin it to get there faster" : "") + ".");
        knob.push().ifPresent(push -> {
            push.button().press().ifPresent(run -> words.add("Push: " + macro(run) + "."));
            push.turns().ifPresent(turning -> words.add("Turn it pushed in: "
                    + (turning.property().equals(knob.turns()) ? "" : property(turning.property()) + ", ")
                    + step(turning.property(), turning.step()) + "."));
        });
        return new Gesture("turn", words);
    }

    private Gesture gesture(Fader fader) {
        return new Gesture("slide", List.of((fader.about().isPresent() ? "" : property(fader.moves()) + ". ") + "From "
                + amount(fader.moves(), fader.from()) + " to " + amount(fader.moves(), fader.to()) + "."
                + (fader.pickUp() ? " It takes hold once it has passed the present value." : "")));
    }

    private Gesture gesture(Joystick stick) {
        List<String> rockers = new ArrayList<>();
        List<String> ways = new ArrayList<>();
        stick.axes().values().forEach(axis -> (axis.wire().orElse(null) instanceof Joystick.Wire.Contacts
                ? rockers
                : ways).add(axis.name()));
        String stops = "Let go, and it stops. Look where the gear goes.";
        if (ways.isEmpty()) {
            return new Gesture("hold a side down", List.of(rockers.size() > 1
                    ? "Rockers: " + String.join(", ", rockers) + ". " + stops
                    : stops));
        }
        return new Gesture("push aside", List.of("Stick: " + String.join(", ", ways) + ". "
                + (rockers.isEmpty() ? "" : "Rocker beside it: " + String.join(", ", rockers) + ". ") + stops));
    }

    private String step(PropertyRef ref, double step) {
        return amount(ref, Math.abs(step)) + " a click"
                + (step < 0 ? "; to the left is more" : "; to the right is more");
    }

    private String amount(PropertyRef ref, double number) {
        String unit = switch (site.property(ref).type()) {
            case PropertyType.Whole(_, _, String u, _) -> u;
            case PropertyType.Number(_, _, _, String u, _) -> u;
            default -> "";
        };
        return Front.mm(number).replace('-', '\u2212') + (unit.isEmpty() ? "" : " " + unit);
    }

    private String macro(String name) {
        Macro macro = site.macros().get(name);
        return macro == null ? name : macro.label();
    }

    // ---- what the lamp says ------------------------------------------------------------------------------------------

    private Optional<Condition> promise(Optional<String> macro) {
        return macro.map(site.macros()::get).flatMap(Macro::promise);
    }

    private String lamp(Lamp lamp, Optional<Condition> promise) {
        List<String> words = new ArrayList<>();
        for (LampRule rule : lamp.rules()) {
            if (!SHOWN.contains(rule.show().pattern()) || saysWhatAllDo(rule, promise)) {
                continue;
            }
            String means = rule.when().isEmpty()
                    ? words.isEmpty() ? "always" : "anything else"
                    : rule.when().equals(promise)
                            ? "done" + (isTold(promise.orElseThrow()) ? "" : ", as far as the gear tells")
                            : words(rule.when().get())
                                    + (isTold(rule.when().get()) ? "" : " (as sent; the gear itself does not tell)");
            words.add(look(rule.show(), isColoured(lamp)) + ": " + means);
        }
        return words.isEmpty() ? "" : "Lamp " + String.join("; ", words) + ".";
    }

    /** That a steady lamp means that it is so, and that the gear says so, stands in the legend. */
    private boolean saysWhatAllDo(LampRule rule, Optional<Condition> promise) {
        return rule.show().pattern() == Look.Pattern.STEADY && rule.when().isPresent() && rule.when().equals(promise)
                && isTold(promise.get());
    }

    /** Whether the lamp can show colours at all: one of three pins, or one of a strip. */
    private boolean isColoured(Lamp lamp) {
        return lamp.pins().size() == 3 || lamp.pins().stream().anyMatch(
                pin -> pin instanceof Pin.OfChip(String chip, _, _)
                        && site.panel().chips().get(chip) instanceof Chip.Strip);
    }

    private static String look(Look look, boolean coloured) {
        return words(look.pattern()) + (coloured ? look.colour().map(colour -> ", " + colour).orElse("") : "");
    }

    private static String words(Look.Pattern pattern) {
        return switch (pattern) {
            case OFF -> "dark";
            case STEADY -> "steady";
            case SLOW -> "blinking slowly";
            case FAST -> "blinking fast";
            case PULSE -> "short flashes";
        };
    }

    private String words(Condition condition) {
        return switch (condition) {
            case Condition.Is(PropertyRef ref, Condition.Test.Equal(Value.Flag(boolean on))) -> on
                    ? property(ref)
                    : "not " + property(ref);
            case Condition.Is(PropertyRef ref, Condition.Test.Equal(Value value)) ->
                property(ref) + " is " + value(value);
            case Condition.Is(PropertyRef ref, Condition.Test.Above(double limit)) -> property(ref) + " above "
                    + amount(ref, limit);
            case Condition.Is(PropertyRef ref, Condition.Test.Below(double limit)) -> property(ref) + " below "
                    + amount(ref, limit);
            case Condition.Not(Condition.Is(PropertyRef ref, Condition.Test.Equal(Value.Flag(boolean on)))) -> on
                    ? "not " + property(ref)
                    : property(ref);
            case Condition.Not(Condition.Is(PropertyRef ref, Condition.Test.Equal(Value value))) -> property(ref)
                    + " is not " + value(value);
            case Condition.Not(Condition of) -> "not so: " + words(of);
            case Condition.All(List<Condition> of) -> allAnswer(of).orElseGet(() -> joined(of, " and "));
            case Condition.Any(List<Condition> of) -> joined(of, " or ");
            case Condition.LinkIs(String device, LinkState state) -> device(device)
                    + (state == LinkState.UP ? " answers" : " does not answer");
            case Condition.SwitchIs(String control, boolean on) -> site.panel().switches().get(control).label() + " is "
                    + (on ? "on" : "off");
            case Condition.Running(String macro) -> macro(macro) + " is on its way";
            case Condition.Failed(String macro) -> macro(macro) + " has failed";
        };
    }

    /** What several have in common at their beginning is said once: "Projector: power is warming or cooling". */
    private String joined(List<Condition> of, String by) {
        StringBuilder text = new StringBuilder();
        String before = "";
        for (Condition each : of) {
            String words = words(each);
            String same = "";
            for (String sign : List.of(" is ", ": ")) {
                int end = words.indexOf(sign) + sign.length();
                if (same.isEmpty() && words.contains(sign) && !words.contains(" is not ") && end <= before.length()
                        && before.startsWith(words.substring(0, end))) {
                    same = words.substring(0, end);
                }
            }
            text.append(text.isEmpty() ? "" : by).append(words.substring(same.length()));
            before = words;
        }
        return text.toString();
    }

    /** Whether the gear tells everything that a condition speaks of; else a lamp shows what was sent. */
    private boolean isTold(Condition condition) {
        return switch (condition) {
            case Condition.Is is -> site.property(is.property()).reported();
            case Condition.All(List<Condition> of) -> of.stream().allMatch(this::isTold);
            case Condition.Any(List<Condition> of) -> of.stream().allMatch(this::isTold);
            case Condition.Not(Condition of) -> isTold(of);
            case Condition.LinkIs _,Condition.SwitchIs _,Condition.Running _,Condition.Failed _ -> true;
        };
    }

    private Optional<String> allAnswer(List<Condition> of) {
        List<String> devices = of.stream()
                .map(each -> each instanceof Condition.LinkIs(String device, LinkState state) && state == LinkState.UP
                        ? device
                        : "")
                .toList();
        return !devices.contains("") && Set.copyOf(devices).equals(site.devices().keySet())
                ? Optional.of("all gear answers")
                : Optional.empty();
    }

    private String property(PropertyRef ref) {
        String words = ref.property().replace('.', ' ').replaceAll("(?<=[a-z0-9])(?=[A-Z])", " ")
                .toLowerCase(Locale.ROOT);
        return device(ref.device()) + ": " + words;
    }

    private String device(String name) {
        return site.devices().get(name).label();
    }

    private static String value(Value value) {
        return value instanceof Value.Text(String text) ? text.replace('-', ' ') : value.toString();
    }

    private static String sentence(String text) {
        String stripped = text.strip();
        return stripped.isEmpty() || ".!?".indexOf(stripped.charAt(stripped.length() - 1)) >= 0
                ? stripped
                : stripped + ".";
    }

    private static String seconds(Duration time) {
        return Front.mm(time.toMillis() / 1000.0) + " s";
    }

    // ---- what all lamps say ------------------------------------------------------------------------------------------

    /** The meaning of each pattern, for all lamps of the panel: the pattern's words, then what it means and what to do. */
    Map<String, String> legend() {
        Panel.Signs signs = site.panel().signs();
        boolean coloured = site.panel().lamps().values().stream().anyMatch(this::isColoured);
        Map<String, List<String>> meanings = new LinkedHashMap<>();
        add(meanings, Look.of(Look.Pattern.STEADY), false, "what the button is for is so; the gear itself says so");
        add(meanings, Look.OFF, false, "it is not so; press, if you want it");
        add(meanings, signs.running(), coloured, "it is on its way: wait a moment");
        add(meanings, signs.assumed(), coloured, "it was sent, and the gear has not confirmed it yet: wait a moment");
        if (isHoldingShown() && site.panel().buttons().values().stream().anyMatch(each -> each.hold().isPresent())) {
            add(meanings, signs.holding(), coloured,
                    "while you hold the button: keep holding; let go early, and nothing happens");
        }
        add(meanings, signs.failed(), coloured,
                "the last press did not work: press once more; if it fails again, tell the technician");
        add(meanings, signs.linkDown(), coloured,
                "the gear does not answer: is it switched on? Everything else works");
        add(meanings, signs.unknown(), coloured, "the gear has not said yet how it is: wait, or press");
        Map<String, String> legend = new LinkedHashMap<>();
        meanings.forEach((look, all) -> legend.put(capital(look), capital(String.join("; or ", all)) + "."));
        return legend;
    }

    private static void add(Map<String, List<String>> meanings, Look look, boolean coloured, String meaning) {
        meanings.computeIfAbsent(look(look, coloured), _ -> new ArrayList<>()).add(meaning);
    }

    private static String capital(String text) {
        return text.substring(0, 1).toUpperCase(Locale.ROOT) + text.substring(1);
    }

    /** Whether something on the panel makes gear move while it is held aside. */
    boolean movesGear() {
        return !site.panel().joysticks().isEmpty();
    }
}
