package bellpush.drivers.osc;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;

/**
 * An address that stands for several, by the rules of OSC 1.0, "OSC Message Dispatching and Pattern Matching":
 * {@code ?} one character, {@code *} any number of them, {@code [a-z]} one of these, {@code [!a-z]} one but these,
 * {@code {one,other}} one of these strings, none of them across a {@code /}; and by OSC 1.1, {@code //} for any number of
 * levels.
 *
 * <p>
 * All places that a pattern can have reached are followed side by side, so that matching takes time in proportion to pattern
 * times address, whatever the pattern; there is no backtracking for a hostile {@code *a*a*a*} to blow up. Immutable.
 */
public final class OscAddressPattern {
    private final List<Piece> pieces;

    private OscAddressPattern(List<Piece> pieces) {
        this.pieces = pieces;
    }

    /**
     * The pattern, or empty if it is none: brackets or braces that do not pair up, or more than 256 characters. An address
     * without special characters is a pattern that matches itself.
     */
    public static Optional<OscAddressPattern> of(String pattern) {
        return pattern.length() > OscLimits.PATTERN_CHARACTERS
                ? Optional.empty()
                : new Reader(pattern).read().map(OscAddressPattern::new);
    }

    static boolean wellFormed(String pattern) {
        return of(pattern).isPresent();
    }

    /** Whether an address is to be read as a pattern. */
    public static boolean isPattern(String address) {
        boolean slash = false;
        for (int i = 0; i < address.length(); i++) {
            char c = address.charAt(i);
            if (special(c) || slash && c == '/') {
                return true;
            }
            slash = c == '/';
        }
        return false;
    }

    static boolean special(char c) {
        return c == '*' || c == '?' || c == '[' || c == ']' || c == '{' || c == '}';
    }

    /** Whether the whole of {@code address}, which is taken literally, fits. */
    public boolean matches(String address) {
        int length = address.length();
        boolean[] reached = new boolean[length + 1];
        boolean[] next = new boolean[length + 1];
        reached[0] = true;
        for (Piece piece : pieces) {
            Arrays.fill(next, false);
            if (!piece.step(address, reached, next)) {
                return false;
            }
            boolean[] swap = reached;
            reached = next;
            next = swap;
        }
        return reached[length];
    }

    /** One element of a pattern: from the places reached before it to those reached after it. */
    private sealed interface Piece {
        /** Marks in {@code to} (all false before), and tells whether anything was marked. */
        boolean step(String address, boolean[] from, boolean[] to);
    }

    private record Literal(char c) implements Piece {
        @Override
        public boolean step(String address, boolean[] from, boolean[] to) {
            boolean any = false;
            for (int i = 0; i < address.length(); i++) {
                if (from[i] && address.charAt(i) == c) {
                    to[i + 1] = any = true;
                }
            }
            return any;
        }
    }

    /** One character of a set: bit n of {@code low} is character n, of {@code high} character 64 + n. */
    private record OneOf(long low, long high, boolean not) implements Piece {
        @Override
        public boolean step(String address, boolean[] from, boolean[] to) {
            boolean any = false;
            for (int i = 0; i < address.length(); i++) {
                char c = address.charAt(i);
                if (from[i] && c != '/' && contains(c) != not) {
                    to[i + 1] = any = true;
                }
            }
            return any;
        }

        private boolean contains(char c) {
            return c < 64 ? (low >>> c & 1) != 0 : c < 128 && (high >>> c - 64 & 1) != 0;
        }
    }

    private record AnyNumber() implements Piece {
        @Override
        public boolean step(String address, boolean[] from, boolean[] to) {
            boolean any = false;
            boolean going = false;
            for (int i = 0; i <= address.length(); i++) {
                going |= from[i];
                to[i] = going;
                any |= going;
                going &= i < address.length() && address.charAt(i) != '/';
            }
            return any;
        }
    }

    private record AnyLevels() implements Piece {
        @Override
        public boolean step(String address, boolean[] from, boolean[] to) {
            boolean any = false;
            boolean going = false;
            for (int i = 0; i < address.length(); i++) {
                going |= from[i] && address.charAt(i) == '/';
                if (going && address.charAt(i) == '/') {
                    to[i + 1] = any = true;
                }
            }
            return any;
        }
    }

    private record OneString(List<String> strings) implements Piece {
        @Override
        public boolean step(String address, boolean[] from, boolean[] to) {
            boolean any = false;
            for (int i = 0; i <= address.length(); i++) {
                if (from[i]) {
                    for (String string : strings) {
                        if (address.startsWith(string, i)) {
                            to[i + string.length()] = any = true;
                        }
                    }
                }
            }
            return any;
        }
    }

    /** Reads the text of a pattern once, left to right. */
    private static final class Reader {
        private final String text;
        private final List<Piece> pieces = new ArrayList<>();
        private int at;

        Reader(String text) {
            this.text = text;
        }

        Optional<List<Piece>> read() {
            while (at < text.length()) {
                char c = text.charAt(at++);
                boolean understood = switch (c) {
                    case '?' -> pieces.add(new OneOf(0, 0, true));
                    case '*' -> stars();
                    case '/' -> slash();
                    case '[' -> set();
                    case '{' -> strings();
                    case ']', '}' -> false;
                    default -> pieces.add(new Literal(c));
                };
                if (!understood) {
                    return Optional.empty();
                }
            }
            return Optional.of(pieces);
        }

        private boolean slash() {
            int from = at;
            while (at < text.length() && text.charAt(at) == '/') {
                at++;
            }
            return pieces.add(at > from ? new AnyLevels() : new Literal('/'));
        }

        /** Several stars in a row mean no more than one. */
        private boolean stars() {
            while (at < text.length() && text.charAt(at) == '*') {
                at++;
            }
            return pieces.add(new AnyNumber());
        }

        private boolean set() {
            int close = text.indexOf(']', at);
            if (close < 0) {
                return false;
            }
            boolean not = text.charAt(at) == '!';
            at += not ? 1 : 0;
            long low = 0;
            long high = 0;
            while (at < close) {
                char first = text.charAt(at);
                boolean range = at + 2 < close && text.charAt(at + 1) == '-'; // a '-' at either end is itself
                char last = range ? text.charAt(at + 2) : first;
                for (int c = first; c <= last && c < 128; c++) {
                    low |= c < 64 ? 1L << c : 0;
                    high |= c >= 64 ? 1L << c - 64 : 0;
                }
                at += range ? 3 : 1;
            }
            at = close + 1;
            return pieces.add(new OneOf(low, high, not));
        }

        private boolean strings() {
            int close = text.indexOf('}', at);
            int open = text.indexOf('{', at);
            if (close < 0 || open >= 0 && open < close) {
                return false;
            }
            List<String> strings = List.of(text.substring(at, close).split(",", -1));
            at = close + 1;
            return strings.stream().noneMatch(s -> s.indexOf('/') >= 0) && pieces.add(new OneString(strings));
        }
    }
}
