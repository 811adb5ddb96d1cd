package bellpush.runtime.cli;

import java.util.concurrent.Callable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Spec;

/** {@code bellpush man}: the manual page, made from the same descriptions as {@code --help}. */
@Command(name = "man", description = {"Prints the manual page, in the format that man reads."}, footer = {"",
    "Example:", "  bellpush man | man -l -"})
final class ManCommand implements Callable<Integer> {
    private final Console console;

    @Spec
    CommandSpec spec;

    ManCommand(Console console) {
        this.console = console;
    }

    @Override
    public Integer call() {
        console.out().print(ManPage.of(spec.root()));
        return 0;
    }
}
