package bellpush.runtime.panel.board;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Panel;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.PinBank.Pull;
import bellpush.runtime.panel.PinListener;
import bellpush.runtime.panel.Told;
import bellpush.runtime.show.TinySite;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;

/** Which contact and which lamp is which pin, on a bank that keeps what it is asked for. */
class BoardPanelTest {
    private final Panel layout = TinySite.with("none", Duration.ZERO).panel();
    private final Bank header = new Bank();
    private final BoardPanel panel = BoardPanel.on(layout, header);
    private final Told told = new Told();

    @Test
    void contactsToGroundArePulledUpAndLampsAreOutputs() {
        panel.open(told);
        assertThat(header.inputs).containsExactlyInAnyOrder(new In(5, Pull.UP, true), new In(17, Pull.UP, true),
                new In(27, Pull.UP, true));
        assertThat(header.outputs).containsExactly(new Out(6, false));
    }

    @Test
    void aPinIsToldAsTheContactThatIsWiredToIt() {
        panel.open(told);
        header.listener.found(1, 5, true);
        header.listener.found(1, 17, false);
        header.listener.edge(2, 5, false);
        header.listener.edge(3, 27, true);
        assertThat(told.lines).containsExactly("found lights closed", "found house.a open", "contact lights open",
                "contact house.b closed");
        assertThat(told.times).containsExactly(2L, 3L);
    }

    @Test
    void aLampThatCannotBeDimmedIsLitHoweverDimItIsMeantToBe() {
        panel.open(told);
        panel.light("lights", 0.1, Optional.of("red"));
        panel.light("no such lamp", 1, Optional.empty());
        panel.show();
        panel.show();
        panel.light("lights", 0, Optional.empty());
        panel.show();
        assertThat(header.written).containsExactly(Map.of(6, true), Map.of(6, false));
    }

    @Test
    void aBankThatIsLostAndBackIsNoted() {
        panel.open(told);
        header.listener.lost("The chip is gone.");
        header.listener.back();
        header.listener.noted("Four edges were lost.");
        assertThat(told.lines).containsExactly("noted The chip is gone.", "noted Back in use: a test's bank.",
                "noted Four edges were lost.");
        panel.close();
        assertThat(header.closed).isTrue();
    }

    @Test
    void itSaysWhatItIs() {
        assertThat(panel.describe()).isEqualTo("3 contacts and 1 lamp on a test's bank");
    }

    private static final class Bank implements PinBank {
        private List<In> inputs;
        private List<Out> outputs;
        private PinListener listener;
        private final List<Map<Integer, Boolean>> written = new ArrayList<>();
        private boolean closed;

        @Override
        public String describe() {
            return "a test's bank";
        }

        @Override
        public void open(List<In> ins, List<Out> outs, PinListener to) {
            inputs = ins;
            outputs = outs;
            listener = to;
        }

        @Override
        public void write(Map<Integer, Boolean> levels) {
            written.add(levels);
        }

        @Override
        public Map<Integer, Boolean> read() {
            return Map.of();
        }

        @Override
        public void close() {
            closed = true;
        }
    }
}
