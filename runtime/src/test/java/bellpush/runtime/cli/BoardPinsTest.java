package bellpush.runtime.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.mockito.Mockito.mock;

import bellpush.runtime.cli.BoardPins.Reader;
import bellpush.runtime.panel.PanelException;
import bellpush.runtime.panel.PinBank;
import bellpush.runtime.panel.lines.HeaderChip;
import bellpush.runtime.panel.lines.HeaderChip.Lack;
import java.util.Optional;
import java.util.function.Supplier;
import org.junit.jupiter.api.Test;

class BoardPinsTest {
    private static final Supplier<Optional<String>> BOARD = () -> Optional.of("board that Pi4J knows");
    private static final Supplier<Optional<String>> NEVER = () -> {
        throw new AssertionError("Pi4J was loaded");
    };

    private final PinBank pi4j = mock(PinBank.class);

    private BoardPins lacking(Lack lack, Supplier<Optional<String>> board, Reader... wanted) {
        return new BoardPins(wanted.length == 0 ? Optional.empty() : Optional.of(wanted[0]),
                () -> new HeaderChip.Unusable(lack, "No: " + lack), board, () -> pi4j);
    }

    @Test
    void withoutChipsThisIsNoBoardAndPi4JStaysUnloaded() {
        assertThat(lacking(Lack.NO_CHIPS, NEVER).board()).isEmpty();
        assertThatThrownBy(() -> lacking(Lack.NO_CHIPS, NEVER).choose()).isInstanceOf(PanelException.class)
                .hasMessage("No: NO_CHIPS");
    }

    @Test
    void whereTheLinesLeaveItOpenPi4JIsAsked() {
        assertThat(lacking(Lack.NOT_CLEAR, BOARD).board()).contains("board that Pi4J knows");
        assertThat(lacking(Lack.NOT_CLEAR, Optional::empty).board()).isEmpty();
        assertThat(lacking(Lack.NOT_PERMITTED, BOARD).board()).contains("board that Pi4J knows");
    }

    @Test
    void pi4JIsTheFallbackOnABoardThatItKnows() {
        assertThat(lacking(Lack.TOO_OLD, BOARD).choose())
                .isEqualTo(new BoardPins.Chosen(pi4j, "the kernel's lines cannot be used here"));
        assertThat(lacking(Lack.NOT_CLEAR, BOARD).choose())
                .isEqualTo(new BoardPins.Chosen(pi4j, "none of the kernel's chips says that it is the header"));
        assertThatThrownBy(() -> lacking(Lack.NOT_CLEAR, Optional::empty).choose()).hasMessage("No: NOT_CLEAR");
    }

    @Test
    void whoMayNotUseThePinsIsToldSoRatherThanGivenPi4J() {
        assertThatThrownBy(() -> lacking(Lack.NOT_PERMITTED, BOARD).choose()).hasMessage("No: NOT_PERMITTED");
    }

    @Test
    void whatWasAskedForIsUsedOrRefused() {
        assertThat(lacking(Lack.NOT_PERMITTED, NEVER, Reader.PI4J).choose())
                .isEqualTo(new BoardPins.Chosen(pi4j, "asked for with --reader pi4j"));
        assertThatThrownBy(() -> lacking(Lack.TOO_OLD, BOARD, Reader.LINES).choose()).hasMessage("No: TOO_OLD");
    }
}
