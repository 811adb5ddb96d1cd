package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Button;
import bellpush.config.model.Source;
import bellpush.runtime.screen.Scene.Touch;
import java.time.Duration;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;

class FingersTest {
    private final List<String> told = new ArrayList<>();
    private final Fingers fingers = new Fingers(
            new MadeUpSite().button("poem", "POEM").holdButton("stream", "STREAM", Duration.ofMillis(1_500)).site()
                    .panel().buttons(),
            (at, button, closed) -> told.add(at / 1_000_000 + " " + button + (closed ? " down" : " up")));

    private static long ms(long ms) {
        return ms * 1_000_000;
    }

    @Test
    void aTapComesUpByItself() {
        fingers.tap(ms(0), "poem");
        fingers.tick(ms(149));
        assertThat(told).containsExactly("0 poem down");
        assertThat(fingers.due()).hasValue(ms(150));
        fingers.tick(ms(150));
        assertThat(told).containsExactly("0 poem down", "150 poem up");
        assertThat(fingers.due()).isEmpty();
    }

    @Test
    void twoTapsOfAButtonThatMayBePressedTwiceAreTwoPresses() {
        Map<String, Button> buttons = Map.of("poem",
                Button.named("poem", "POEM", Source.NONE).onPress("go").onTwice(Duration.ofMillis(300), "other"));
        Fingers quick = new Fingers(buttons,
                (at, button, closed) -> told.add(at / 1_000_000 + (closed ? " down" : " up")));
        quick.tap(ms(0), "poem");
        quick.tick(ms(60));
        quick.tap(ms(120), "poem");
        quick.tick(ms(180));
        assertThat(told).containsExactly("0 down", "60 up", "120 down", "180 up");
    }

    @Test
    void aKeyThatRepeatsKeepsItsButtonDown() {
        for (long at = 0; at <= 2_000; at += 40) {
            fingers.tick(ms(at));
            fingers.tap(ms(at), "poem");
        }
        fingers.tick(ms(2_149));
        assertThat(told).containsExactly("0 poem down");
        fingers.tick(ms(2_150));
        assertThat(told).endsWith("2150 poem up");
    }

    @Test
    void aHoldLastsLongerThanItsHoldTime() {
        fingers.hold(ms(0), "stream");
        assertThat(fingers.touched()).containsExactly(Map.entry("stream", Touch.HELD));
        fingers.tick(ms(1_799));
        assertThat(told).containsExactly("0 stream down");
        fingers.tick(ms(1_800));
        assertThat(told).endsWith("1800 stream up");
    }

    @Test
    void theLetterLetsGoOfAHoldEarly() {
        fingers.hold(ms(0), "stream");
        fingers.tap(ms(500), "stream");
        assertThat(told).containsExactly("0 stream down", "500 stream up");
    }

    @Test
    void theMouseHoldsUntilItComesUp() {
        fingers.mouseDown(ms(0), "stream");
        fingers.tick(ms(20_000));
        assertThat(told).containsExactly("0 stream down");
        fingers.mouseUp(ms(20_001));
        assertThat(told).endsWith("20001 stream up");
    }

    @Test
    void aMouseThatNeverComesUpIsTakenAsUpInTheEnd() {
        fingers.mouseDown(ms(0), "stream");
        fingers.tick(ms(31_500));
        assertThat(told).containsExactly("0 stream down", "31500 stream up");
    }

    @Test
    void aSecondMouseDownLetsGoOfTheFirst() {
        fingers.mouseDown(ms(0), "stream");
        fingers.mouseDown(ms(10), "poem");
        assertThat(told).containsExactly("0 stream down", "10 stream up", "10 poem down");
    }

    @Test
    void contactsCloseAndOpenInTurnWhateverIsDone() {
        Random random = new Random(7);
        long at = 0;
        for (int i = 0; i < 20_000; i++) {
            at += ms(random.nextInt(400));
            String button = random.nextBoolean() ? "poem" : "stream";
            fingers.tick(at);
            switch (random.nextInt(5)) {
                case 0 -> fingers.tap(at, button);
                case 1 -> fingers.hold(at, button);
                case 2 -> fingers.mouseDown(at, button);
                case 3 -> fingers.mouseUp(at);
                default -> fingers.letGoOfAll(at);
            }
        }
        fingers.letGoOfAll(at);
        Map<String, String> last = new HashMap<>();
        for (String event : told) {
            String[] words = event.split(" ");
            assertThat(words[2]).isNotEqualTo(last.put(words[1], words[2]));
        }
        assertThat(last).hasSize(2).allSatisfy((button, state) -> assertThat(state).isEqualTo("up"));
        assertThat(fingers.touched()).isEmpty();
    }
}
