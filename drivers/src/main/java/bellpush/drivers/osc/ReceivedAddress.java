package bellpush.drivers.osc;

import java.util.List;
import java.util.Optional;

/** The address of a received message, read as a pattern where it is one; made once and asked for every template. */
final class ReceivedAddress {
    private final String text;
    private final Optional<OscAddressPattern> pattern;
    private List<String> parts;

    ReceivedAddress(String text) {
        this.text = text;
        this.pattern = OscAddressPattern.isPattern(text) ? OscAddressPattern.of(text) : Optional.empty();
    }

    String text() {
        return text;
    }

    /** Whether this is a pattern that fits the address. A pattern that is no good fits nothing. */
    boolean means(String address) {
        return pattern.isPresent() && pattern.get().matches(address);
    }

    /** What stands between the slashes. Too long a pattern has none, so that parts too are short enough to match. */
    List<String> parts() {
        if (parts == null) {
            parts = text.length() > OscLimits.PATTERN_CHARACTERS ? List.of() : AddressShape.split(text);
        }
        return parts;
    }
}
