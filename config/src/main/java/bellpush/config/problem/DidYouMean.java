package bellpush.config.problem;

import java.util.Collection;
import java.util.List;
import java.util.Locale;
import java.util.Optional;

/**
 * Finds the known name that somebody probably meant. Letter case, hyphens, underscores and dots do not count; otherwise
 * the distance is the number of letters added, dropped, changed, or swapped with their neighbour (optimal string
 * alignment), and a third of the longer name may differ.
 */
public final class DidYouMean {
    private static final int LONGEST = 80;
    private static final int SHOWN = 12;

    private DidYouMean() {}

    public static Optional<String> closest(String written, Collection<String> known) {
        if (written.length() > LONGEST) {
            return Optional.empty();
        }
        String plain = plain(written);
        String best = null;
        int least = Integer.MAX_VALUE;
        for (String name : known) {
            if (name.length() > LONGEST) {
                continue;
            }
            String other = plain(name);
            int distance = distance(plain, other);
            if (distance <= Math.max(plain.length(), other.length()) / 3 && distance < least) {
                best = name;
                least = distance;
            }
        }
        return Optional.ofNullable(best);
    }

    /** A cure: the close name where there is one, else the names to choose from. */
    public static String cure(String written, Collection<String> known, String ifNone) {
        return closest(written, known).map(name -> "Did you mean \"" + name + "\"?")
                .orElseGet(() -> known.isEmpty() ? ifNone : "Known here: " + list(known) + ".");
    }

    /** The names in the order given, the first dozen of them. */
    public static String list(Collection<String> names) {
        List<String> shown = names.stream().limit(SHOWN).toList();
        int more = names.size() - shown.size();
        return String.join(", ", shown) + (more > 0 ? " and " + more + " more" : "");
    }

    private static String plain(String name) {
        return name.toLowerCase(Locale.ROOT).replaceAll("[-_. ]", "");
    }

    static int distance(String a, String b) {
        int[] before = new int[b.length() + 1];
        int[] above = new int[b.length() + 1];
        int[] row = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            above[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                boolean same = a.charAt(i - 1) == b.charAt(j - 1);
                row[j] = Math.min(Math.min(row[j - 1], above[j]) + 1, above[j - 1] + (same ? 0 : 1));
                if (i > 1 && j > 1 && a.charAt(i - 1) == b.charAt(j - 2) && a.charAt(i - 2) == b.charAt(j - 1)) {
                    row[j] = Math.min(row[j], before[j - 2] + 1);
                }
            }
            int[] free = before;
            before = above;
            above = row;
            row = free;
        }
        return above[b.length()];
    }
}
