package bellpush.runtime.prove;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.UnaryOperator;
import java.util.stream.Collectors;

/** One step that is wrong is told once, however many macros run it. */
final class Alike {
    private record Key(Finding.What what, String file, int line, int column, String of, String about) {}

    private Alike() {}

    /** The findings by file and line; of those that are alike, the one with the shortest story, which names the others. */
    static List<Finding> together(List<Finding> findings, UnaryOperator<String> family) {
        Map<Key, List<Finding>> groups = new LinkedHashMap<>();
        for (Finding finding : findings) {
            boolean ofStep = switch (finding.what()) {
                case UNSTEADY, TOGGLE, DEVICE_DOWN -> true;
                default -> false;
            };
            groups.computeIfAbsent(
                    new Key(finding.what(), finding.at().file(), finding.at().line(), finding.at().column(),
                            ofStep ? "" : family.apply(finding.of()), finding.about()),
                    _ -> new ArrayList<>()).add(finding);
        }
        return groups.values().stream().map(group -> one(group, family))
                .sorted(Comparator.comparing((Finding f) -> f.at().file()).thenComparing(f -> f.at().line())
                        .thenComparing(f -> f.at().column()).thenComparing(Finding::what).thenComparing(Finding::of))
                .toList();
    }

    private static Finding one(List<Finding> group, UnaryOperator<String> family) {
        Finding first = group.stream().min(Comparator.comparingInt(Finding::presses).thenComparingInt(Finding::outside)
                .thenComparingInt(f -> f.story().size())).orElseThrow();
        String others = group.stream().map(Finding::of).distinct().filter(of -> !of.equals(first.of()))
                .collect(Collectors.joining(", "));
        boolean relatives = group.stream().map(Finding::of).map(family).distinct().count() == 1;
        return others.isEmpty()
                ? first
                : new Finding(first.what(), relatives ? family.apply(first.of()) : first.of(), first.about(),
                        first.at(), first.found(),
                        first.why() + (relatives ? " The same is so of " : " The same step is run by ") + others + ".",
                        first.cure(), first.presses(), first.outside(), first.story());
    }
}
