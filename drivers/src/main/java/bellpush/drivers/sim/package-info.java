/**
 * Devices played by the computer, from nothing but their kind: they listen on a real socket, take sets and commands, need
 * their time, answer, report, and can be given trouble. What a device does ({@link bellpush.drivers.sim.Behaviour}) knows
 * no sockets and no clock; what carries its messages knows no protocol.
 */
package bellpush.drivers.sim;
