package bellpush.runtime.rehearse;

import bellpush.runtime.core.Event;
import java.io.PrintWriter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;

/**
 * Prints a rehearsal as it happens, a line each, with the time since it began. Safe for several threads. What a line is
 * stands in words; colour only repeats it.
 */
final class Timeline {
    private static final String PLAIN = "\u001b[0m";
    private static final String DIM = "\u001b[2m";
    private static final String BOLD = "\u001b[1m";
    private static final String GREEN = "\u001b[32m";
    private static final String RED = "\u001b[31m";

    private final PrintWriter out;
    private final boolean colours;
    private final long begunAt = System.nanoTime();
    private final Map<String, List<String>> lamps = new LinkedHashMap<>();
    private long lampsAt;
    private long startedAt;

    Timeline(PrintWriter out, boolean colours) {
        this.out = out;
        this.colours = colours;
    }

    void act(String text) {
        line(BOLD, "", text);
    }

    void met(String text, long tookMs) {
        line(GREEN, "  ok", text + "  (after " + tookMs + " ms)");
    }

    void missed(String text) {
        line(RED, "  MISSED", text);
    }

    void heading(String text) {
        line(BOLD, "", "— " + text);
    }

    /** The events of the show that a person wants to follow; the rest stands in the event log. */
    synchronized void event(Event event) {
        Map<String, Object> d = event.details();
        String cause = event.press().isEmpty() ? "" : "[" + event.press() + "] ";
        if (event.what().equals("start")) {
            startedAt = event.at();
        }
        if (event.what().equals("lamp")) {
            lamp(event, cause + "%s " + d.get("shows") + ": " + d.get("why"));
            return;
        }
        switch (event.what()) {
            case "done" ->
                line(DIM, "", cause + d.get("macro") + " done in " + Math.round((Double) d.get("tookMs")) + " ms"
                        + (d.containsKey("why") ? " (" + d.get("why") + ")" : ""));
            case "failed" -> line(RED, "", cause + d.get("macro") + " FAILED: " + d.get("why"));
            case "waits" -> line(DIM, "", cause + d.get("macro") + " waits its turn behind " + d.get("for"));
            case "ignored", "queued", "refused" -> line(DIM, "", cause + d.get("macro") + " " + event.what()
                    + (d.containsKey("why") ? ": " + d.get("why") : ""));
            case "stopped" -> line(DIM, "", cause + d.get("macro") + " stopped"
                    + (d.containsKey("why") ? ": " + d.get("why") : ""));
            case "link" -> line(DIM, "", "link to " + d.get("device") + " " + d.get("state") + ": " + d.get("why"));
            case "say" -> line(DIM, "", cause + "says: " + d.get("text"));
            case "error" -> line(RED, "", "ERROR: " + d.get("text"));
            default -> {
            }
        }
    }

    /** Lamps that change together, to the same look and for the same reason, are one line; how they all begin is none. */
    private void lamp(Event event, String words) {
        if (event.at() == startedAt) {
            return;
        }
        if (event.at() != lampsAt) {
            lampsSoFar();
            lampsAt = event.at();
        }
        lamps.computeIfAbsent(words, w -> new ArrayList<>()).add((String) event.details().get("lamp"));
    }

    private void lampsSoFar() {
        Map<String, List<String>> ready = new LinkedHashMap<>(lamps);
        lamps.clear();
        ready.forEach((words, names) -> line(DIM, "",
                words.replace("%s", (names.size() == 1 ? "lamp " : "lamps ") + String.join(", ", names))));
    }

    private synchronized void line(String colour, String mark, String text) {
        lampsSoFar();
        double seconds = (System.nanoTime() - begunAt) / 1e9;
        String time = String.format(Locale.ROOT, "%02d:%06.3f", (int) seconds / 60, seconds % 60);
        String indent = colour.equals(DIM) || colour.equals(RED) && mark.isEmpty() ? "      · " : "";
        String body = time + "  " + (mark.isEmpty() ? "" : mark + " ") + indent + printable(text);
        out.println(colours ? time + "  " + colour + body.substring(time.length() + 2) + PLAIN : body);
        out.flush();
    }

    /** Devices can send anything; a terminal must not obey it. */
    private static String printable(String text) {
        return text.codePoints().map(c -> Character.isISOControl(c) ? '·' : c)
                .collect(StringBuilder::new, StringBuilder::appendCodePoint, StringBuilder::append).toString();
    }
}
