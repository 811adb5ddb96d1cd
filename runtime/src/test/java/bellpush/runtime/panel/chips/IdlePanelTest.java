package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.kit.SmallSite;
import bellpush.runtime.panel.Told;
import bellpush.runtime.panel.board.BoardPanel;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;

/** What a panel that nobody touches does. What that costs on a computer is measured by {@link IdleCost}. */
class IdlePanelTest {
    private static final int SECONDS = 600;

    private final World world = new World();
    private final IdlePanel idle = new IdlePanel(world, world, world);
    private final Told told = new Told();
    private final ChipsThread chips = new ChipsThread("chips", world, message -> {
        throw new AssertionError(message);
    });

    private int run(int seconds) {
        return world.run(chips, world.nanos() + seconds * 1_000_000_000L);
    }

    @Test
    void twoChipsAreLookedAtEveryTwoSecondsAndNothingElseIsDone() {
        BoardPanel panel = new BoardPanel(SmallSite.with(IdlePanel.JSON).panel(), idle.header, idle.buses,
                Path.of("/nothing"), world, new ByHand(chips), new ByHand(chips));
        panel.open(told);
        run(10);
        assertThat(told.lines).hasSize(IdlePanel.BUTTONS + 2 * IdlePanel.KNOBS).allMatch(line -> line.endsWith("open"));
        idle.keys.transfers.clear();
        idle.knobs.transfers.clear();
        int woke = run(SECONDS);
        for (FakeExpander chip : new FakeExpander[]{idle.keys, idle.knobs}) {
            // Each look is one transfer, of two parts: where to read, and what was read.
            assertThat(chip.transfers).hasSizeBetween(SECONDS - 4, SECONDS + 4)
                    .allMatch(part -> part.equals("w 0a") || part.startsWith("r "));
        }
        assertThat(woke).as("wake-ups of the thread in %d s", SECONDS).isLessThanOrEqualTo(SECONDS + 4);

        idle.knobs.drive(0, false); // and it was not deaf
        idle.keys.drive(1, false);
        run(1);
        assertThat(told.lines).contains("contact knob-1.a closed", "contact song-10 closed", "contact song-22 closed");
    }
}
