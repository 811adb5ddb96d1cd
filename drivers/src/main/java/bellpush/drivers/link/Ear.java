package bellpush.drivers.link;

import bellpush.config.model.Answers;
import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;

/** Makes sense of what the device says: which of the kind's templates a message fits, and the values in it. */
final class Ear<F> {
    private final Kind kind;
    private final MessageCodec<F> codec;

    Ear(Kind kind, MessageCodec<F> codec) {
        this.kind = kind;
        this.codec = codec;
    }

    /** The values of a match; {@code problem} tells of the first one that its property cannot hold, else empty. */
    private record Reading(Map<String, Value> values, String problem) {}

    /**
     * @param open     exchanges that wait for something from the device, oldest first
     * @param greeting whether the greeting is still to come; then it goes before all else
     */
    Heard understand(F message, List<Exchange> open, boolean greeting) {
        if (greeting && fits(kind.greeting(), message)) {
            return new Heard.Greeting();
        }
        Heard doubtful = null;
        for (Exchange ask : open) {
            var answer = answerOf(ask, message);
            if (answer.isPresent()) {
                if (answer.get().problem.isEmpty()) {
                    return new Heard.Answered(ask, answer.get().values, "");
                }
                doubtful = doubtful != null
                        ? doubtful
                        : new Heard.Answered(ask, answer.get().values, answer.get().problem);
            }
        }
        if (!open.isEmpty()) {
            Heard verdict = verdict(message, open);
            if (verdict != null) {
                return verdict;
            }
        }
        for (Property property : kind.properties().values()) {
            if (property.report().isPresent()) {
                var wire = codec.match(property.report().get(), message);
                if (wire.isPresent()) {
                    Reading reading = read(wire.get(), property.name());
                    if (reading.problem.isEmpty()) {
                        return new Heard.Told(reading.values, wire.get());
                    }
                    doubtful = doubtful != null ? doubtful : new Heard.Unheld(reading.values, reading.problem);
                }
            }
        }
        for (Template report : kind.reports()) {
            var wire = codec.match(report, message);
            if (wire.isPresent()) {
                Reading reading = read(wire.get(), "");
                if (reading.problem.isEmpty()) {
                    return new Heard.Told(reading.values, wire.get());
                }
                doubtful = doubtful != null ? doubtful : new Heard.Unheld(reading.values, reading.problem);
            }
        }
        if (kind.heartbeat().isPresent() && fits(kind.heartbeat().get().reply(), message)) {
            return new Heard.Beat();
        }
        if (fits(kind.greeting(), message)) {
            return new Heard.Greeting();
        }
        return doubtful != null ? doubtful : unawaited(message);
    }

    private Optional<Reading> answerOf(Exchange ask, F message) {
        if (ask.awaits != Exchange.Awaits.ANSWER) {
            return Optional.empty();
        }
        return kind.properties().get(ask.property()).answer().flatMap(template -> codec.match(template, message))
                .filter(wire -> sequenceFits(wire, ask.sequence)).map(wire -> read(wire, ask.property()));
    }

    /** Ok or refusal of an open exchange. Without a sequence in the message it is the oldest one's. */
    private Heard verdict(F message, List<Exchange> open) {
        for (Template ok : kind.answers().ok()) {
            var wire = codec.match(ok, message);
            if (wire.isPresent()) {
                for (Exchange exchange : open) {
                    if (sequenceFits(wire.get(), exchange.sequence)) {
                        var values = read(wire.get(), "").values;
                        // A device may say ok to a question before it answers; that ends nothing.
                        return exchange.awaits == Exchange.Awaits.OK
                                ? new Heard.Accepted(exchange, values)
                                : new Heard.Told(values, Map.of());
                    }
                }
            }
        }
        for (Answers.Refusal refusal : kind.answers().refused()) {
            var wire = codec.match(refusal.message(), message);
            if (wire.isPresent()) {
                for (Exchange exchange : open) {
                    if (sequenceFits(wire.get(), exchange.sequence)) {
                        return new Heard.Refused(exchange, refusal.means());
                    }
                }
            }
        }
        return null;
    }

    private Heard unawaited(F message) {
        for (Answers.Refusal refusal : kind.answers().refused()) {
            if (codec.match(refusal.message(), message).isPresent()) {
                return new Heard.Unawaited("the device refuses something (" + refusal.means()
                        + "), but it is not known what: no request is waiting for an answer");
            }
        }
        for (Template ok : kind.answers().ok()) {
            if (codec.match(ok, message).isPresent()) {
                return new Heard.Unawaited("the device says ok, but no request is waiting for that");
            }
        }
        for (Property property : kind.properties().values()) {
            if (fits(property.answer(), message)) {
                return new Heard.Unawaited("an answer came, but no question is waiting for it");
            }
        }
        return new Heard.Strange();
    }

    /** Whether this is what a heartbeat with this sequence wanted. */
    boolean answersHeartbeat(F message, long sequence) {
        var reply = kind.heartbeat().orElseThrow().reply();
        return reply.isEmpty()
                || codec.match(reply.get(), message).filter(wire -> sequenceFits(wire, sequence)).isPresent();
    }

    private boolean fits(Optional<Template> template, F message) {
        return template.isPresent() && codec.match(template.get(), message).isPresent();
    }

    /** A message without a sequence fits any request. */
    static boolean sequenceFits(Map<String, Value> wire, long sequence) {
        return switch (wire.get("sequence")) {
            case null -> true;
            case Value.Num(double n) -> n == sequence;
            case Value.Text(String text) -> text.equals(Long.toString(sequence));
            case Value.Flag _ -> false;
        };
    }

    /** @param own the property that the field {@code value} stands for, or empty */
    private Reading read(Map<String, Value> wire, String own) {
        var values = new LinkedHashMap<String, Value>();
        String problem = "";
        for (var field : wire.entrySet()) {
            String name = field.getKey().equals("value") ? own : field.getKey();
            Property property = kind.properties().get(name);
            if (property == null) {
                continue; // sequence, any and their like
            }
            var value = property.type().fromWire(field.getValue());
            if (value.isPresent()) {
                values.put(name, value.get());
            } else if (problem.isEmpty()) {
                problem = "the device says \"" + Printable.text(field.getValue().toString()) + "\" for " + name
                        + ", which that property cannot hold";
            }
        }
        return new Reading(values, problem);
    }
}
