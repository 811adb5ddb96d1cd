package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Device;
import bellpush.config.problem.Spot;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Reads devices.json. */
final class DevicesReader {
    private static final Pattern WITH_PORT = Pattern.compile("([^:]+|\\[[^]]+]):([0-9]{1,5})");
    private static final Pattern IPV4 = Pattern
            .compile("(?:(?:25[0-5]|2[0-4][0-9]|1?[0-9]?[0-9])(?:\\.(?!$)|$)){4}");

    private final Reading reading;
    private final Kinds kinds;
    private final Map<String, Node.Member> byAddress = new HashMap<>();
    private final Map<String, Optional<KindDraft>> kindOf = new LinkedHashMap<>();

    DevicesReader(Reading reading, Kinds kinds) {
        this.reading = reading;
        this.kinds = kinds;
    }

    Map<String, Device> read(Node.Obj root) {
        Map<String, Device> devices = new LinkedHashMap<>();
        for (Node.Member member : root.members().values()) {
            if (!member.key().equals("$schema")) {
                kindOf.put(member.key(), Optional.empty());
                reading.object(member.value())
                        .ifPresent(object -> device(member, object).ifPresent(d -> devices.put(d.name(), d)));
            }
        }
        return Collections.unmodifiableMap(devices);
    }

    /** Every device in the file, with its kind if that could be read. */
    Map<String, Optional<KindDraft>> kindOf() {
        return kindOf;
    }

    private Optional<Device> device(Node.Member member, Node.Obj object) {
        Optional<KindDraft> kind = reading.textNode(object, "kind").flatMap(kinds::get);
        kindOf.put(member.key(), kind);
        if (kind.isEmpty()) {
            return Optional.empty();
        }
        reading.textNode(object, "address").ifPresent(this::address);
        String address = reading.text(object, "address").orElse("");
        int port = reading.whole(object, "port").orElse(kind.get().kind().port().orElse(0));
        if (port == 0 && !object.members().containsKey("port")) {
            reading.problems.error(member.spot(), "The device " + member.key() + " has no port.",
                    "Neither it nor its kind " + kind.get().kind().name() + " says which port is meant.",
                    "Add \"port\": from 1 to 65535.");
        }
        sameAddress(member, kind.get(), address, port);
        Map<String, Object> settings = new LinkedHashMap<>(kind.get().kind().settings());
        reading.object(object, "settings").ifPresent(own -> settings.putAll(PlainValues.of(own)));
        return Optional.of(new Device(member.key(), reading.text(object, "label").orElse(member.key()),
                kind.get().kind(), address, port, Collections.unmodifiableMap(settings), member.spot().at()));
    }

    /** Four numbers that are no address would be looked up as a name, and a port in it as part of that name. */
    private void address(Node.Text node) {
        String written = node.text();
        String why = "The device could never be reached there.";
        Matcher withPort = WITH_PORT.matcher(written);
        if (withPort.matches()) {
            reading.problems.error(node.spot(), "The address " + written + " holds a port.", why,
                    "Write \"address\": \"" + withPort.group(1) + "\", \"port\": " + withPort.group(2) + ".");
        } else if (written.matches("[0-9.]+") && !IPV4.matcher(written).matches()) {
            reading.problems.error(node.spot(), "The address " + written + " is no IP address.", why,
                    "Write four numbers from 0 to 255 with dots between them, such as 192.168.40.11.");
        }
    }

    /** A TCP and a UDP port of one number are two ports. */
    private void sameAddress(Node.Member member, KindDraft kind, String address, int port) {
        String driver = kind.kind().driver();
        boolean packets = driver.equals("udp") || driver.equals("osc") && !kind.kind().stream();
        if (address.isEmpty() || port == 0) {
            return;
        }
        Node.Member other = byAddress.putIfAbsent(address.toLowerCase(Locale.ROOT) + " " + port + packets, member);
        if (other != null) {
            Spot spot = member.spot();
            reading.problems.warning(spot,
                    "The devices " + other.key() + " and " + member.key() + " are both at " + address + ":" + port
                            + ".",
                    "Both would talk to the same gear, and " + other.key() + " is in line " + other.spot().at().line()
                            + ".",
                    "Correct one of the addresses, or make them one device.");
        }
    }
}
