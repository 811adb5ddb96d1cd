package bellpush.drivers.osc;

/** One OSC packet: a message, or a bundle of packets with a time tag. Immutable. */
public sealed interface OscPacket permits OscMessage, OscBundle {}
