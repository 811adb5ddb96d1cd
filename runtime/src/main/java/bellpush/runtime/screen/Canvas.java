package bellpush.runtime.screen;

import java.util.Arrays;

/**
 * A grid of cells, each one code point and its ink. Drawing outside it is allowed and does nothing. A wide character takes its
 * cell and the {@link #TAIL} to the right of it. Not thread-safe.
 */
final class Canvas {
    /** The right half of a wide character. */
    static final int TAIL = 0;

    final int width;
    final int height;
    private final int[] points;
    private final Ink[] inks;

    Canvas(int width, int height) {
        this.width = Math.max(0, width);
        this.height = Math.max(0, height);
        points = new int[this.width * this.height];
        inks = new Ink[points.length];
        Arrays.fill(points, ' ');
        Arrays.fill(inks, Ink.PLAIN);
    }

    int point(int x, int y) {
        return points[y * width + x];
    }

    Ink ink(int x, int y) {
        return inks[y * width + x];
    }

    /** Draws plain text from {@code x} on, cut at {@code columns}; gives the column after it. */
    int text(int x, int y, int columns, String plain, Ink ink) {
        int end = Math.min(width, x + columns);
        int at = x;
        for (int i = 0; i < plain.length();) {
            int point = plain.codePointAt(i);
            i += Character.charCount(point);
            int cells = PlainText.columns(point);
            if (at + cells > end) {
                break;
            }
            put(at, y, point, cells, ink);
            at += cells;
        }
        return at;
    }

    void fill(int x, int y, int columns, int rows, int point, Ink ink) {
        for (int row = y; row < y + rows; row++) {
            for (int column = x; column < x + columns; column++) {
                put(column, row, point, 1, ink);
            }
        }
    }

    /** A line all round; {@code corners} are top left, top right, bottom left, bottom right. */
    void frame(int x, int y, int columns, int rows, String corners, int line, int side, Ink ink) {
        int right = x + columns - 1;
        int bottom = y + rows - 1;
        fill(x, y, columns, 1, line, ink);
        fill(x, bottom, columns, 1, line, ink);
        fill(x, y + 1, 1, rows - 2, side, ink);
        fill(right, y + 1, 1, rows - 2, side, ink);
        put(x, y, corners.charAt(0), 1, ink);
        put(right, y, corners.charAt(1), 1, ink);
        put(x, bottom, corners.charAt(2), 1, ink);
        put(right, bottom, corners.charAt(3), 1, ink);
    }

    private void put(int x, int y, int point, int cells, Ink ink) {
        if (x < 0 || y < 0 || y >= height || x + cells > width) {
            return;
        }
        int index = y * width + x;
        clearHalves(x, index);
        // The last guard: nothing on a canvas can command a terminal, however it got here.
        points[index] = Character.isISOControl(point) || Character.getType(point) == Character.FORMAT
                ? '?'
                : point;
        inks[index] = ink;
        if (cells == 2) {
            clearHalves(x + 1, index + 1);
            points[index + 1] = TAIL;
            inks[index + 1] = ink;
        }
    }

    /** Half of a wide character cannot be shown: drawing over one half blanks the other. */
    private void clearHalves(int x, int index) {
        if (points[index] == TAIL && x > 0) {
            points[index - 1] = ' ';
        }
        if (x + 1 < width && points[index + 1] == TAIL) {
            points[index + 1] = ' ';
        }
    }

    /** What can be read on it, line by line, without trailing blanks. */
    String drawn() {
        StringBuilder drawn = new StringBuilder();
        for (int y = 0; y < height; y++) {
            StringBuilder line = new StringBuilder();
            for (int x = 0; x < width; x++) {
                if (point(x, y) != TAIL) {
                    line.appendCodePoint(point(x, y));
                }
            }
            drawn.append(line.toString().stripTrailing()).append('\n');
        }
        return drawn.toString();
    }
}
