package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;

import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class PlainTextTest {
    @Test
    void nothingThatCommandsATerminalIsLeft() {
        assertThat(PlainText.of("a\u001b[2Jb\u0007\u009b31mc\r\nd\u007f")).isEqualTo("a [2Jb  31mc  d ");
    }

    @Test
    void nothingThatTurnsWritingRoundOrPilesUpIsLeft() {
        assertThat(PlainText.of("a\u202eb\u2066c\u200bd\u0301\u0302\ud800")).isEqualTo("abcd\u0301\u0302?"
                .replace("d\u0301\u0302", "d"));
    }

    @Test
    void anAccentThatHasItsOwnLetterStays() {
        assertThat(PlainText.of("cafe\u0301")).isEqualTo("café");
    }

    @Test
    void wideCharactersTakeTwoColumns() {
        // East Asian Width W: Unicode Standard Annex 11.
        assertThat(PlainText.columns("漢字ab")).isEqualTo(6);
        assertThat(PlainText.columns("🎤")).isEqualTo(2);
    }

    @Test
    void cuttingCountsColumnsAndNotLetters() {
        assertThat(PlainText.cut("漢字漢字", 5, "…")).isEqualTo("漢字…");
        assertThat(PlainText.cut("漢字漢字", 4, "…")).isEqualTo("漢…");
        assertThat(PlainText.cut("WELCOME", 7, "…")).isEqualTo("WELCOME");
        assertThat(PlainText.cut("WELCOME", 0, "…")).isEmpty();
    }

    @Test
    void asciiKeepsWhatCanBeRead() {
        assertThat(PlainText.ascii("café “ok” – 漢")).isEqualTo("cafe \"ok\" - ?");
    }

    @Test
    void linesBreakBetweenWords() {
        assertThat(PlainText.wrapped("tea and a very-long-word here", 8, "…")).containsExactly("tea and", "a",
                "very-lo…", "here");
    }

    @Property
    void whateverComesIsSafeAndMeasured(@ForAll String any, @ForAll @IntRange(max = 40) int columns) {
        String plain = PlainText.of(any);
        assertThat(plain.codePoints()).allMatch(point -> !Character.isISOControl(point)
                && Character.getType(point) != Character.FORMAT && Character.getType(point) != Character.SURROGATE);
        assertThat(PlainText.columns(PlainText.cut(plain, columns, "…"))).isLessThanOrEqualTo(columns);
        assertThat(PlainText.ascii(plain).chars()).allMatch(c -> c >= ' ' && c < 127);
    }
}
