package bellpush.drivers.sim;

/** One who speaks to the simulated device. */
interface Peer<F> {
    /** Sends a message there, or loses it if the peer is gone or does not read. Never throws. */
    void say(F message);
}
