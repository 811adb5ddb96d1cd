package bellpush.config.problem;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class DidYouMeanTest {
    private static final List<String> NAMES = List.of("stage-camera", "key.onAir", "key.fill", "poem", "go-live");

    @ParameterizedTest
    @CsvSource({"stageCamera, stage-camera", "STAGE_CAMERA, stage-camera", "stage-camrea, stage-camera",
        "key.onair, key.onAir",
        "keyFill, key.fill", "peom, poem", "pome, poem", "poems, poem", "golive, go-live"})
    void aCloseNameIsFound(String written, String meant) {
        assertThat(DidYouMean.closest(written, NAMES)).contains(meant);
    }

    @ParameterizedTest
    @CsvSource({"projector", "x", "lights"})
    void aFarNameIsNotGuessed(String written) {
        assertThat(DidYouMean.closest(written, NAMES)).isEmpty();
    }

    /** Optimal string alignment: the example CA, ABC is 3 (and 2 where letters between swapped ones may change). Common practice, no source. */
    @Test
    void swappedNeighboursCountOnce() {
        assertThat(DidYouMean.distance("ab", "ba")).isEqualTo(1);
        assertThat(DidYouMean.distance("ca", "abc")).isEqualTo(3);
        assertThat(DidYouMean.distance("kitten", "sitting")).isEqualTo(3);
        assertThat(DidYouMean.distance("", "abc")).isEqualTo(3);
    }

    @Test
    void withoutACloseNameAllAreListed() {
        assertThat(DidYouMean.cure("projector", NAMES, "Add it."))
                .isEqualTo("Known here: stage-camera, key.onAir, key.fill, poem, go-live.");
        assertThat(DidYouMean.cure("projector", List.of(), "Add it.")).isEqualTo("Add it.");
    }
}
