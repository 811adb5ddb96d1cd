package bellpush.runtime.show;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Look;
import bellpush.config.model.Look.Pattern;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.concurrent.CopyOnWriteArrayList;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;

class LampsTest {
    private final RecordingPanel panel = new RecordingPanel();
    private final List<String> noted = new CopyOnWriteArrayList<>();
    private final Lamps lamps = new Lamps(panel, Set.of("poem", "song"), noted::add);

    @AfterEach
    void close() {
        lamps.close();
    }

    @Test
    void aLookReachesThePanelOnceAndItsMeaningToo() {
        lamps.start();
        lamps.show("poem", new Look(Pattern.STEADY, 0.8, Optional.of("red")));
        Eventually.that("the lamp is lit",
                () -> panel.meanings.getOrDefault("poem", Look.OFF).pattern() == Pattern.STEADY);
        lamps.show("poem", new Look(Pattern.STEADY, 0.8, Optional.of("red")));
        lamps.show("song", Look.of(Pattern.STEADY));
        Eventually.that("the other lamp is lit", () -> panel.levels.containsKey("song"));
        assertThat(panel.calls).containsExactly("poem 0.8 red", "song 1.0");
    }

    @Test
    void manyLooksAreNeverQueuedAndTheLastOneWins() {
        for (int i = 1; i <= 100_000; i++) {
            lamps.show("poem", new Look(Pattern.STEADY, i / 100_000.0, Optional.empty()));
        }
        lamps.start();
        Eventually.that("the lamp is lit", () -> panel.levels.containsKey("poem"));
        assertThat(panel.calls).containsExactly("poem 1.0");
    }

    @Test
    void aFlashingLampGoesOnAndOffByItself() {
        lamps.start();
        lamps.show("poem", Look.of(Pattern.FAST));
        Eventually.that("it has flashed twice", () -> panel.calls.size() >= 4);
        assertThat(panel.calls.subList(0, 4)).containsExactly("poem 1.0", "poem 0.0", "poem 1.0", "poem 0.0");
    }

    @Test
    void aPanelThatFailsIsSaidOnceAndTriedAgain() {
        panel.broken = true;
        lamps.start();
        lamps.show("poem", Look.of(Pattern.STEADY));
        Eventually.that("it was said", () -> !noted.isEmpty());
        panel.broken = false;
        Eventually.that("the lamp is lit after all", () -> panel.levels.containsKey("poem"));
        assertThat(noted.getFirst())
                .isEqualTo("The lamp \"poem\" could not be set: IllegalStateException: the expander does not answer");
        assertThat(noted).hasSizeLessThan(10);
    }

    @Test
    void closingPutsEveryLampOut() {
        lamps.start();
        lamps.show("poem", Look.of(Pattern.STEADY));
        Eventually.that("the lamp is lit", () -> panel.levels.containsKey("poem"));
        lamps.close();
        assertThat(panel.levels).containsEntry("poem", 0.0);
    }

    @Test
    void atTheStartEveryLampIsSeenInEachColourAndThenShowsWhatItShould() {
        panel.lampTest = true;
        lamps.show("poem", Look.of(Pattern.STEADY));
        lamps.start();
        Eventually.that("the test is over", () -> panel.calls.contains("song 0.0"));
        assertThat(panel.calls).containsExactlyInAnyOrder("poem 1.0 red", "song 1.0 red", "poem 1.0 green",
                "song 1.0 green", "poem 1.0 blue", "song 1.0 blue", "poem 1.0", "song 0.0");
    }

    @Test
    void whatCannotBeWrittenOutIsToldAgain() {
        panel.brokenBus = true;
        lamps.start();
        lamps.show("poem", Look.of(Pattern.STEADY));
        Eventually.that("it was said", () -> !noted.isEmpty());
        assertThat(noted.getFirst())
                .isEqualTo("The lamps could not be set: IllegalStateException: the bus does not answer");
        panel.brokenBus = false;
        Eventually.that("it was written out", () -> panel.shown.getOrDefault("poem", 0.0) == 1);
    }

    @Test
    void aNameThatIsNoLampIsIgnored() {
        lamps.show("nothing", Look.of(Pattern.STEADY));
        lamps.start();
        lamps.show("poem", Look.of(Pattern.STEADY));
        Eventually.that("the lamp is lit", () -> panel.levels.containsKey("poem"));
        assertThat(panel.calls).containsExactly("poem 1.0");
    }
}
