/**
 * The shell around the core: the one event loop, its timers and links, the lamps thread. It reads the clock for the core and
 * carries the core's effects out, in order.
 */
package bellpush.runtime.show;
