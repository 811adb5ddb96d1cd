package bellpush.config.problem;

import java.io.StringWriter;
import java.util.List;
import tools.jackson.core.JsonGenerator;
import tools.jackson.core.ObjectWriteContext;
import tools.jackson.core.json.JsonFactory;

/**
 * Problems for programs: an array of objects with severity ("error" or "warning"), file, line, column, length, found, why
 * and cure. A problem of a whole folder has an empty file; one of a whole file has line 0.
 */
public final class ProblemJson {
    private ProblemJson() {}

    public static String render(List<Problem> problems) {
        StringWriter out = new StringWriter();
        try (JsonGenerator json = new JsonFactory().createGenerator(ObjectWriteContext.empty(), out)) {
            json.writeStartArray();
            problems.forEach(problem -> write(problem, json));
            json.writeEndArray();
        }
        return out.append('\n').toString();
    }

    /** Writes one of these objects where the generator stands. */
    public static void write(Problem problem, JsonGenerator json) {
        json.writeStartObject();
        members(problem, json);
        json.writeEndObject();
    }

    /** Writes the members of one of these objects, for an object that has more of them. */
    public static void members(Problem problem, JsonGenerator json) {
        json.writeStringProperty("severity", problem.severity() == Problem.Severity.ERROR ? "error" : "warning");
        json.writeStringProperty("file", problem.at().file());
        json.writeNumberProperty("line", problem.at().line());
        json.writeNumberProperty("column", problem.at().column());
        json.writeNumberProperty("length", problem.length());
        json.writeStringProperty("found", problem.found());
        json.writeStringProperty("why", problem.why());
        json.writeStringProperty("cure", problem.cure());
    }
}
