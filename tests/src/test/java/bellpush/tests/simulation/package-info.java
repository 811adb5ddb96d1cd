/**
 * Random evenings from a seed. The real core, gear played in the same process and fingers on a panel, all under virtual time; after
 * every input, what must always be true is checked. A failure names its seed and the few acts that are needed, and plays again
 * exactly. Nothing here reads a clock, opens a socket or starts a thread but {@link bellpush.tests.simulation.Simulate}, which is the
 * command {@code tests/simulate}.
 */
package bellpush.tests.simulation;
