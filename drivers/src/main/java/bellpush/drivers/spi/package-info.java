/**
 * What a driver is: the few types that a jar from elsewhere needs to speak to a device that no kind in JSON can describe.
 * Found by {@link java.util.ServiceLoader}. Everything here is called on the core's event loop unless it says otherwise.
 */
package bellpush.drivers.spi;
