package bellpush.runtime.kit;

import bellpush.config.model.Board;
import java.util.List;
import java.util.Locale;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;

/** A wiring plan for people: plain text, which tells nothing by colour. */
public final class WiringText {
    private final WiringPlan plan;
    private final int width;
    private final StringBuilder out = new StringBuilder();

    private WiringText(WiringPlan plan, int width) {
        this.plan = plan;
        this.width = width;
    }

    /** @param width columns of the terminal, or of the page. Problems are not in it: they have a text of their own. */
    public static String of(String site, WiringPlan plan, int width) {
        return new WiringText(plan, Math.max(40, width)).write(site);
    }

    private String write(String site) {
        heading("Wiring of " + site);
        cautions();
        if (plan.header().isEmpty() && plan.chips().isEmpty()) {
            paragraph("Nothing in panel.json has a pin yet.");
        } else {
            header();
            colours();
            plan.chips().forEach(this::chip);
            lamps();
            currents();
            parts();
        }
        without();
        return out.toString();
    }

    private void cautions() {
        for (String caution : WiringPlan.CAUTIONS) {
            bullet("!", caution);
        }
    }

    private void header() {
        heading("At the header");
        paragraph(
                "Pin is the position on the header: 1 is the corner with the square pad, odd numbers are one row, even numbers the"
                        + " other. A ground pin may carry a bundle: one black lead from it, from part to part.");
        TextTable table = new TextTable("pin", "is", "for", "lead", "colour", "pull", "goes to");
        plan.header()
                .forEach(row -> table.row(String.valueOf(row.place()), row.contact(), row.use(), row.lead(),
                        row.colour(),
                        row.pull(), row.to()));
        out.append(table.render(width));
    }

    private void colours() {
        Set<String> used = new TreeSet<>();
        plan.header().forEach(row -> used.add(row.colour()));
        plan.chips().forEach(chip -> List.of(chip.supply(), chip.pins()).forEach(
                rows -> rows.forEach(row -> used.add(row.colour()))));
        out.append('\n');
        paragraph("Colours of leads, a proposal (common practice, no source): " + java.util.Arrays
                .stream(LeadColour.values())
                .filter(colour -> used.contains(colour.word())).map(colour -> colour.word() + ": " + colour.meaning())
                .collect(Collectors.joining("; ")) + ".");
    }

    private void chip(ChipTable chip) {
        heading("\"" + chip.name() + "\": " + chip.part() + (chip.bus().isEmpty() ? "" : ", on " + chip.bus()));
        boolean numbers = java.util.stream.Stream.concat(chip.supply().stream(), chip.pins().stream())
                .anyMatch(row -> row.place() > 0);
        if (numbers) {
            paragraph("Numbers are those of the DIP package, from memory of its data sheet: compare them with yours.");
        }
        if (!chip.supply().isEmpty()) {
            TextTable table = numbers
                    ? new TextTable("pin", "is", "colour", "goes to")
                    : new TextTable("is", "colour", "goes to");
            chip.supply().forEach(row -> {
                if (numbers) {
                    table.row(String.valueOf(row.place()), row.contact(), row.colour(), row.to());
                } else {
                    table.row(row.contact(), row.colour(), row.to());
                }
            });
            out.append(table.render(width)).append('\n');
        }
        chip.advice().forEach(this::paragraph);
        if (!chip.pins().isEmpty()) {
            out.append('\n');
            TextTable table = numbers
                    ? new TextTable("pin", "is", "for", "lead", "colour", "pull", "goes to")
                    : new TextTable("is", "for", "lead", "colour", "goes to");
            chip.pins().forEach(row -> {
                if (numbers) {
                    table.row(String.valueOf(row.place()), row.contact(), row.use(), row.lead(), row.colour(),
                            row.pull(),
                            row.to());
                } else {
                    table.row(row.contact(), row.use(), row.lead(), row.colour(), row.to());
                }
            });
            out.append(table.render(width));
        }
    }

