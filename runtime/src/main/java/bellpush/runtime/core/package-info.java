/**
 * The core: one deterministic state machine. One {@link bellpush.runtime.core.Input} in, {@link bellpush.runtime.core.Effect}s
 * out. Reads no clock, opens no socket, starts no thread, sleeps never, and logs only through effects. A test says so.
 */
package bellpush.runtime.core;
