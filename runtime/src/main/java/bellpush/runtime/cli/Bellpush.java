package bellpush.runtime.cli;

import bellpush.runtime.panel.PanelException;
import bellpush.runtime.show.ErrorWords;
import java.util.List;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.ScopeType;
import picocli.CommandLine.Spec;

/** The program's entry: one command for each thing a person wants. */
@Command(name = "bellpush", mixinStandardHelpOptions = true, versionProvider = Bellpush.Version.class, sortOptions = false, scope = ScopeType.INHERIT, usageHelpAutoWidth = true, description = "Runs a home-made panel of buttons, knobs and lamps: one press becomes a chain of commands to every"
        + " piece of gear in the room, and the lamps tell the truth about it.", synopsisSubcommandLabel = "COMMAND", optionListHeading = "%nOptions:%n", parameterListHeading = "%n", commandListHeading = "%nCommands:%n", exitCodeListHeading = "%nExit codes:%n", exitCodeList = {
            "0:all is well", "1:something is wrong, and the output says what", "2:wrong usage"})
public final class Bellpush implements Runnable {
    static final int WRONG_USAGE = 2;

    /** The name of the system property with the folder of the demo sites, set by the launcher. */
    static final String DEMO_SITES = "bellpush.sites";

    @Option(names = "--debug", scope = ScopeType.INHERIT, description = "Show the whole trace of an unexpected error. Wanted only by those who mend Bellpush itself.")
    boolean debug;

    @Spec
    CommandSpec spec;

    /** Ends the process with the command's exit code. */
    public static void main(String[] arguments) {
        System.exit(run(Console.ofProcess(), arguments));
    }

    /** Runs one command to its end and returns its exit code. Prints only to the console given. */
    static int run(Console console, String... arguments) {
        CommandLine line = commandLine(console);
        int code = line.execute(arguments);
        console.out().flush();
        console.err().flush();
        return code;
    }

    static CommandLine commandLine(Console console) {
        Bellpush top = new Bellpush();
        CommandLine line = new CommandLine(top);
        for (Object command : List.of(new RunCommand(console, top), new CheckCommand(console),
                new RehearseCommand(console, top), new WiringCommand(console), new LabelsCommand(console),
                new NewCommand(console), new SchemaCommand(console),
                new ManCommand(console), new CompletionCommand(console))) {
            line.addSubcommand(command);
        }
        line.setOut(console.out()).setErr(console.err());
        line.setColorScheme(CommandLine.Help.defaultColorScheme(
                console.colours() ? CommandLine.Help.Ansi.ON : CommandLine.Help.Ansi.OFF));
        line.setParameterExceptionHandler(Bellpush::wrongUsage);
        line.setExecutionExceptionHandler((error, command, _) -> top.failed(error, command));
        line.setCaseInsensitiveEnumValuesAllowed(true);
        return line;
    }

    @Override
    public void run() {
        throw new CommandLine.ParameterException(spec.commandLine(), "Say what to do.");
    }

    /** One sentence about the mistake, what was probably meant, and where help is. */
    private static int wrongUsage(CommandLine.ParameterException error, String[] arguments) {
        CommandLine command = error.getCommandLine();
        command.getErr().println(error instanceof CommandLine.UnmatchedArgumentException unmatched
                ? Suggestions.notKnown(unmatched, command)
                : sentence(error.getMessage()));
        if (error instanceof CommandLine.UnmatchedArgumentException unknown) {
            Suggestions.of(unknown, command).ifPresent(command.getErr()::println);
        }
        command.getErr().println(error instanceof CommandLine.UnmatchedArgumentException || arguments.length > 0
                ? "See: " + command.getCommandSpec().qualifiedName() + " --help"
                : commands(command));
        return WRONG_USAGE;
    }

    private static String commands(CommandLine command) {
        return "Commands: " + String.join(", ", command.getSubcommands().keySet()) + ". See: "
                + command.getCommandSpec().qualifiedName() + " --help";
    }

    private static String sentence(String message) {
        return message.endsWith(".") ? message : message + ".";
    }

    private int failed(Exception error, CommandLine command) {
        if (error instanceof Complaint || error instanceof PanelException) {
            command.getErr().println(error.getMessage());
        } else {
            command.getErr().println("Unexpected: " + ErrorWords.of(error)
                    + (debug ? "" : ". Run it again with --debug to see where it comes from."));
        }
        if (debug) {
            error.printStackTrace(command.getErr());
        }
        return 1;
    }

    /** The version that the jar was built as. */
    static final class Version implements CommandLine.IVersionProvider {
        @Override
        public String[] getVersion() {
            String built = Bellpush.class.getPackage().getImplementationVersion();
            return new String[]{"bellpush " + (built == null ? "(not from a jar)" : built),
                "Java " + Runtime.version()};
        }
    }
}
