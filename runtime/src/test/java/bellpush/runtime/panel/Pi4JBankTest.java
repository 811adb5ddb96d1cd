package bellpush.runtime.panel;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.PinBank.Pull;
import com.pi4j.Pi4J;
import com.pi4j.context.Context;
import com.pi4j.io.gpio.digital.DigitalInputConfig;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalState;
import com.pi4j.io.gpio.digital.PullResistance;
import com.pi4j.plugin.mock.provider.gpio.digital.MockDigitalInput;
import com.pi4j.plugin.mock.provider.gpio.digital.MockDigitalInputProvider;
import com.pi4j.plugin.mock.provider.gpio.digital.MockDigitalOutputProvider;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

/**
 * On Pi4J's mock provider, which ignores pull and debounce and calls listeners on the caller's thread: these tests show what
 * is asked of Pi4J and what is made of its answers, not how real pins behave.
 */
class Pi4JBankTest {
    private static final List<In> INPUTS = List.of(new In(5, Pull.UP, true), new In(17, Pull.DOWN, false),
            new In(27, Pull.NONE, false));
    private static final List<Out> OUTPUTS = List.of(new Out(6, false), new Out(7, true));

    private final Context pi4j = Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook()
            .add(MockDigitalInputProvider.newInstance(), MockDigitalOutputProvider.newInstance()).build();
    private final Pi4JBank bank = new Pi4JBank(pi4j, "mock board");
    private final PinsTold told = new PinsTold();

    @AfterEach
    void close() {
        bank.close();
    }

    private MockDigitalInput input(int pin) {
        return pi4j.io("in-" + pin);
    }

    private DigitalOutput output(int pin) {
        return pi4j.io("out-" + pin);
    }

    @Test
    void anEdgeIsToldAtOnceWithTheTimeItHappened() {
        bank.open(INPUTS, OUTPUTS, told);
        input(5).mockState(DigitalState.HIGH);
        told.clear();
        long before = System.nanoTime();
        input(5).mockState(DigitalState.LOW);
        input(5).mockState(DigitalState.HIGH);
        assertThat(told.lines()).containsExactly("edge 5 active", "edge 5 inactive");
        assertThat(told.times().getLast()).isBetween(before, System.nanoTime());
    }

    @Test
    void everyInputIsFoundAsItStands() {
        bank.open(INPUTS, OUTPUTS, told); // the mock's pins are low
        assertThat(told.lines()).containsExactlyInAnyOrder("found 5 active", "found 17 inactive", "found 27 inactive");
        assertThat(bank.read()).containsExactly(Map.entry(5, true), Map.entry(17, false), Map.entry(27, false));
    }

    @Test
    void pinsAreAskedForWithoutDebounceAndWithThePullOfTheirWiring() {
        bank.open(INPUTS, OUTPUTS, told);
        DigitalInputConfig config = input(5).config();
        assertThat(config.debounce()).isZero();
        assertThat(config.pull()).isEqualTo(PullResistance.PULL_UP);
        assertThat(config.address()).isEqualTo(5);
        assertThat(input(17).config().pull()).isEqualTo(PullResistance.PULL_DOWN);
        assertThat(input(27).config().pull()).isEqualTo(PullResistance.OFF);
        assertThat(input(27).config().address()).isEqualTo(27);
    }

    @Test
    void outputsStartInactiveFollowWhatIsWrittenAndEndInactive() {
        bank.open(INPUTS, OUTPUTS, told);
        DigitalOutput high = output(6);
        DigitalOutput low = output(7);
        assertThat(high.isLow()).isTrue();
        assertThat(low.isHigh()).isTrue();
        bank.write(Map.of(6, true, 7, true, 8, true));
        assertThat(high.isHigh()).isTrue();
        assertThat(low.isLow()).isTrue();
        bank.write(Map.of(6, false));
        assertThat(high.isLow()).isTrue();
        assertThat(low.isLow()).isTrue();
        bank.close();
        assertThat(low.isHigh()).isTrue();
        assertThat(pi4j.isShutdown()).isTrue();
    }

    @Test
    void whenThePinsCannotBeUsedTheCureIsNamed() {
        Context bare = Pi4J.newContextBuilder().noAutoDetect().disableShutdownHook().build();
        Pi4JBank unusable = new Pi4JBank(bare, "mock board");
        assertThatThrownBy(() -> unusable.open(INPUTS, OUTPUTS, told)).isInstanceOf(PanelException.class)
                .hasMessageStartingWith("The pins of this mock board cannot be used (")
                .hasMessageContaining("usermod -aG gpio");
        unusable.close();
    }
}
