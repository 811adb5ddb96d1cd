package bellpush.runtime.kit.print;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;

/** One sheet as SVG 1.1 at true size: a unit is a millimetre. */
final class SvgWriter {
    private final StringBuilder out = new StringBuilder();
    private final Typeface face;

    private SvgWriter(Typeface face) {
        this.face = face;
    }

    static void write(Sheet sheet, Path file, Typeface face) throws IOException {
        Files.writeString(file, of(sheet, face));
    }

    static String of(Sheet sheet, Typeface face) {
        SvgWriter writer = new SvgWriter(face);
        String width = number(sheet.widthMm());
        String height = number(sheet.heightMm());
        writer.line("<?xml version=\"1.0\" encoding=\"UTF-8\"?>");
        writer.line("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"" + width + "mm\" height=\"" + height
                + "mm\" viewBox=\"0 0 " + width + " " + height + "\" fill=\"none\" stroke=\"black\">");
        writer.line("<title>" + escaped(sheet.title()) + "</title>");
        writer.line("<rect width=\"" + width + "\" height=\"" + height + "\" fill=\"white\" stroke=\"none\"/>");
        sheet.marks().forEach(writer::draw);
        writer.line("</svg>");
        return writer.out.toString();
    }

    private void draw(Mark mark) {
        switch (mark) {
            case Mark.Line(double x1, double y1, double x2, double y2, double width, boolean dashed) ->
                line("<line" + at("x1", x1) + at("y1", y1) + at("x2", x2) + at("y2", y2) + pen(width, dashed) + "/>");
            case Mark.Box(double x, double y, double w, double h, double width, boolean dashed) -> line(
                    "<rect" + at("x", x) + at("y", y) + at("width", w) + at("height", h) + pen(width, dashed) + "/>");
            case Mark.Ring(double x, double y, double diameter, double width, boolean dashed) -> line(
                    "<circle" + at("cx", x) + at("cy", y) + at("r", diameter / 2) + pen(width, dashed) + "/>");
            case Mark.Text text -> text(text);
            case Mark.Window window -> {
                line("<svg" + at("x", window.x()) + at("y", window.y()) + at("width", window.width())
                        + at("height", window.height()) + " overflow=\"hidden\" viewBox=\"" + number(window.fromX())
                        + " "
                        + number(window.fromY()) + " " + number(window.width()) + " " + number(window.height())
                        + "\">");
                window.of().marks().forEach(this::draw);
                line("</svg>");
            }
        }
    }

    /** The length is written too, so that another font of the reader's takes no more room than the right one. */
    private void text(Mark.Text text) {
        if (text.text().isEmpty()) {
            return;
        }
        String anchor = switch (text.align()) {
            case LEFT -> "start";
            case MIDDLE -> "middle";
            case RIGHT -> "end";
        };
        line("<text" + at("x", text.x()) + at("y", text.baseline()) + at("font-size", text.sizeMm())
                + " font-family=\"'Liberation Sans', Helvetica, Arial, sans-serif\" text-anchor=\"" + anchor + "\""
                + at("textLength", face.widthMm(text.text(), text.sizeMm()))
                + " lengthAdjust=\"spacingAndGlyphs\" fill=\"black\" stroke=\"none\">" + escaped(text.text())
                + "</text>");
    }

    private static String pen(double widthMm, boolean dashed) {
        return at("stroke-width", widthMm) + (dashed ? " stroke-dasharray=\"1.5 1\"" : "");
    }

    private static String at(String name, double mm) {
        return " " + name + "=\"" + number(mm) + "\"";
    }

    private static String number(double mm) {
        String text = String.format(Locale.ROOT, "%.3f", mm);
        return text.replaceFirst("\\.?0+$", "");
    }

    private static String escaped(String text) {
        return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\"", "&quot;");
    }

    private void line(String text) {
        out.append(text).append('\n');
    }
}
