package bellpush.config.model;

import java.util.List;
import java.util.Optional;

/**
 * The shape of one message of a kind, with fields in braces. One description serves for sending, for recognising, and for
 * simulating the device. Fields of tcp and udp templates are compiled by {@code bellpush.config.wire}.
 */
public sealed interface Template {
    /** Text as written, sent as UTF-8; framing adds what ends it. Written as a JSON string. */
    record Text(String text) implements Template {}

    /** Bytes in hexadecimal with fields between them. Written {@code { "hex": "81 01 {value:u8} ff" }}. */
    record Hex(String hex) implements Template {}

    /**
     * An OSC message. Written {@code { "osc": "/key/fill", "args": ["{value}"] }}. The address may hold fields too, each a
     * whole part or a piece of a part.
     */
    record Osc(String address, List<OscArgument> arguments) implements Template {}

    /** The driver knows by itself what to send; only drivers from other jars may accept it. Written {@code true}. */
    record ByDriver() implements Template {}

    /**
     * One OSC argument: a literal ({@code literal} present) or the field named {@code field}. {@code tag} is the OSC type
     * tag, or a blank when the value decides (whole i, number f, flag T or F, text s; a literal null is N).
     */
    record OscArgument(char tag, Optional<String> field, Optional<Value> literal) {}
}
