package bellpush.runtime.screen;

/** Where something of the panel is drawn. */
record Area(String name, Role role, int x, int y, int width, int height) {
    enum Role {
        BUTTON, SWITCH, KNOB, LAMP
    }

    boolean contains(int column, int row) {
        return column >= x && column < x + width && row >= y && row < y + height;
    }

    /** Whether a column belongs to the half that turns a knob up. */
    boolean rightHalf(int column) {
        return column - x >= width / 2;
    }

    boolean canBeSelected() {
        return role != Role.LAMP;
    }
}
