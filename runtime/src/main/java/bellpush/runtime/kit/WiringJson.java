package bellpush.runtime.kit;

import bellpush.config.problem.ProblemJson;
import java.io.StringWriter;
import java.util.List;
import java.util.Optional;
import tools.jackson.core.JsonGenerator;
import tools.jackson.core.ObjectWriteContext;
import tools.jackson.core.json.JsonFactory;

/**
 * A wiring plan for programs: one object. Fields are only ever added to it.
 *
 * <ul>
 * <li>{@code site}, {@code board} ({@code chip}, {@code milliampsPerPin}, {@code milliampsTogether});
 * <li>{@code header}: {@code position} 1 to 40, {@code contact}, {@code for}, {@code lead}, {@code colour}, {@code pull}, {@code to};
 * <li>{@code chips}: {@code name}, {@code part}, {@code bus}, {@code supply} and {@code pins} (as {@code header}, with {@code number} of the
 * package, 0 where it is not known, in place of {@code position}), {@code advice};
 * <li>{@code lamps}: {@code lamp}, {@code channel}, {@code pin}, {@code led} ({@code colour}, {@code volts}, {@code milliamps},
 * {@code assumed}), {@code drive} ({@code pin}, {@code transistor}, {@code own supply}, {@code strip}), and where there is one
 * {@code ohms}, {@code exactOhms}, {@code milliamps}, {@code milliwatts}, {@code baseOhms};
 * <li>{@code currents}: {@code what}, {@code milliamps}, {@code limit} (absent where there is none), {@code over}, {@code items},
 * {@code source};
 * <li>{@code parts}: {@code count}, {@code what}; {@code problems}: as of {@code check --json}; {@code without}: names;
 * {@code cautions}: sentences;
 * <li>{@code proposal}, if one was asked for: {@code panel}, the snippet for panel.json, and {@code notes}, sentences.
 * </ul>
 */
public final class WiringJson {
    private final JsonGenerator json;

    private WiringJson(JsonGenerator json) {
        this.json = json;
    }

    public static String of(String site, WiringPlan plan, Optional<Proposal> proposal) {
        StringWriter out = new StringWriter();
        try (JsonGenerator json = new JsonFactory().createGenerator(ObjectWriteContext.empty(), out)) {
            new WiringJson(json).write(site, plan, proposal);
        }
        return out.append('\n').toString();
    }

    private void write(String site, WiringPlan plan, Optional<Proposal> proposal) {
        json.writeStartObject();
        json.writeStringProperty("site", site);
        json.writeObjectPropertyStart("board");
        json.writeStringProperty("chip", plan.board().chip());
        json.writeNumberProperty("milliampsPerPin", plan.board().milliampsPerPin());
        json.writeNumberProperty("milliampsTogether", plan.board().milliampsTogether());
        json.writeEndObject();
        rows("header", "position", plan.header());
        json.writeArrayPropertyStart("chips");
        plan.chips().forEach(this::chip);
        json.writeEndArray();
        json.writeArrayPropertyStart("lamps");
        plan.lamps().forEach(this::lamp);
        json.writeEndArray();
        json.writeArrayPropertyStart("currents");
        plan.currents().forEach(this::current);
        json.writeEndArray();
        json.writeArrayPropertyStart("parts");
        plan.parts().forEach(part -> {
            json.writeStartObject();
            json.writeNumberProperty("count", part.count());
            json.writeStringProperty("what", part.what());
            json.writeEndObject();
        });
        json.writeEndArray();
        json.writeArrayPropertyStart("problems");
        plan.problems().forEach(problem -> ProblemJson.write(problem, json));
        json.writeEndArray();
        texts("without", plan.without());
        texts("cautions", WiringPlan.CAUTIONS);
        proposal.ifPresent(each -> {
            json.writeObjectPropertyStart("proposal");
            json.writeName("panel");
            each.write(json);
            texts("notes", each.notes());
            json.writeEndObject();
        });
        json.writeEndObject();
    }

    private void rows(String name, String place, List<Row> rows) {
        json.writeArrayPropertyStart(name);
        for (Row row : rows) {
            json.writeStartObject();
            json.writeNumberProperty(place, row.place());
            json.writeStringProperty("contact", row.contact());
            json.writeStringProperty("for", row.use());
            json.writeStringProperty("lead", row.lead());
            json.writeStringProperty("colour", row.colour());
            json.writeStringProperty("pull", row.pull());
            json.writeStringProperty("to", row.to());
            json.writeEndObject();
        }
        json.writeEndArray();
    }

    private void chip(ChipTable chip) {
        json.writeStartObject();
        json.writeStringProperty("name", chip.name());
        json.writeStringProperty("part", chip.part());
        json.writeStringProperty("bus", chip.bus());
        rows("supply", "number", chip.supply());
        rows("pins", "number", chip.pins());
        texts("advice", chip.advice());
        json.writeEndObject();
    }

    private void lamp(LampPart lamp) {
        json.writeStartObject();
        json.writeStringProperty("lamp", lamp.name());
        json.writeStringProperty("channel", lamp.channel());
        json.writeStringProperty("pin", lamp.pin().written());
        json.writeObjectPropertyStart("led");
        json.writeStringProperty("colour", lamp.led().colour());
        json.writeNumberProperty("volts", lamp.led().volts());
        json.writeNumberProperty("milliamps", lamp.led().milliamps());
        json.writeBooleanProperty("assumed", lamp.assumed());
        json.writeEndObject();
        switch (lamp.drive()) {
            case LampPart.Drive.Direct(LedResistor resistor) -> {
                json.writeStringProperty("drive", "pin");
                resistor(resistor);
            }
            case LampPart.Drive.Transistor(TransistorDriver driver) -> {
                json.writeStringProperty("drive", "transistor");
                resistor(driver.led());
                json.writeNumberProperty("baseOhms", driver.baseOhms());
            }
            case LampPart.Drive.OwnSupply _ -> json.writeStringProperty("drive", "own supply");
            case LampPart.Drive.OfStrip _ -> json.writeStringProperty("drive", "strip");
        }
        json.writeEndObject();
    }

    private void resistor(LedResistor resistor) {
        json.writeNumberProperty("exactOhms", resistor.exactOhms());
        json.writeNumberProperty("ohms", resistor.ohms());
        json.writeNumberProperty("milliamps", resistor.milliamps());
        json.writeNumberProperty("milliwatts", resistor.milliwatts());
    }

    private void current(Current current) {
        json.writeStartObject();
        json.writeStringProperty("what", current.what());
        json.writeNumberProperty("milliamps", current.milliamps());
        if (!Double.isInfinite(current.limit())) {
            json.writeNumberProperty("limit", current.limit());
        }
        json.writeBooleanProperty("over", current.isOver());
        texts("items", current.items());
        json.writeStringProperty("source", current.source());
        json.writeEndObject();
    }

    private void texts(String name, List<String> texts) {
        json.writeArrayPropertyStart(name);
        texts.forEach(json::writeString);
        json.writeEndArray();
    }
}
