/** The real runtime against simulated gear: devices played on loopback sockets, and the scripted evening. */
package bellpush.runtime.rehearse;
