/** Devices that speak a byte stream over one lasting connection; messages are text or hex templates. */
package bellpush.drivers.tcp;
