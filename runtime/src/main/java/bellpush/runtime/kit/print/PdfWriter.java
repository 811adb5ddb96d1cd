package bellpush.runtime.kit.print;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentInformation;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.PDPageContentStream;
import org.apache.pdfbox.pdmodel.common.PDRectangle;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.interactive.viewerpreferences.PDViewerPreferences;
import org.apache.pdfbox.util.Matrix;

/** Sheets as one PDF, a page each, at true size: 72 points are 25.4 mm. */
final class PdfWriter {
    private static final double POINTS_PER_MM = 72 / 25.4;
    private static final float[] DASHES_MM = {1.5f, 1f};
    private static final float[] NO_DASHES = {};
    /** Control points that make four curves a circle; off by less than 0.03 % of the radius. */
    private static final double CIRCLE = 0.5523;

    private final PDPageContentStream out;
    private final PDFont font;
    private final Typeface face;

    private PdfWriter(PDPageContentStream out, PDFont font, Typeface face) {
        this.out = out;
        this.font = font;
        this.face = face;
    }

    static void write(List<Sheet> sheets, Path file, Typeface face) throws IOException {
        try (PDDocument document = new PDDocument()) {
            PDDocumentInformation about = new PDDocumentInformation();
            about.setTitle(sheets.getFirst().title());
            document.setDocumentInformation(about);
            // Asks the printing program not to scale; most follow it.
            PDViewerPreferences preferences = new PDViewerPreferences(new org.apache.pdfbox.cos.COSDictionary());
            preferences.setPrintScaling(PDViewerPreferences.PRINT_SCALING.None);
            document.getDocumentCatalog().setViewerPreferences(preferences);
            PDFont font = Typeface.in(document);
            for (Sheet sheet : sheets) {
                PDPage page = new PDPage(new PDRectangle(points(sheet.widthMm()), points(sheet.heightMm())));
                document.addPage(page);
                try (PDPageContentStream out = new PDPageContentStream(document, page)) {
                    // From here on in millimetres; y still grows upwards, as letters stand.
                    out.transform(Matrix.getScaleInstance((float) POINTS_PER_MM, (float) POINTS_PER_MM));
                    new PdfWriter(out, font, face).marks(sheet);
                }
            }
            Path whole = file.resolveSibling(file.getFileName() + ".part");
            document.save(whole.toFile());
            Files.move(whole, file, java.nio.file.StandardCopyOption.REPLACE_EXISTING);
        }
    }

    private static float points(double mm) {
        return (float) (mm * POINTS_PER_MM);
    }

    private void marks(Sheet sheet) throws IOException {
        for (Mark mark : sheet.marks()) {
            draw(mark, sheet.heightMm());
        }
    }

    /** @param top where the sheet's upper edge is, upwards */
    private void draw(Mark mark, double top) throws IOException {
        switch (mark) {
            case Mark.Line line -> {
                pen(line.widthMm(), line.dashed());
                out.moveTo((float) line.x1(), (float) (top - line.y1()));
                out.lineTo((float) line.x2(), (float) (top - line.y2()));
                out.stroke();
            }
            case Mark.Box box -> {
                pen(box.widthMm(), box.dashed());
                out.addRect((float) box.x(), (float) (top - box.y() - box.height()), (float) box.width(),
                        (float) box.height());
                out.stroke();
            }
            case Mark.Ring ring -> {
                pen(ring.widthMm(), ring.dashed());
                ring(ring.x(), top - ring.y(), ring.diameter() / 2);
                out.stroke();
            }
            case Mark.Text text -> text(text, top);
            case Mark.Window window -> {
                out.saveGraphicsState();
                out.addRect((float) window.x(), (float) (top - window.y() - window.height()), (float) window.width(),
                        (float) window.height());
                out.clip();
                out.transform(Matrix.getTranslateInstance((float) (window.x() - window.fromX()),
                        (float) (top - window.y() + window.fromY() - window.of().heightMm())));
                marks(window.of());
                out.restoreGraphicsState();
            }
        }
    }

    private void pen(double widthMm, boolean dashed) throws IOException {
        out.setLineWidth((float) widthMm);
        out.setLineDashPattern(dashed ? DASHES_MM : NO_DASHES, 0);
    }

    private void ring(double x, double y, double radius) throws IOException {
        double c = radius * CIRCLE;
        out.moveTo((float) (x + radius), (float) y);
        curve(x + radius, y + c, x + c, y + radius, x, y + radius);
        curve(x - c, y + radius, x - radius, y + c, x - radius, y);
        curve(x - radius, y - c, x - c, y - radius, x, y - radius);
        curve(x + c, y - radius, x + radius, y - c, x + radius, y);
    }

    private void curve(double x1, double y1, double x2, double y2, double x3, double y3) throws IOException {
        out.curveTo((float) x1, (float) y1, (float) x2, (float) y2, (float) x3, (float) y3);
    }

    private void text(Mark.Text text, double top) throws IOException {
        double width = face.widthMm(text.text(), text.sizeMm());
        double left = text.x() - switch (text.align()) {
            case LEFT -> 0;
            case MIDDLE -> width / 2;
            case RIGHT -> width;
        };
        out.beginText();
        out.setFont(font, (float) text.sizeMm());
        out.newLineAtOffset((float) left, (float) (top - text.baseline()));
        out.showText(text.text());
        out.endText();
    }
}
