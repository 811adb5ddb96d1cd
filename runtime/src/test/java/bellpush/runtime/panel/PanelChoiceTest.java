package bellpush.runtime.panel;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.PanelChoice.Kind;
import java.util.Optional;
import org.junit.jupiter.api.Test;

class PanelChoiceTest {
    @Test
    void whatWasAskedForComesFirstAndNobodyLooksForABoard() {
        assertThat(PanelChoice.of(Optional.of(Kind.NONE), () -> {
            throw new AssertionError("looked for a board");
        }, true)).isEqualTo(new PanelChoice(Kind.NONE, "asked for with --panel none"));
    }

    @Test
    void aBoardComesBeforeATerminalAndATerminalBeforeNothing() {
        assertThat(PanelChoice.of(Optional.empty(), () -> Optional.of("board of some make"), true))
                .isEqualTo(new PanelChoice(Kind.BOARD, "this is a board of some make"));
        assertThat(PanelChoice.of(Optional.empty(), Optional::empty, true).kind()).isEqualTo(Kind.SCREEN);
        assertThat(PanelChoice.of(Optional.empty(), Optional::empty, false).kind()).isEqualTo(Kind.NONE);
    }
}
