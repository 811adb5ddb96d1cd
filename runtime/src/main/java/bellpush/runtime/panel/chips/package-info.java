/**
 * What stands behind a bus: expanders, diode matrices, converters, strips and pulse-width outputs. One thread, {@code chips}, goes
 * round all that must be read, and does not wait for a bus on which somebody else makes a transfer ({@link
 * bellpush.runtime.panel.chips.BusTurn}); what it does wait for is its own transfers. Time is an argument everywhere, so that tests do
 * not wait.
 */
package bellpush.runtime.panel.chips;
