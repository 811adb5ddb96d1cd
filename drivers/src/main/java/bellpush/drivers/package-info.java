/** The catalogue of drivers: those of this module and those of other jars. */
package bellpush.drivers;
