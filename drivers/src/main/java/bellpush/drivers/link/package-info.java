/**
 * What tcp, udp and osc have in common: turning requests into messages of a kind and messages into reports, taking turns
 * with the device, heartbeats, reconnecting. Everything runs on the core's event loop.
 */
package bellpush.drivers.link;
