package bellpush.runtime.kit;

/**
 * One line of a table of leads.
 *
 * @param place   of the header: the position, 1 to 40; of a chip: the number of the package's pin, 0 where it is not known here
 * @param contact what that place is: {@code GPIO 17}, {@code 3.3 V}, {@code GPA3}
 * @param use     the control, lamp or chip, by its name in panel.json
 * @param lead    which lead of it
 * @param colour  proposed colour of the lead; may be empty
 * @param pull    {@code up}, {@code down} or empty
 * @param to      what the lead goes to
 */
record Row(int place, String contact, String use, String lead, String colour, String pull, String to) {}
