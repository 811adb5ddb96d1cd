/**
 * Open Sound Control: packets, their bytes, address patterns, time tags, and the driver {@code osc}. Section numbers and
 * terms are those of "The Open Sound Control 1.0 Specification" (M. Wright, version 1.0, 26 March 2002); {@code //} and
 * SLIP framing come from "Features and Future of Open Sound Control version 1.1 for NIME" (Freed and Schmeder, NIME 2009).
 */
package bellpush.drivers.osc;
