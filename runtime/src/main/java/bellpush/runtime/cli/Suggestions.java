package bellpush.runtime.cli;

import bellpush.config.problem.DidYouMean;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import picocli.CommandLine;

/** What somebody probably meant who typed a command or option that there is not. */
final class Suggestions {
    private Suggestions() {}

    /** What was typed that has no meaning there, in one sentence. */
    static String notKnown(CommandLine.UnmatchedArgumentException error, CommandLine command) {
        String name = command.getCommandSpec().qualifiedName();
        String written = error.getUnmatched().isEmpty() ? "" : error.getUnmatched().getFirst();
        if (written.startsWith("-")) {
            return name + " has no option " + written + ".";
        }
        return command.getSubcommands().isEmpty()
                ? name + " does not know what to do with \"" + written + "\"."
                : name + " has no command " + written + ".";
    }

    static Optional<String> of(CommandLine.UnmatchedArgumentException error, CommandLine command) {
        if (error.getUnmatched().isEmpty()) {
            return Optional.empty();
        }
        String written = error.getUnmatched().getFirst();
        boolean option = written.startsWith("-");
        List<String> known = new ArrayList<>();
        if (option) {
            command.getCommandSpec().options().forEach(o -> known.add(o.longestName()));
        } else {
            known.addAll(command.getSubcommands().keySet());
        }
        String name = option && written.contains("=") ? written.substring(0, written.indexOf('=')) : written;
        return DidYouMean.closest(name, known).map(meant -> "Did you mean " + meant + "?");
    }
}
