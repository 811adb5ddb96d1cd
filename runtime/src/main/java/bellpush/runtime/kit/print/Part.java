package bellpush.runtime.kit.print;

/**
 * What is built into the front, and the hole it needs. Usual sizes (common practice, no source): the part's own data sheet decides.
 *
 * @see Front
 */
enum Part {
    BUTTON("button", 16, 10.5), SWITCH("toggle switch", 6, 7), KNOB("knob", 7, 10.5), LAMP("LED", 5, 4),
    /** A slot, 60 mm of travel and a little more; its screws are where the data sheet has them. */
    FADER("slide fader", 3, 64, 36), JOYSTICK("joystick", 24, 18),
    /** A rectangle for a rocker that snaps in. */
    ROCKER("rocker switch", 13, 19, 11);

    private final String words;
    private final double holeMm;
    private final double tallMm;
    private final double coverMm;

    Part(String words, double holeMm, double coverMm) {
        this(words, holeMm, holeMm, coverMm);
    }

    Part(String words, double holeMm, double tallMm, double coverMm) {
        this.words = words;
        this.holeMm = holeMm;
        this.tallMm = tallMm;
        this.coverMm = coverMm;
    }

    String words() {
        return words;
    }

    /** Diameter of the hole; of a slot its width. */
    double holeMm() {
        return holeMm;
    }

    /** The height of the hole; of a round one its diameter. */
    double tallMm() {
        return tallMm;
    }

    boolean isRound() {
        return tallMm == holeMm;
    }

    /** How far from its middle it covers the front: bezel, nut or cap. Of a fader: half its length, downwards. */
    double coverMm() {
        return coverMm;
    }

    String hole() {
        return isRound()
                ? (int) holeMm + " mm"
                : (this == FADER ? "slot " : "") + (int) holeMm + " x " + (int) tallMm + " mm";
    }
}
