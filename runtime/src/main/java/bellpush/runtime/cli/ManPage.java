package bellpush.runtime.cli;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import picocli.CommandLine;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.Model.PositionalParamSpec;

/** A manual page in the macros of man(7), for section 1, from the descriptions of the commands. */
final class ManPage {
    private final StringBuilder page = new StringBuilder();
    private final CommandSpec top;

    private ManPage(CommandSpec top) {
        this.top = top;
    }

    static String of(CommandSpec top) {
        return new ManPage(top).write();
    }

    private String write() {
        macro(".TH " + top.name().toUpperCase(Locale.ROOT) + " 1 \"\" \"" + escaped(top.version()[0]) + "\"");
        macro(".SH NAME");
        text(top.name() + " - " + description(top).getFirst());
        macro(".SH SYNOPSIS");
        for (CommandLine command : top.subcommands().values()) {
            macro(".B " + escaped(command.getCommandSpec().qualifiedName()));
            String arguments = arguments(command.getCommandSpec());
            if (!arguments.isBlank()) {
                text(arguments); // an empty line would break the paragraph
            }
            macro(".br");
        }
        macro(".SH COMMANDS");
        top.subcommands().values().forEach(command -> command(command.getCommandSpec()));
        macro(".SH \"OPTIONS OF EVERY COMMAND\"");
        top.options().stream().filter(option -> !option.hidden()).forEach(this::option);
        macro(".SH \"EXIT STATUS\"");
        exitCodes(top);
        macro(".SH ENVIRONMENT");
        described("NO_COLOR", "If it is set and not empty, no colours are used.");
        described("BELLPUSH_JAVA_HOME", "The Java (25 or newer) to run with, if not the one that is found by itself.");
        return page.toString();
    }

    private void command(CommandSpec command) {
        macro(".SS " + escaped(command.name()));
        paragraphs(description(command));
        command.positionalParameters().forEach(this::parameter);
        command.options().stream().filter(option -> !option.hidden() && !option.inherited() && !isStandard(option))
                .forEach(this::option);
        List<String> footer = List.of(command.usageMessage().footer());
        if (!footer.isEmpty()) {
            macro(".PP");
            macro(".nf");
            footer.stream().filter(line -> !line.isBlank()).forEach(this::text);
            macro(".fi");
        }
        if (!command.usageMessage().exitCodeList().equals(top.usageMessage().exitCodeList())) {
            macro(".PP");
            text("Exit status:");
            exitCodes(command);
        }
    }

    private boolean isStandard(OptionSpec option) {
        return top.findOption(option.longestName()) != null;
    }

    private void exitCodes(CommandSpec command) {
        command.usageMessage().exitCodeList().forEach((code, meaning) -> described(code, format(meaning)));
    }

    private void option(OptionSpec option) {
        String label = option.arity().max() == 0 ? "" : " " + option.paramLabel();
        described(String.join(", ", option.names()) + label, description(option));
    }

    private void parameter(PositionalParamSpec parameter) {
        described(parameter.paramLabel(), description(parameter));
    }

    private void described(String term, String meaning) {
        macro(".TP");
        macro(".B " + escaped(term));
        text(meaning);
    }

    private static String arguments(CommandSpec command) {
        List<String> arguments = new ArrayList<>();
        command.positionalParameters().forEach(parameter -> arguments
                .add(parameter.arity().min() == 0 ? "[" + parameter.paramLabel() + "]" : parameter.paramLabel()));
        command.options().stream().filter(option -> !option.hidden() && !option.inherited())
                .filter(option -> !option.usageHelp() && !option.versionHelp())
                .forEach(option -> arguments.add("[" + option.longestName()
                        + (option.arity().max() == 0 ? "" : " " + option.paramLabel()) + "]"));
        return String.join(" ", arguments);
    }

    private static List<String> description(CommandSpec command) {
        return List.of(command.usageMessage().description()).stream().map(ManPage::format).toList();
    }

    private static String description(ArgSpec argument) {
        String value = argument.defaultValue() == null ? "" : argument.defaultValue();
        return format(String.join(" ", argument.description())).replace("${DEFAULT-VALUE}", value);
    }

    /** Descriptions are format strings to picocli: a doubled percent sign is one, and %n ends a line. */
    private static String format(String text) {
        return text.replace("%n", " ").replace("%%", "%");
    }

    private void paragraphs(List<String> paragraphs) {
        boolean first = true;
        for (String paragraph : paragraphs) {
            if (paragraph.isBlank()) {
                continue;
            }
            if (!first) {
                macro(".PP");
            }
            text(paragraph);
            first = false;
        }
    }

    private void macro(String line) {
        page.append(line).append('\n');
    }

    private void text(String line) {
        String escaped = escaped(line);
        // A line that begins like a macro is none.
        page.append(escaped.startsWith(".") || escaped.startsWith("'") ? "\\&" : "").append(escaped).append('\n');
    }

    private static String escaped(String text) {
        return text.replace("\\", "\\e").replace("-", "\\-").replace("\"", "\\(dq");
    }
}
