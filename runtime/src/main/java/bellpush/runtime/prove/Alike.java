package bellpush.runtime.prove;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.stream.Collectors;

/** One step that is wrong is told once, however many macros run it. */
final class Alike {
    private record Key(Finding.What what, String file, int line, int column, String of) {}

    private Alike() {}

    /** The findings by file and line; of those that are alike, the one with the shortest story, which names the others. */
    static List<Finding> together(List<Finding> findings) {
        Map<Key, List<Finding>> groups = new LinkedHashMap<>();
        for (Finding finding : findings) {
            boolean ofStep = switch (finding.what()) {
                case UNSTEADY, TOGGLE, DEVICE_DOWN -> true;
                default -> false;
            };
            groups.computeIfAbsent(
                    new Key(finding.what(), finding.at().file(), finding.at().line(), finding.at().column(),
                            ofStep ? "" : finding.of() + finding.found()),
                    _ -> new ArrayList<>()).add(finding);
        }
        return groups.values().stream().map(Alike::one)
                .sorted(Comparator.comparing((Finding f) -> f.at().file()).thenComparing(f -> f.at().line())
                        .thenComparing(f -> f.at().column()).thenComparing(Finding::what).thenComparing(Finding::of))
                .toList();
    }

    private static Finding one(List<Finding> group) {
        Finding first = group.stream().min(Comparator.comparingInt(Finding::presses).thenComparingInt(Finding::outside)
                .thenComparingInt(f -> f.story().size())).orElseThrow();
        String others = group.stream().map(Finding::of).distinct().filter(of -> !of.equals(first.of()))
                .collect(Collectors.joining(", "));
        return others.isEmpty()
                ? first
                : new Finding(first.what(), first.of(), first.at(), first.found(),
                        first.why() + " The same step is run by " + others + ".", first.cure(), first.presses(),
                        first.outside(), first.story());
    }
}
