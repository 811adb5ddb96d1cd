package bellpush.runtime.cli;

import java.util.concurrent.Callable;
import picocli.AutoComplete;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** {@code bellpush completion}: for the shell. */
@Command(name = "completion", description = {
    "Prints a script that lets bash (and zsh) complete commands, options and files."}, footer = {"",
        "Example, for this shell only:", "  source <(bellpush completion)"})
final class CompletionCommand implements Callable<Integer> {
    private final Console console;

    @Spec
    CommandSpec spec;

    CompletionCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        console.out().print(AutoComplete.bash("bellpush", spec.root().commandLine()));
        return 0;
    }
}
