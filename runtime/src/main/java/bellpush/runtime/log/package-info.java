/** The event log: one JSON object a line, written by a thread of its own, so that nobody on the core waits for a disk. */
package bellpush.runtime.log;
