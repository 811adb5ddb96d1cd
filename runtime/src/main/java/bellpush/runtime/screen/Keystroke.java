package bellpush.runtime.screen;

/** What was typed or clicked. Columns and rows count from 0. */
sealed interface Keystroke {
    /** A printable character. */
    record Typed(int point) implements Keystroke {}

    record Named(Name name) implements Keystroke {}

    record MouseDown(int x, int y) implements Keystroke {}

    record MouseUp() implements Keystroke {}

    /** @param detents 1 away from the user, -1 towards */
    record Wheel(int x, int y, int detents) implements Keystroke {}

    enum Name {
        ENTER, TAB, BACK_TAB, ESCAPE, UP, DOWN, LEFT, RIGHT, REDRAW, INTERRUPT
    }
}
