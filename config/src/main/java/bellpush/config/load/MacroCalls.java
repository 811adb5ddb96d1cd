package bellpush.config.load;

import bellpush.config.model.Macro;
import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.TreeSet;

/**
 * Which macro runs which, by a step or as a fallback. Finds circles, each told once with its whole way, and chains that are
 * deeper than the limit.
 */
final class MacroCalls {
    private record Call(String to, Spot spot) {}

    private final Map<String, List<Call>> calls = new LinkedHashMap<>();
    private final Set<String> done = new HashSet<>();
    private final List<String> way = new ArrayList<>();
    private final Map<String, Integer> depths = new HashMap<>();
    private final Map<String, Spot> stops = new LinkedHashMap<>();
    private boolean circles;

    void add(String from, String to, Spot spot) {
        calls.computeIfAbsent(from, _ -> new ArrayList<>()).add(new Call(to, spot));
    }

    /** A step of the macro stops others. */
    void stops(String macro, Spot spot) {
        stops.putIfAbsent(macro, spot);
    }

    /** Whether any macro runs in a circle, once that was checked. */
    boolean circles() {
        return circles;
    }

    /**
     * Finds stops that come late, since their macro has to wait for a lane.
     *
     * @param macros by the name of their file
     */
    void checkStops(Map<String, Macro> macros, Problems problems) {
        stops.forEach((name, spot) -> {
            Macro macro = macros.get(name);
            Set<String> lanes = new TreeSet<>();
            reached(name, new HashSet<>()).stream().map(macros::get).filter(Objects::nonNull)
                    .forEach(each -> lanes.addAll(each.lanes()));
            if (macro != null && !macro.takesOver() && !lanes.isEmpty()) {
                problems.warning(spot, "Before it stops anything, " + name + " waits for "
                        + (lanes.size() == 1 ? "the lane " : "the lanes ") + String.join(", ", lanes) + ".",
                        "While another macro holds it, the press does nothing.",
                        "Do without the lane, or write \"takesOver\": true.");
            }
        });
    }

    private Set<String> reached(String macro, Set<String> reached) {
        if (reached.add(macro)) {
            calls.getOrDefault(macro, List.of()).forEach(call -> reached(call.to, reached));
        }
        return reached;
    }

    /** @param depthLimit how many macros may be inside each other below the first */
    void check(int depthLimit, Problems problems) {
        calls.keySet().forEach(macro -> visit(macro, problems));
        if (!circles) {
            calls.keySet().forEach(macro -> deep(macro, depthLimit, problems));
        }
    }

    private void visit(String macro, Problems problems) {
        if (done.contains(macro) || way.size() > 2000) {
            return;
        }
        way.add(macro);
        for (Call call : calls.getOrDefault(macro, List.of())) {
            int start = way.indexOf(call.to);
            if (start >= 0) {
                circle(way.subList(start, way.size()), call, problems);
            } else {
                visit(call.to, problems);
            }
        }
        way.removeLast();
        done.add(macro);
    }

    private void circle(List<String> macros, Call call, Problems problems) {
        circles = true;
        String circle = String.join(" -> ", macros) + " -> " + call.to;
        problems.error(call.spot,
                macros.size() == 1
                        ? "The macro " + call.to + " runs itself."
                        : "These macros run in a circle: " + circle + ".",
                "A run that starts itself again would never end.",
                macros.size() == 1 ? "Remove this step." : "Take one of them out of the circle.");
    }

    private int depth(String macro) {
        Integer known = depths.get(macro);
        if (known != null) {
            return known;
        }
        int depth = 0;
        for (Call call : calls.getOrDefault(macro, List.of())) {
            depth = Math.max(depth, 1 + depth(call.to));
        }
        depths.put(macro, depth);
        return depth;
    }

    private void deep(String macro, int limit, Problems problems) {
        for (Call call : calls.get(macro)) {
            if (depth(macro) == limit + 1 && depth(call.to) == limit) {
                problems.error(call.spot,
                        "From " + macro + ", macros run inside each other " + (limit + 1) + " deep.",
                        "The limit \"runDepth\" is " + limit + ", and a run that goes deeper fails.",
                        "Run fewer macros inside each other, or raise \"runDepth\" in site.json.");
            }
        }
    }
}
