package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.Random;
import org.jline.utils.ScreenTerminal;
import org.junit.jupiter.api.Test;

/** What is sent, read by an independent terminal emulation: JLine's ScreenTerminal. */
class FrameWriterTest {
    private static final int WIDTH = 40;
    private static final int HEIGHT = 12;

    private static Canvas scribble(Random random, Canvas before) {
        Canvas canvas = new Canvas(WIDTH, HEIGHT);
        for (int y = 0; y < HEIGHT; y++) {
            for (int x = 0; x < WIDTH; x++) {
                if (before.point(x, y) != Canvas.TAIL) {
                    canvas.text(x, y, 2, Character.toString(before.point(x, y)), before.ink(x, y));
                }
            }
        }
        Ink[] inks = {Ink.PLAIN, Ink.BOLD, Ink.REVERSE, Ink.FAULT, Ink.lit(Optional.of("blue"))};
        String[] words = {"POEM", "│ ○ │", "漢字", "a漢b", "   "};
        for (int i = 0; i < 6; i++) {
            canvas.text(random.nextInt(WIDTH), random.nextInt(HEIGHT), 10, words[random.nextInt(words.length)],
                    inks[random.nextInt(inks.length)]);
        }
        return canvas;
    }

    private static void assertShows(ScreenTerminal terminal, Canvas canvas, String as) {
        long[] cells = new long[WIDTH * HEIGHT];
        terminal.dump(cells, new int[2]);
        for (int y = 0; y < HEIGHT; y++) {
            for (int x = 0; x < WIDTH; x++) {
                long cell = cells[y * WIDTH + x];
                if (canvas.point(x, y) != Canvas.TAIL) {
                    assertThat(ScreenTerminal.cellCodePoint(cell)).as("%s at %d,%d", as, x, y)
                            .isEqualTo(canvas.point(x, y));
                    assertThat(ScreenTerminal.cellBold(cell)).isEqualTo(canvas.ink(x, y).bold());
                    assertThat(ScreenTerminal.cellInverse(cell)).isEqualTo(canvas.ink(x, y).reverse());
                    assertThat(ScreenTerminal.cellHasBackground(cell)).isEqualTo(canvas.ink(x, y).paper() != Ink.NONE);
                }
            }
        }
    }

    @Test
    void aTerminalShowsWhatIsOnTheCanvasFrameAfterFrame() {
        for (long seed = 0; seed < 20; seed++) {
            Random random = new Random(seed);
            ScreenTerminal terminal = new ScreenTerminal(WIDTH, HEIGHT);
            terminal.write("left over from before");
            FrameWriter frames = new FrameWriter(true);
            Canvas canvas = new Canvas(WIDTH, HEIGHT);
            for (int frame = 0; frame < 60; frame++) {
                canvas = scribble(random, canvas);
                terminal.write(frames.frame(canvas));
                assertShows(terminal, canvas, "seed " + seed + ", frame " + frame);
            }
        }
    }

    @Test
    void anUnchangedFrameSendsNothingAndAChangedCellOnlyItself() {
        FrameWriter frames = new FrameWriter(false);
        Canvas first = new Canvas(WIDTH, HEIGHT);
        first.text(0, 0, WIDTH, "POEM", Ink.PLAIN);
        frames.frame(first);
        Canvas same = new Canvas(WIDTH, HEIGHT);
        same.text(0, 0, WIDTH, "POEM", Ink.PLAIN);
        assertThat(frames.frame(same)).isEmpty();
        Canvas changed = new Canvas(WIDTH, HEIGHT);
        changed.text(0, 0, WIDTH, "POET", Ink.PLAIN);
        assertThat(frames.frame(changed)).isEqualTo("\u001b[1;4H\u001b[0mT\u001b[0m");
    }

    @Test
    void withoutColoursALitSurfaceIsReversed() {
        // ECMA-48 8.3.117: 1 bold, 7 negative image, 37 white display, 44 blue background.
        assertThat(Ink.lit(Optional.of("blue")).select(true)).isEqualTo("\u001b[0;1;37;44m");
        assertThat(Ink.lit(Optional.of("blue")).select(false)).isEqualTo("\u001b[0;1;7m");
    }
}
