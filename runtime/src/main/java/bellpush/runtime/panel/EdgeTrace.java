package bellpush.runtime.panel;

import java.math.BigDecimal;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * What pins did, as text: lines {@code TIME_MS PIN LEVEL}, time in milliseconds since the start with a fraction where wanted,
 * pin as BCM number, level 0 or 1; {@code #} starts a comment. Times never run backwards. A pin has its idle level until
 * its first line; a line at time 0 says how the pin was found when the panel was opened, which is no press.
 */
record EdgeTrace(List<Edge> edges) {
    static final int EDGES_MAX = 1_000_000;
    private static final int PROBLEMS_MAX = 20;
    private static final BigDecimal TIME_MS_MAX = BigDecimal.valueOf(24 * 3_600_000L);
    private static final Pattern LINE = Pattern.compile("(\\d{1,12}(?:\\.\\d{1,9})?)\\s+(\\d{1,3})\\s+([01])");

    /** @param line counts from 1 */
    record Edge(long nanos, int pin, boolean high, int line) {}

    /** A trace, or what is wrong with it: one sentence for each line. */
    record Reading(EdgeTrace trace, List<String> problems) {}

    static Reading read(String file, List<String> lines) {
        List<Edge> edges = new ArrayList<>();
        List<String> problems = new ArrayList<>();
        long last = 0;
        for (int n = 1; n <= lines.size() && problems.size() < PROBLEMS_MAX; n++) {
            String line = lines.get(n - 1).replaceFirst("#.*", "").strip();
            if (line.isEmpty()) {
                continue;
            }
            Matcher parts = LINE.matcher(line);
            String problem = null;
            if (!parts.matches()) {
                problem = "\"" + shortened(line) + "\" is not TIME_MS PIN LEVEL, such as \"1250.5 17 0\".";
            } else if (new BigDecimal(parts.group(1)).compareTo(TIME_MS_MAX) > 0) {
                problem = "the time " + parts.group(1) + " ms is more than a day.";
            } else {
                Edge edge = new Edge(nanos(parts.group(1)), Integer.parseInt(parts.group(2)),
                        parts.group(3).equals("1"), n);
                if (edge.nanos() < last) {
                    problem = "the time runs backwards: " + parts.group(1) + " ms comes after " + ms(last) + " ms.";
                } else if (edges.size() == EDGES_MAX) {
                    problem = "there are more than " + EDGES_MAX + " edges; split the file.";
                    n = lines.size();
                }
                last = Math.max(last, edge.nanos());
                edges.add(edge);
            }
            if (problem != null) {
                problems.add(file + ":" + n + ": " + problem);
            }
        }
        return new Reading(new EdgeTrace(List.copyOf(edges)), List.copyOf(problems));
    }

    /** One line without its end. */
    static String line(long nanos, int pin, boolean high) {
        return ms(nanos) + " " + pin + " " + (high ? 1 : 0);
    }

    private static long nanos(String ms) {
        return new BigDecimal(ms).movePointRight(6).setScale(0, RoundingMode.HALF_UP).longValueExact();
    }

    /** To the microsecond: what a kernel's time stamp is worth. */
    private static String ms(long nanos) {
        return BigDecimal.valueOf(nanos, 6).setScale(3, RoundingMode.HALF_UP).toPlainString();
    }

    private static String shortened(String line) {
        return line.length() <= 40 ? line : line.substring(0, 40) + "…";
    }
}
