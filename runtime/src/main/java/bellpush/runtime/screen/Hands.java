package bellpush.runtime.screen;

import bellpush.runtime.screen.Area.Role;
import bellpush.runtime.screen.Keystroke.MouseDown;
import bellpush.runtime.screen.Keystroke.MouseUp;
import bellpush.runtime.screen.Keystroke.Name;
import bellpush.runtime.screen.Keystroke.Named;
import bellpush.runtime.screen.Keystroke.Typed;
import bellpush.runtime.screen.Keystroke.Wheel;
import bellpush.runtime.screen.Scene.Dialogue;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;

/** What keystrokes do to the panel. Owned by the thread that reads keys; times are monotonic nanoseconds. */
final class Hands {
    /** Where the wishes go. */
    interface Wishes {
        void turned(long at, String knob, int detents);

        void toggled(long at, String control);

        void leave();

        void redraw();

        /** Switches a device off or on again, or changes something at it. */
        void trouble(String device, boolean touchOnly);
    }

    private final KeyPlan keys;
    private final Fingers fingers;
    /** What is on the screen now. */
    private final Supplier<List<Area>> areas;
    private final Wishes wishes;
    /** What trouble can be made for, in the order of the list; empty for nothing. */
    private final List<String> gear;
    private Dialogue dialogue = Dialogue.NONE;
    private String selected = "";

    Hands(KeyPlan keys, Fingers fingers, Supplier<List<Area>> areas, List<String> gear, Wishes wishes) {
        this.keys = keys;
        this.fingers = fingers;
        this.areas = areas;
        this.gear = gear;
        this.wishes = wishes;
    }

    Dialogue dialogue() {
        return dialogue;
    }

    String selected() {
        return selected;
    }

    void accept(long at, Keystroke keystroke) {
        if (keystroke instanceof Named(Name name) && name == Name.INTERRUPT) {
            fingers.letGoOfAll(at);
            wishes.leave();
        } else if (keystroke instanceof Named(Name name) && name == Name.REDRAW) {
            wishes.redraw();
        } else if (keystroke instanceof MouseUp) {
            fingers.mouseUp(at);
        } else {
            switch (dialogue) {
                case NONE -> onPanel(at, keystroke);
                case HELP -> dialogue = keystroke instanceof Wheel ? Dialogue.HELP : Dialogue.NONE;
                case LEAVE -> onQuestion(at, keystroke);
                case TROUBLE -> onTrouble(keystroke);
            }
        }
    }

    private void onQuestion(long at, Keystroke keystroke) {
        switch (keystroke) {
            case Typed(int point) when point == 'y' || point == 'Y' -> {
                dialogue = Dialogue.NONE;
                fingers.letGoOfAll(at);
                wishes.leave();
            }
            case Typed(int point) when point == 'n' || point == 'N' -> dialogue = Dialogue.NONE;
            case Named(Name name) when name == Name.ESCAPE -> dialogue = Dialogue.NONE;
            default -> {
            }
        }
    }

    /** The list stays open for its letters, so that several devices can fail together. Anything else closes it. */
    private void onTrouble(Keystroke keystroke) {
        if (keystroke instanceof Typed(int point) && Character.isLetter(point)) {
            int place = TroublePage.KEYS.indexOf(Character.toLowerCase(point));
            if (place >= 0 && place < gear.size() && !areas.get().isEmpty()) {
                wishes.trouble(gear.get(place), Character.isUpperCase(point));
            }
        } else if (!(keystroke instanceof Wheel)) {
            dialogue = Dialogue.NONE;
        }
    }

    private void onPanel(long at, Keystroke keystroke) {
        boolean leaving = keystroke instanceof Typed(int point) && (point == 'q' || point == 'Q');
        if (areas.get().isEmpty() && !leaving) {
            // The window is too small to show the panel, and nobody shall press what they cannot see.
            return;
        }
        switch (keystroke) {
            case Typed(int point) -> typed(at, point);
            case Named(Name name) -> named(at, name);
            case MouseDown(int x, int y) -> mouseDown(at, x, y);
            case Wheel(int x, int y, int detents) -> at(x, y).filter(area -> area.role() == Role.KNOB)
                    .ifPresent(knob -> wishes.turned(at, knob.name(), detents));
            case MouseUp() -> {
            }
        }
    }

