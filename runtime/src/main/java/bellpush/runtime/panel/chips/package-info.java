/**
 * What stands behind a bus: expanders, diode matrices, converters, strips and pulse-width outputs. One thread, {@code chips}, goes
 * round all that must be read; time is an argument everywhere, so that tests do not wait.
 */
package bellpush.runtime.panel.chips;
