package bellpush.runtime.cli;

import bellpush.config.model.Accepted;
import bellpush.config.problem.Problem;
import bellpush.config.problem.ProblemJson;
import bellpush.runtime.prove.Finding;
import java.io.StringWriter;
import java.util.List;
import java.util.Map;
import tools.jackson.core.JsonGenerator;
import tools.jackson.core.ObjectWriteContext;
import tools.jackson.core.json.JsonFactory;

/**
 * All that check has to say, for programs: an array of the objects that {@link ProblemJson} describes. A finding of the checker has
 * besides: finding (its word), of (the macro or lamp), about (may be empty), presses, hands (changes made at a device), story (an array of lines) and, if
 * it was accepted, accepted (the reason).
 */
final class CheckJson {
    private CheckJson() {}

    static String render(List<Problem> problems, List<Problem> besides, List<Finding> findings,
            Map<Finding, Accepted> accepted) {
        StringWriter out = new StringWriter();
        try (JsonGenerator json = new JsonFactory().createGenerator(ObjectWriteContext.empty(), out)) {
            json.writeStartArray();
            problems.forEach(problem -> ProblemJson.write(problem, json));
            besides.forEach(problem -> ProblemJson.write(problem, json));
            findings.forEach(finding -> write(finding, accepted.get(finding), json));
            json.writeEndArray();
        }
        return out.append('\n').toString();
    }

    private static void write(Finding finding, Accepted accepted, JsonGenerator json) {
        json.writeStartObject();
        ProblemJson.members(FindingText.problem(finding), json);
        json.writeStringProperty("finding", finding.what().word());
        json.writeStringProperty("of", finding.of());
        json.writeStringProperty("about", finding.about());
        json.writeNumberProperty("presses", finding.presses());
        json.writeNumberProperty("hands", finding.outside());
        json.writeArrayPropertyStart("story");
        finding.story().forEach(json::writeString);
        json.writeEndArray();
        if (accepted != null) {
            json.writeStringProperty("accepted", accepted.reason());
        }
        json.writeEndObject();
    }
}
