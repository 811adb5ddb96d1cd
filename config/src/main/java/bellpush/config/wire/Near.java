package bellpush.config.wire;

import java.util.List;

/** Which known word somebody may have meant. */
final class Near {
    private Near() {}

    /** The closest of the words if at most two letters differ (one, for short words), else an empty text. */
    static String to(String word, List<String> known) {
        String best = "";
        int least = word.length() <= 3 ? 2 : 3;
        for (String k : known) {
            int d = distance(word.toLowerCase(java.util.Locale.ROOT), k);
            if (d < least) {
                least = d;
                best = k;
            }
        }
        return best;
    }

    private static int distance(String a, String b) {
        if (Math.abs(a.length() - b.length()) > 2) {
            return Integer.MAX_VALUE;
        }
        int[] row = new int[b.length() + 1];
        for (int j = 0; j <= b.length(); j++) {
            row[j] = j;
        }
        for (int i = 1; i <= a.length(); i++) {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= b.length(); j++) {
                int substitute = diagonal + (a.charAt(i - 1) == b.charAt(j - 1) ? 0 : 1);
                diagonal = row[j];
                row[j] = Math.min(substitute, 1 + Math.min(row[j], row[j - 1]));
            }
        }
        return row[b.length()];
    }
}
