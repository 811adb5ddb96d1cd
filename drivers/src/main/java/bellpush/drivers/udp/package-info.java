/** Devices that speak datagrams; messages are text or hex templates. */
package bellpush.drivers.udp;
