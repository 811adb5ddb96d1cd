package bellpush.runtime.panel.board;

import bellpush.config.model.Pin;

/** A pin of a bank. @param bank {@link #HEADER}, or a chip's name */
record Place(String bank, int pin) {
    /** The bank of the board's own header; no chip's name, since those begin with a letter. */
    static final String HEADER = "";

    static Place of(Pin pin) {
        return switch (pin) {
            case Pin.Gpio(int number) -> new Place(HEADER, number);
            case Pin.OfChip(String chip, _, int index) -> new Place(chip, index);
        };
    }
}
