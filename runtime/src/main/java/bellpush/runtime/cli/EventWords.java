package bellpush.runtime.cli;

import bellpush.runtime.core.Event;
import java.util.Map;
import java.util.Optional;

/** Events as lines for somebody who is watching; the event log has all of them and all of their details. */
final class EventWords {
    private EventWords() {}

    /** A line, or empty for what nobody wants to see flying by. Safe to print to a terminal. */
    static Optional<String> of(Event event) {
        Map<String, Object> d = event.details();
        String words = switch (event.what()) {
            case "press" -> d.get("control") + " pressed";
            case "held" -> d.get("control") + " held";
            case "double" -> d.get("control") + " pressed twice";
            case "switch" -> d.get("control") + " put " + d.get("to");
            case "turn" -> d.get("control") + " turned by " + d.get("detents");
            case "slide" -> d.get("control") + " slid to " + d.get("to");
            case "drive" -> d.get("control") + " drives " + d.get("property");
            case "rest" -> d.get("control") + " lets " + d.get("property") + " stand, peak " + d.get("peak") + why(d);
            case "asked" -> d.get("macro") + " asked for by name";
            case "run" -> d.get("macro") + " starts";
            case "done" -> d.get("macro") + " done" + why(d);
            case "failed" -> d.get("macro") + " FAILED" + why(d);
            case "stopped" -> d.get("macro") + " stopped" + why(d);
            case "refused" -> d.get("macro") + " refused" + why(d);
            case "ignored" -> d.get("macro") + " ignored" + why(d);
            case "queued" -> d.get("macro") + " will run once more";
            case "waits" -> d.get("macro") + " waits for " + d.get("for");
            case "refusal", "unsent" -> String.valueOf(d.get("why"));
            case "elsewhere" ->
                d.get("property") + " was changed elsewhere, from " + d.get("from") + " to " + d.get("to");
            case "link" -> "link to " + d.get("device") + " " + d.get("state") + why(d);
            case "say" -> "says: " + d.get("text");
            case "note" -> d.containsKey("device")
                    ? d.get("device") + ": " + d.get("text")
                    : d.containsKey("control") ? d.get("control") + " " + d.get("text") : String.valueOf(d.get("text"));
            case "error" -> "ERROR: " + d.get("text");
            case "panel", "log" -> String.valueOf(d.get("text"));
            default -> null;
        };
        return Optional.ofNullable(words)
                .map(text -> printable((event.press().isEmpty() ? "" : event.press() + " ") + text));
    }

    private static String why(Map<String, Object> details) {
        Object why = details.get("why");
        return why == null || String.valueOf(why).isEmpty() ? "" : ": " + why;
    }

    /** Devices can send anything; a terminal must not obey it. */
    private static String printable(String text) {
        return text.codePoints().map(c -> switch (Character.getType(c)) {
            case Character.CONTROL, Character.FORMAT, Character.SURROGATE, Character.LINE_SEPARATOR,
                    Character.PARAGRAPH_SEPARATOR ->
                '·';
            default -> c;
        }).collect(StringBuilder::new, StringBuilder::appendCodePoint, StringBuilder::append).toString();
    }
}
