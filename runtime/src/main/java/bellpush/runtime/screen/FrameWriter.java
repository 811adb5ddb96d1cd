package bellpush.runtime.screen;

import java.util.Optional;

/**
 * Turns canvases into what must be sent for a terminal that shows the last one: only cells that changed. Sequences: ECMA-48
 * (CUP, SGR, ED). Not thread-safe.
 */
final class FrameWriter {
    private final boolean colours;
    private Optional<Canvas> shown = Optional.empty();

    FrameWriter(boolean colours) {
        this.colours = colours;
    }

    /** The terminal may show anything: the next frame is sent whole. */
    void forget() {
        shown = Optional.empty();
    }

    /** Empty text if nothing changed. */
    String frame(Canvas canvas) {
        StringBuilder out = new StringBuilder();
        Optional<Canvas> before = shown.filter(old -> old.width == canvas.width && old.height == canvas.height);
        if (before.isEmpty()) {
            out.append("\u001b[0m\u001b[2J");
        }
        Ink ink = null;
        for (int y = 0; y < canvas.height; y++) {
            // Where the cursor stands if it stands in this line, else -1.
            int cursor = -1;
            for (int x = 0; x < canvas.width; x++) {
                int point = canvas.point(x, y);
                if (point == Canvas.TAIL || same(before, canvas, x, y)) {
                    continue;
                }
                if (cursor != x) {
                    out.append("\u001b[").append(y + 1).append(';').append(x + 1).append('H');
                }
                if (!canvas.ink(x, y).equals(ink)) {
                    ink = canvas.ink(x, y);
                    out.append(ink.select(colours));
                }
                out.appendCodePoint(point);
                // Terminals differ in how wide they draw what is wide or new, so that after it the cursor is placed again.
                cursor = point < 127 || PlainText.columns(point) == 1 ? x + 1 : -1;
            }
        }
        if (ink != null) {
            out.append("\u001b[0m");
        }
        shown = Optional.of(canvas);
        return out.toString();
    }

    private static boolean same(Optional<Canvas> before, Canvas canvas, int x, int y) {
        if (before.isEmpty()) {
            return canvas.point(x, y) == ' ' && canvas.ink(x, y).equals(Ink.PLAIN);
        }
        Canvas old = before.get();
        boolean wide = x + 1 < canvas.width && canvas.point(x + 1, y) == Canvas.TAIL;
        return old.point(x, y) == canvas.point(x, y) && old.ink(x, y).equals(canvas.ink(x, y))
                && (!wide || old.point(x + 1, y) == Canvas.TAIL);
    }
}
