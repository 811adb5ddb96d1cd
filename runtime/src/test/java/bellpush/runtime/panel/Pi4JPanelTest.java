package bellpush.runtime.panel;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.Panel;
import bellpush.runtime.show.TinySite;
import com.pi4j.Pi4J;
import com.pi4j.context.Context;
import com.pi4j.io.gpio.digital.DigitalInputConfig;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.gpio.digital.PullResistance;
import com.pi4j.plugin.mock.provider.gpio.digital.MockDigitalInput;
import com.pi4j.plugin.mock.provider.gpio.digital.MockDigitalInputProvider;
import com.pi4j.plugin.mock.provider.gpio.digital.MockDigitalOutputProvider;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/**
 * On Pi4J's mock provider, which ignores pull and debounce and calls listeners on the caller's thread: these tests show what
 * is asked of Pi4J and what is made of its answers, not how real pins behave.
 */
class Pi4JPanelTest {
    private final Panel layout = TinySite.with("none", Duration.ZERO).panel();
    private final Context pi4j = Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook()
            .add(MockDigitalInputProvider.newInstance(), MockDigitalOutputProvider.newInstance()).build();
    private final Pi4JPanel panel = new Pi4JPanel(layout, pi4j, "mock board");
    private final Told told = new Told();

    @AfterEach
    void close() {
        panel.close();
    }

    private MockDigitalInput contact(String name) {
        return pi4j.io("contact-" + name);
    }

    private DigitalOutput lamp() {
        return pi4j.io("lamp-lights");
    }

    @Test
    void anEdgeIsToldAtOnceWithTheTimeItHappened() {
        panel.open(told);
        contact("lights").mockState(DigitalState.HIGH);
        told.lines.clear();
        long before = System.nanoTime();
        contact("lights").mockState(DigitalState.LOW);
        contact("lights").mockState(DigitalState.HIGH);
        assertThat(told.lines).containsExactly("contact lights closed", "contact lights open");
        assertThat(told.times.getLast()).isBetween(before, System.nanoTime());
    }

    @Test
    void aContactThatIsClosedAtTheStartIsFoundNotPressed() {
        panel.open(told); // the mock's pins are low, which closes a contact to ground
        assertThat(told.lines).containsExactlyInAnyOrder("found lights closed", "found house.a closed",
                "found house.b closed");
    }

    @Test
    void pinsAreAskedForWithoutDebounceAndWithThePullOfTheirWiring() {
        panel.open(told);
        DigitalInputConfig config = contact("lights").config();
        assertThat(config.debounce()).isZero();
        assertThat(config.pull()).isEqualTo(PullResistance.PULL_UP);
        assertThat(config.address()).isEqualTo(5);
        assertThat(contact("house.a").config().address()).isEqualTo(17);
        assertThat(contact("house.b").config().address()).isEqualTo(27);
    }

    @Test
    void aLampIsLitFromHalfBrightnessAndDarkAfterClosing() {
        panel.open(told);
        DigitalOutput pin = lamp();
        assertThat(pin.isLow()).isTrue();
        panel.light("lights", 0.5, Optional.of("red"));
        assertThat(pin.isHigh()).isTrue();
        panel.light("lights", 0.49, Optional.empty());
        assertThat(pin.isLow()).isTrue();
        panel.light("no such lamp", 1, Optional.empty());
        panel.light("lights", 1, Optional.empty());
        panel.close();
        assertThat(pin.isLow()).isTrue();
        assertThat(pi4j.isShutdown()).isTrue();
    }

    @Test
    void whenThePinsCannotBeUsedTheCureIsNamed() {
        Context bare = Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook().build();
        Pi4JPanel unusable = new Pi4JPanel(layout, bare, "mock board");
        assertThatThrownBy(() -> unusable.open(told)).isInstanceOf(PanelException.class)
                .hasMessageStartingWith("The pins of this mock board cannot be used (")
                .hasMessageContaining("usermod -aG gpio");
        unusable.close();
    }

    /** What a panel has told, as lines. */
    static final class Told implements PanelListener {
        final List<String> lines = new CopyOnWriteArrayList<>();
        final List<Long> times = new CopyOnWriteArrayList<>();

        @Override
        public void contact(long atNanos, String contact, boolean closed) {
            times.add(atNanos);
            lines.add("contact " + contact + (closed ? " closed" : " open"));
        }

        @Override
        public void found(long atNanos, String contact, boolean closed) {
            lines.add("found " + contact + (closed ? " closed" : " open"));
        }

        @Override
        public void turned(long atNanos, String knob, int detents) {
            lines.add("turned " + knob + " " + detents);
        }

        @Override
        public void noted(String text) {
            lines.add("noted " + text);
        }
    }
}
