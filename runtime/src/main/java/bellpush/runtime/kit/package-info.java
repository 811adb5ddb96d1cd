/**
 * The build kit: what to solder, computed from the same JSON that runs the panel. Tables of the header and of standard resistors,
 * the wiring of a site with what it draws from the board, and a proposal for what has no pin yet. Nothing here touches a pin.
 */
package bellpush.runtime.kit;