    private void lamps() {
        List<LampPart> lamps = plan.lamps().stream().filter(lamp -> !(lamp.drive() instanceof LampPart.Drive.OfStrip))
                .toList();
        if (lamps.isEmpty()) {
            return;
        }
        heading("Resistors of the LEDs");
        paragraph("R = (supply - LED's voltage) / current, and the next higher value of E24 (IEC 60063).");
        TextTable table = new TextTable("lamp", "pin", "LED", "computed", "resistor", "then", "heat");
        for (LampPart lamp : lamps) {
            String led = (lamp.assumed() ? "assumed" : lamp.led().colour()) + ", " + Plain.number(lamp.led().volts())
                    + " V, "
                    + Plain.number(lamp.led().milliamps()) + " mA";
            switch (lamp.drive()) {
                case LampPart.Drive.Direct(LedResistor resistor) -> table.row(lamp.words(), lamp.pin().written(), led,
                        Plain.number(resistor.exactOhms()) + " Ω", E24.words(resistor.ohms()),
                        Plain.number(resistor.milliamps()) + " mA", Plain.number(resistor.milliwatts()) + " mW");
                case LampPart.Drive.Transistor(TransistorDriver driver) ->
                    table.row(lamp.words(), lamp.pin().written(), led,
                            Plain.number(driver.led().exactOhms()) + " Ω",
                            E24.words(driver.led().ohms()) + " at 5 V; " + E24.words(driver.baseOhms())
                                    + " to the base",
                            Plain.number(driver.led().milliamps()) + " mA",
                            Plain.number(driver.led().milliwatts()) + " mW");
                case LampPart.Drive.OwnSupply _ -> table.row(lamp.words(), lamp.pin().written(), led, "-",
                        "by its own supply and driver", "-", "-");
                case LampPart.Drive.OfStrip _ -> {
                }
            }
        }
        out.append(table.render(width));
    }

    private void currents() {
        if (plan.currents().isEmpty()) {
            return;
        }
        heading("Currents, at worst: every lamp lit, every contact closed");
        TextTable table = new TextTable("what", "mA", "of at most", "", "made of", "limit from");
        for (Current current : plan.currents()) {
            table.row(current.what(), one(current.milliamps()),
                    Double.isInfinite(current.limit()) ? "-" : one(current.limit()),
                    Double.isInfinite(current.limit()) ? "" : current.isOver() ? "TOO MUCH" : "good",
                    String.join(", ", current.items()), current.source());
        }
        out.append(table.render(width));
        if (plan.board().equals(Board.ANY)) {
            out.append('\n');
            paragraph(
                    "These limits of the header are right on every board. If yours is known to bear more, write it under \"board\" in"
                            + " panel.json.");
        }
    }

    private static String one(double milliamps) {
        return String.format(Locale.ROOT, "%.1f", milliamps);
    }

    private void parts() {
        heading("Parts");
        TextTable table = new TextTable("count", "part");
        plan.parts().forEach(part -> table.row(String.valueOf(part.count()), part.what()));
        out.append(table.render(width));
    }

    private void without() {
        if (!plan.without().isEmpty()) {
            heading("Without a pin");
            paragraph(String.join(", ", plan.without()) + ".");
            paragraph("They are on the drawn panel only. bellpush wiring SITE --propose proposes pins for them.");
        }
    }

    private void heading(String text) {
        if (!out.isEmpty()) {
            out.append('\n');
        }
        TextTable.wrapped(text, width).forEach(line -> out.append(line).append('\n'));
        out.append("=".repeat(Math.min(width, text.codePointCount(0, text.length())))).append('\n');
    }

    private void paragraph(String text) {
        TextTable.wrapped(text, width).forEach(line -> out.append(line).append('\n'));
    }

    private void bullet(String sign, String text) {
        boolean first = true;
        for (String line : TextTable.wrapped(text, width - 2)) {
            out.append(first ? sign + " " : "  ").append(line).append('\n');
            first = false;
        }
    }
}
