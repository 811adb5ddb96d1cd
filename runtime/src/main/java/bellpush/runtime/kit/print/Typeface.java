package bellpush.runtime.kit.print;

import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.text.Normalizer;
import org.apache.fontbox.ttf.CmapLookup;
import org.apache.fontbox.ttf.TTFParser;
import org.apache.fontbox.ttf.TrueTypeFont;
import org.apache.pdfbox.io.RandomAccessReadBuffer;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.font.PDFont;
import org.apache.pdfbox.pdmodel.font.PDType0Font;

/**
 * The one font of everything that is printed: a free sans serif that comes with the PDF library and has the widths of Helvetica. It
 * goes into each PDF, so that a print looks the same everywhere, and has Latin, Greek and Cyrillic letters.
 */
final class Typeface {
    /** Height of a capital letter, and depth of a letter's tail, as shares of the font's size. */
    static final double CAPITAL = 0.72;
    static final double TAIL = 0.22;
    /** From one baseline to the next. */
    static final double LEADING = 1.22;
    static final double MM_PER_POINT = 25.4 / 72;

    private static final String FONT = "/org/apache/pdfbox/resources/ttf/LiberationSans-Regular.ttf";
    /** Longer text is cut before any work is done on it. */
    private static final int LONGEST_CHARS = 2_000;

    private final TrueTypeFont font;
    private final CmapLookup glyphs;
    private final double unitsPerEm;

    private Typeface(TrueTypeFont font) throws IOException {
        this.font = font;
        this.glyphs = font.getUnicodeCmapLookup();
        this.unitsPerEm = font.getUnitsPerEm();
    }

    static Typeface load() {
        try (InputStream file = stream()) {
            return new Typeface(new TTFParser().parse(new RandomAccessReadBuffer(file)));
        } catch (IOException e) {
            throw new UncheckedIOException("The PDF library has no font", e);
        }
    }

    static PDFont in(PDDocument document) throws IOException {
        try (InputStream file = stream()) {
            return PDType0Font.load(document, file);
        }
    }

    private static InputStream stream() throws IOException {
        InputStream file = Typeface.class.getResourceAsStream(FONT);
        if (file == null) {
            throw new IOException(FONT + " is not there");
        }
        return file;
    }

    /** The text with what this font cannot print as question marks, and without line breaks and controls. */
    String printable(String text) {
        String bounded = text.length() > LONGEST_CHARS ? text.substring(0, LONGEST_CHARS) : text;
        StringBuilder printable = new StringBuilder();
        Normalizer.normalize(bounded, Normalizer.Form.NFC).codePoints().forEach(point -> {
            if (Character.isWhitespace(point) || Character.isISOControl(point)) {
                printable.append(' ');
            } else if (Character.getType(point) != Character.FORMAT) {
                printable.appendCodePoint(has(point) ? point : '?');
            }
        });
        return printable.toString().strip();
    }

    private boolean has(int point) {
        return glyphs.getGlyphId(point) != 0;
    }

    /** How wide a line of printable text is. */
    double widthMm(String printable, double sizeMm) {
        return printable.codePoints().mapToDouble(this::advance).sum() * sizeMm;
    }

    private double advance(int point) {
        try {
            return font.getAdvanceWidth(glyphs.getGlyphId(point)) / unitsPerEm;
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }
}
