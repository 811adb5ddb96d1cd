package bellpush.runtime.screen;

import static java.nio.charset.StandardCharsets.ISO_8859_1;
import static java.nio.charset.StandardCharsets.UTF_8;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.screen.Keystroke.MouseDown;
import bellpush.runtime.screen.Keystroke.MouseUp;
import bellpush.runtime.screen.Keystroke.Name;
import bellpush.runtime.screen.Keystroke.Named;
import bellpush.runtime.screen.Keystroke.Typed;
import bellpush.runtime.screen.Keystroke.Wheel;
import java.util.ArrayList;
import java.util.List;
import java.util.Random;
import org.junit.jupiter.api.Test;

class KeyDecoderTest {
    private final List<Keystroke> strokes = new ArrayList<>();
    private final KeyDecoder decoder = new KeyDecoder(strokes::add);

    private List<Keystroke> after(String bytes) {
        return after(bytes.getBytes(ISO_8859_1));
    }

    private List<Keystroke> after(byte[] bytes) {
        strokes.clear();
        for (byte octet : bytes) {
            decoder.accept(octet);
        }
        return List.copyOf(strokes);
    }

    @Test
    void lettersComeAsTheyAre() {
        assertThat(after("aZ?")).containsExactly(new Typed('a'), new Typed('Z'), new Typed('?'));
        assertThat(after("é漢🎤".getBytes(UTF_8))).containsExactly(new Typed('é'), new Typed('漢'),
                new Typed("🎤".codePointAt(0)));
    }

    @Test
    void cursorKeysComeInBothModes() {
        // XTerm Control Sequences, "PC-Style Function Keys": normal CSI A, application SS3 A, with modifiers CSI 1 ; 5 A.
        assertThat(after("\u001b[A\u001bOB\u001b[1;5C\u001b[D\u001b[Z")).containsExactly(new Named(Name.UP),
                new Named(Name.DOWN), new Named(Name.RIGHT), new Named(Name.LEFT), new Named(Name.BACK_TAB));
    }

    @Test
    void mouseReportsCountFromOne() {
        // XTerm Control Sequences, "Extended coordinates", SGR (1006): CSI < button ; x ; y M, and m for release.
        assertThat(after("\u001b[<0;10;3M\u001b[<0;10;3m")).containsExactly(new MouseDown(9, 2), new MouseUp());
        assertThat(after("\u001b[<64;1;1M\u001b[<65;300;2M")).containsExactly(new Wheel(0, 0, 1),
                new Wheel(299, 1, -1));
    }

    @Test
    void otherMouseButtonsAndMotionPressNothing() {
        assertThat(after("\u001b[<2;10;3M\u001b[<1;10;3M\u001b[<32;10;3M\u001b[<35;1;1M")).isEmpty();
    }

    @Test
    void oldMouseReportsAreThreeBytes() {
        // The same document, "Normal tracking mode": CSI M, then button + 32, x + 32, y + 32; button 3 is release.
        assertThat(after("\u001b[M +#\u001b[M#+#")).containsExactly(new MouseDown(10, 2), new MouseUp());
    }

    @Test
    void brokenMouseReportsAreDropped() {
        assertThat(after("\u001b[<0;0;3M\u001b[<0;1M\u001b[<;;M\u001b[<0;99999999;1M\u001b[<0;1;1;1M\u001b[<-1;1;1M"))
                .isEmpty();
    }

    @Test
    void whatIsPastedPressesNothing() {
        assertThat(after("\u001b[200~abc q y \r\u0003\u001b[201~x")).containsExactly(new Typed('x'));
    }

    @Test
    void aPasteThatNeverEndsEndsWithAPause() {
        after("\u001b[200~abc");
        decoder.pause();
        assertThat(after("x")).containsExactly(new Typed('x'));
    }

    @Test
    void aLoneEscapeByteIsTheKeyOnceNothingFollows() {
        assertThat(after("\u001b")).isEmpty();
        assertThat(decoder.unfinished()).isTrue();
        decoder.pause();
        assertThat(strokes).containsExactly(new Named(Name.ESCAPE));
        assertThat(decoder.unfinished()).isFalse();
    }

    @Test
    void altAndALetterDoesNotPressTheLettersButton() {
        assertThat(after("\u001ba")).isEmpty();
    }

    @Test
    void answersOfTheTerminalAreSwallowed() {
        assertThat(after("\u001b]11;rgb:0000/0000/0000\u0007a\u001bP1+r544e\u001b\\b\u001b[?62;4cc\u001b[24;80Rd"))
                .containsExactly(new Typed('a'), new Typed('b'), new Typed('c'), new Typed('d'));
    }

    @Test
    void ctrlCGetsThroughEverythingUnfinished() {
        for (String unfinished : List.of("", "\u001b", "\u001b[", "\u001b[1;2", "\u001bO", "\u001b]0;title",
                "\u001b[M", "\u00e2\u0096")) {
            decoder.pause();
            assertThat(after(unfinished + "\u0003")).as(unfinished).contains(new Named(Name.INTERRUPT));
        }
    }

    @Test
    void noBytesBreakItOrMakeItDeaf() {
        // Half of the bytes are those that sequences are made of, so that deep states are reached.
        byte[] likely = "\u001b[<;MmO~0123456789]P\\\u0007?200201".getBytes(ISO_8859_1);
        for (long seed = 0; seed < 10; seed++) {
            Random random = new Random(seed);
            for (int i = 0; i < 100_000; i++) {
                int octet = random.nextBoolean() ? random.nextInt(256) : likely[random.nextInt(likely.length)];
                decoder.accept(octet);
                if (random.nextInt(1_000) == 0) {
                    decoder.pause();
                    assertThat(decoder.unfinished()).isFalse();
                    assertThat(after("a")).as("seed %d, byte %d", seed, i).containsExactly(new Typed('a'));
                }
            }
            assertThat(strokes).allMatch(stroke -> !(stroke instanceof Typed(int point))
                    || !Character.isISOControl(point) && Character.isValidCodePoint(point));
            strokes.clear();
        }
    }
}
