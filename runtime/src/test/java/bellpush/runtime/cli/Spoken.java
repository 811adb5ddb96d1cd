package bellpush.runtime.cli;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.Map;

/** Runs commands as a person would and keeps what they said. */
final class Spoken {
    final StringWriter out = new StringWriter();
    final StringWriter err = new StringWriter();

    int code(String... arguments) {
        return code(false, Map.of(), arguments);
    }

    int code(boolean terminal, Map<String, String> environment, String... arguments) {
        return Bellpush.run(new Console(new PrintWriter(out), new PrintWriter(err), terminal, environment), arguments);
    }
}
