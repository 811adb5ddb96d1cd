package bellpush.runtime.cli;

import java.io.PrintWriter;
import java.nio.charset.StandardCharsets;
import java.util.Map;

/**
 * Where a command speaks. Passed in, so that a test can listen.
 *
 * @param out         results, for people or programs
 * @param err         what went wrong, and progress
 * @param terminal    whether a person sits at both ends: standard input and output are a terminal
 * @param environment the environment variables
 */
record Console(PrintWriter out, PrintWriter err, boolean terminal, Map<String, String> environment) {
    static Console ofProcess() {
        return new Console(new PrintWriter(System.out, true, StandardCharsets.UTF_8),
                new PrintWriter(System.err, true, StandardCharsets.UTF_8),
                System.console() != null && System.console().isTerminal(), System.getenv());
    }

    /** Only on a terminal that can, and not where the person does not want it (the convention of the variable NO_COLOR). */
    boolean colours() {
        return terminal && environment.getOrDefault("NO_COLOR", "").isEmpty()
                && !"dumb".equals(environment.get("TERM"));
    }
}
