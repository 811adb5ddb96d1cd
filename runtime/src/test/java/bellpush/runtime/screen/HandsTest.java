package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Site;
import bellpush.runtime.screen.Keystroke.MouseDown;
import bellpush.runtime.screen.Keystroke.MouseUp;
import bellpush.runtime.screen.Keystroke.Name;
import bellpush.runtime.screen.Keystroke.Named;
import bellpush.runtime.screen.Keystroke.Typed;
import bellpush.runtime.screen.Keystroke.Wheel;
import bellpush.runtime.screen.Scene.Dialogue;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class HandsTest {
    private final Site site = MadeUpSite.full().site();
    private final List<String> told = new ArrayList<>();
    private List<Area> areas = PanelLayout.of(site.panel(), 8, 80, 24).areas();
    private final KeyPlan keys = new KeyPlan(site.panel(),
            PanelLayout.rows(site.panel()).stream().flatMap(List::stream).toList());
    private final Fingers fingers = new Fingers(site.panel().buttons(),
            (at, button, closed) -> told.add(button + (closed ? " down" : " up")));
    private final Hands hands = new Hands(keys, fingers, () -> areas, List.of("mixer", "desk"), new Hands.Wishes() {
        @Override
        public void turned(long at, String knob, int detents) {
            told.add(knob + " " + detents);
        }

        @Override
        public void toggled(long at, String control) {
            told.add(control + " toggled");
        }

        @Override
        public void leave() {
            told.add("leave");
        }

        @Override
        public void redraw() {
            told.add("redraw");
        }

        @Override
        public void trouble(String device, boolean touchOnly) {
            told.add(device + (touchOnly ? " touched" : " off or on"));
        }
    });

    private void type(String text) {
        text.codePoints().forEach(point -> hands.accept(0, new Typed(point)));
    }

    private void press(Name... names) {
        for (Name name : names) {
            hands.accept(0, new Named(name));
        }
    }

    private Area area(String name) {
        return areas.stream().filter(area -> area.name().equals(name)).findFirst().orElseThrow();
    }

    @Test
    void theKeyShownOnAButtonPressesIt() {
        type("a");
        fingers.tick(1_000_000_000L);
        assertThat(told).containsExactly("welcome down", "welcome up");
    }

    @Test
    void noButtonHasTheKeyThatLeaves() {
        assertThat(site.panel().buttons().keySet()).extracting(keys::keysOf).doesNotContain("q", "")
                .doesNotHaveDuplicates();
    }

    @Test
    void theCapitalHolds() {
        type("R");
        assertThat(fingers.touched()).containsEntry("stream", Scene.Touch.HELD);
    }

    @Test
    void theMousePressesWhereItGoesDownAndLetsGoAnywhere() {
        Area poem = area("poem");
        hands.accept(0, new MouseDown(poem.x() + 3, poem.y() + 1));
        assertThat(told).containsExactly("poem down");
        hands.accept(0, new MouseUp());
        assertThat(told).containsExactly("poem down", "poem up");
    }

    @Test
    void lampsAndGapsPressNothing() {
        hands.accept(0, new MouseDown(area("gear").x() + 3, area("gear").y() + 1));
        hands.accept(0, new MouseDown(area("welcome").x() + area("welcome").width(), 2));
        assertThat(told).isEmpty();
    }

    @Test
    void aKnobTurnsByWheelHalfAndKeys() {
        Area iris = area("iris");
        hands.accept(0, new Wheel(iris.x(), iris.y(), -1));
        hands.accept(0, new MouseDown(iris.x() + 1, iris.y() + 1));
        hands.accept(0, new MouseDown(iris.x() + iris.width() - 1, iris.y() + 1));
        type("[].,");
        assertThat(told).containsExactly("iris -1", "iris -1", "iris 1", "iris -1", "iris 1", "level 1", "level -1");
    }

    @Test
    void whatIsSelectedIsPressedHeldAndTurned() {
        press(Name.TAB, Name.TAB, Name.ENTER);
        assertThat(hands.selected()).isEqualTo("speaker");
        assertThat(told).containsExactly("speaker down");
        told.clear();
        press(Name.DOWN, Name.DOWN, Name.DOWN);
        assertThat(hands.selected()).isEqualTo("level");
        type("+-");
        assertThat(told).containsExactly("level 1", "level -1");
        press(Name.UP);
        type(" ");
        assertThat(fingers.touched()).containsEntry("blank", Scene.Touch.HELD);
    }

    @Test
    void leavingAsksFirst() {
        type("qn");
        assertThat(hands.dialogue()).isEqualTo(Dialogue.NONE);
        type("qa");
        assertThat(hands.dialogue()).isEqualTo(Dialogue.LEAVE);
        assertThat(told).isEmpty();
        type("y");
        assertThat(told).containsExactly("leave");
    }

    @Test
    void ctrlCLeavesAtOnceAndLetsGoFirst() {
        type("R");
        press(Name.INTERRUPT);
        assertThat(told).containsExactly("stream down", "stream up", "leave");
    }

    @Test
    void whileHelpIsOpenAKeyOnlyClosesIt() {
        type("?a");
        assertThat(hands.dialogue()).isEqualTo(Dialogue.NONE);
        assertThat(told).isEmpty();
    }

    @Test
    void escapeLetsGoOfEverything() {
        type("aR");
        press(Name.ESCAPE);
        assertThat(told).containsExactly("welcome down", "stream down", "welcome up", "stream up");
    }

    @Test
    void whatCannotBeSeenCannotBePressed() {
        areas = List.of();
        type("a[");
        press(Name.ENTER, Name.TAB);
        assertThat(told).isEmpty();
        type("qy");
        assertThat(told).containsExactly("leave");
    }

    @Test
    void theListOfTroubleTakesLettersUntilAnythingElseClosesIt() {
        type("!abBz");
        assertThat(hands.dialogue()).isEqualTo(Dialogue.TROUBLE);
        assertThat(told).containsExactly("mixer off or on", "desk off or on", "desk touched");
        press(Name.ESCAPE);
        assertThat(hands.dialogue()).isEqualTo(Dialogue.NONE);
    }
}