    private void typed(long at, int point) {
        switch (point) {
            case 'q', 'Q' -> dialogue = Dialogue.LEAVE;
            case '?' -> dialogue = Dialogue.HELP;
            case '!' -> {
                if (!gear.isEmpty()) {
                    dialogue = Dialogue.TROUBLE;
                }
            }
            case ' ' -> {
                selectedArea(Role.BUTTON).ifPresent(area -> fingers.hold(at, area.name()));
                selectedArea(Role.SWITCH).ifPresent(area -> wishes.toggled(at, area.name()));
                selectedArea(Role.KNOB).ifPresent(area -> fingers.hold(at, area.name() + ".push"));
            }
            case '+', '=' -> selectedArea(Role.KNOB).ifPresent(area -> wishes.turned(at, area.name(), 1));
            case '-' -> selectedArea(Role.KNOB).ifPresent(area -> wishes.turned(at, area.name(), -1));
            default -> {
                keys.pressedBy(point).ifPresent(name -> press(at, name));
                keys.heldBy(point).filter(fingers::has).ifPresent(button -> fingers.hold(at, button));
                keys.turnedBy(point).ifPresent(turn -> wishes.turned(at, turn.knob(), turn.detents()));
            }
        }
    }

    private void press(long at, String name) {
        if (fingers.has(name)) {
            fingers.tap(at, name);
        } else {
            wishes.toggled(at, name);
        }
    }

    private void named(long at, Name name) {
        switch (name) {
            case TAB, RIGHT -> step(1);
            case BACK_TAB, LEFT -> step(-1);
            case UP -> stepOver(-1);
            case DOWN -> stepOver(1);
            case ENTER -> {
                selectedArea(Role.BUTTON).ifPresent(area -> fingers.tap(at, area.name()));
                selectedArea(Role.SWITCH).ifPresent(area -> wishes.toggled(at, area.name()));
                selectedArea(Role.KNOB).ifPresent(area -> fingers.tap(at, area.name() + ".push"));
            }
            case ESCAPE -> {
                fingers.letGoOfAll(at);
                selected = "";
            }
            case REDRAW, INTERRUPT -> {
            }
        }
    }

    private void mouseDown(long at, int x, int y) {
        at(x, y).ifPresent(area -> {
            switch (area.role()) {
                case BUTTON -> fingers.mouseDown(at, area.name());
                case SWITCH -> wishes.toggled(at, area.name());
                case KNOB -> wishes.turned(at, area.name(), area.rightHalf(x) ? 1 : -1);
                case LAMP -> {
                }
            }
        });
    }

    private Optional<Area> at(int x, int y) {
        return areas.get().stream().filter(area -> area.contains(x, y)).findFirst();
    }

    private Optional<Area> selectedArea(Role role) {
        return areas.get().stream().filter(area -> area.name().equals(selected) && area.role() == role).findFirst();
    }

    private void step(int by) {
        List<String> names = areas.get().stream().filter(Area::canBeSelected).map(Area::name).toList();
        if (!names.isEmpty()) {
            int now = names.indexOf(selected);
            int next = now < 0 ? (by > 0 ? 0 : names.size() - 1) : Math.floorMod(now + by, names.size());
            selected = names.get(next);
        }
    }

    /** To the row above or below, as straight as it goes. */
    private void stepOver(int by) {
        Optional<Area> from = areas.get().stream().filter(area -> area.name().equals(selected)).findFirst();
        if (from.isEmpty()) {
            step(by);
            return;
        }
        areas.get().stream().filter(Area::canBeSelected).filter(area -> (area.y() - from.get().y()) * by > 0)
                .min(Comparator.comparingInt((Area area) -> Math.abs(area.y() - from.get().y()))
                        .thenComparingInt(area -> Math.abs(area.x() - from.get().x())))
                .ifPresent(area -> selected = area.name());
    }
}
