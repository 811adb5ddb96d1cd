package bellpush.runtime.kit;

/**
 * A proposal for the colours of leads, so that a mistake is seen before it is switched on. Black for ground and red for the supply are
 * common practice, no source; the others are ours. No lead depends on its colour alone: the table names each.
 */
enum LeadColour {
    BLACK("ground, and nothing else"), RED("3.3 V, and nothing else"), ORANGE(
            "5 V; never to a pin of the header"), YELLOW(
                    "contacts of buttons, switches and rockers, push switches of knobs"), GREEN(
                            "channel A of knobs"), BLUE("channel B of knobs"), WHITE("lamps"), BROWN(
                                    "wipers of faders and joysticks"), VIOLET(
                                            "data and clock of chips"), GREY("chip select and interrupt lines");

    private final String meaning;

    LeadColour(String meaning) {
        this.meaning = meaning;
    }

    String word() {
        return name().toLowerCase(java.util.Locale.ROOT);
    }

    String meaning() {
        return meaning;
    }
}
