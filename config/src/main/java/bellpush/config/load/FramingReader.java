package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Framing;
import bellpush.config.problem.Spot;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.Optional;
import java.util.OptionalInt;

/** Reads a kind's framing, and says whether its driver needs one. */
final class FramingReader {
    private static final Framing OSC_STREAM = new Framing.LengthPrefix(4, false, false); // OSC 1.0, on a byte stream

    private final Reading reading;

    FramingReader(Reading reading) {
        this.reading = reading;
    }

    Framing read(Node.Obj kind, Spot driverSpot, String driver, boolean stream) {
        Optional<Node> node = reading.node(kind, "framing");
        boolean packets = driver.equals("udp") || driver.equals("osc") && !stream;
        if (packets && node.isPresent()) {
            reading.problems.error(node.get().spot(), "There is a framing, but " + driver + " sends datagrams.",
                    "Every datagram is one message, so nothing has to tell them apart.",
                    driver.equals("osc") ? "Remove it, or write \"stream\": true for OSC over TCP." : "Remove it.");
            return new Framing.None();
        }
        if (driver.equals("tcp") && node.isEmpty() && !kind.members().containsKey("framing")) {
            reading.problems.error(driverSpot, "The driver is tcp, and there is no framing.",
                    "A connection carries a stream of bytes, and nothing tells where one message ends.",
                    "Add \"framing\": { \"endsWith\": \"\\r\\n\" }, or what the device's manual says.");
        }
        Framing framing = node.map(this::framing)
                .orElse(driver.equals("osc") && stream ? OSC_STREAM : new Framing.None());
        if (driver.equals("osc") && stream && !framing.equals(OSC_STREAM) && !(framing instanceof Framing.Slip)) {
            reading.problems.error(node.orElseThrow().spot(), "OSC over TCP has another framing.",
                    "OSC 1.0 puts a length of 32 bits before each packet, OSC 1.1 uses SLIP.",
                    "Write { \"length\": \"u32\" } or \"slip\", or leave it out for the former.");
        }
        return framing;
    }

    private Framing framing(Node node) {
        if (!(node instanceof Node.Obj object)) {
            return new Framing.Slip();
        }
        Optional<String> end = reading.text(object, "endsWith");
        if (end.isPresent()) {
            return new Framing.Delimiter(end.get().getBytes(StandardCharsets.UTF_8));
        }
        Optional<String> hex = reading.text(object, "endsWithHex");
        if (hex.isPresent()) {
            return new Framing.Delimiter(HexFormat.of().parseHex(hex.get().replace(" ", "")));
        }
        Optional<String> length = reading.text(object, "length");
        if (length.isPresent()) {
            int bytes = length.get().startsWith("u8") ? 1 : length.get().startsWith("u16") ? 2 : 4;
            boolean all = reading.text(object, "counts").filter("all"::equals).isPresent();
            boolean little = length.get().endsWith("le");
            OptionalInt at = reading.whole(object, "at");
            if (at.isPresent()) {
                return new Framing.LengthWithin(at.getAsInt(), bytes, little, all,
                        reading.whole(object, "uncounted").orElse(0));
            }
            reading.node(object, "uncounted").ifPresent(stray -> reading.problems.error(stray.spot(),
                    "There is \"uncounted\" without \"at\".",
                    "Without \"at\" the count stands before the message and is no part of it; nothing comes after.",
                    "Add \"at\": 0, or how many bytes come before the count, and write the count as {length} "
                            + "in the envelope or the templates."));
            return new Framing.LengthPrefix(bytes, little, all);
        }
        return reading.whole(object, "bytes").stream().<Framing>mapToObj(Framing.Fixed::new).findFirst()
                .orElse(new Framing.None());
    }
}
