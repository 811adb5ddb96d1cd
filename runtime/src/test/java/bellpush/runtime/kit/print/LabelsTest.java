package bellpush.runtime.kit.print;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import bellpush.config.model.Site;
import bellpush.runtime.kit.SmallSite;
import java.awt.geom.Point2D;
import java.awt.geom.Rectangle2D;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import javax.xml.parsers.DocumentBuilderFactory;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.DoubleRange;
import net.jqwik.api.constraints.StringLength;
import org.apache.pdfbox.Loader;
import org.apache.pdfbox.contentstream.PDFGraphicsStreamEngine;
import org.apache.pdfbox.cos.COSName;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.graphics.image.PDImage;
import org.apache.pdfbox.text.PDFTextStripper;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import org.w3c.dom.Element;

class LabelsTest {
    /** 72 points are an inch, and an inch is 25.4 mm. */
    private static final double FIFTY_MM_POINTS = 141.73;
    private static final Typeface FACE = Typeface.load();

    @TempDir
    Path folder;

    /** What a printer would draw, in points of the page, clipping left out. */
    private static final class Strokes extends PDFGraphicsStreamEngine {
        private final List<double[]> lines = new ArrayList<>();
        private Point2D at = new Point2D.Double();

        private Strokes(PDPage page) {
            super(page);
        }

        static List<double[]> of(PDPage page) throws Exception {
            Strokes strokes = new Strokes(page);
            strokes.processPage(page);
            return strokes.lines;
        }

        @Override
        public void moveTo(float x, float y) {
            at = new Point2D.Double(x, y);
        }

        @Override
        public void lineTo(float x, float y) {
            lines.add(new double[]{Math.abs(x - at.getX()), Math.abs(y - at.getY())});
            at = new Point2D.Double(x, y);
        }

        @Override
        public Point2D getCurrentPoint() {
            return at;
        }

        @Override
        public void appendRectangle(Point2D a, Point2D b, Point2D c, Point2D d) {}

        @Override
        public void drawImage(PDImage image) {}

        @Override
        public void clip(int rule) {}

        @Override
        public void curveTo(float a, float b, float c, float d, float x, float y) {
            at = new Point2D.Double(x, y);
        }

        @Override
        public void closePath() {}

        @Override
        public void endPath() {}

        @Override
        public void strokePath() {}

        @Override
        public void fillPath(int rule) {}

        @Override
        public void fillAndStrokePath(int rule) {}

        @Override
        public void shadingFill(COSName name) {}
    }

    @ParameterizedTest
    @EnumSource(Paper.class)
    void rulersOfThePdfAreFiftyMillimetres(Paper paper) throws Exception {
        Labels.write(SmallSite.villageHall(), paper, folder);
        for (String file : List.of("strips.pdf", "front.pdf")) {
            try (PDDocument document = Loader.loadPDF(folder.resolve(file).toFile())) {
                for (PDPage page : document.getPages()) {
                    List<double[]> lines = Strokes.of(page);
                    assertThat(lines).as(file).anySatisfy(line -> {
                        assertThat(line[0]).isCloseTo(FIFTY_MM_POINTS, within(0.01));
                        assertThat(line[1]).isCloseTo(0, within(0.001));
                    }).anySatisfy(line -> {
                        assertThat(line[1]).isCloseTo(FIFTY_MM_POINTS, within(0.01));
                        assertThat(line[0]).isCloseTo(0, within(0.001));
                    });
                }
                assertThat(document.getDocumentCatalog().getViewerPreferences().getPrintScaling()).isEqualTo("None");
            }
        }
    }

    /** ISO 216: A4 is 210 by 297 mm. */
    @Test
    void pagesOfThePdfAreOfTheirPaper() throws Exception {
        Labels.write(SmallSite.villageHall(), Paper.A4, folder);
        try (PDDocument card = Loader.loadPDF(folder.resolve("cue-card.pdf").toFile())) {
            assertThat(card.getPage(0).getMediaBox().getWidth()).isCloseTo(595.28f, within(0.01f));
            assertThat(card.getPage(0).getMediaBox().getHeight()).isCloseTo(841.89f, within(0.01f));
        }
    }

    @Test
    void aUnitOfTheSvgIsAMillimetreAndItsRulersAreFifty() throws Exception {
        Labels.write(SmallSite.villageHall(), Paper.A4, folder);
        try (var files = Files.list(folder)) {
            for (Path file : files.filter(each -> each.toString().endsWith(".svg")).toList()) {
                Element svg = DocumentBuilderFactory.newInstance().newDocumentBuilder().parse(file.toFile())
                        .getDocumentElement();
                assertThat(svg.getAttribute("viewBox")).isEqualTo(("0 0 " + svg.getAttribute("width") + " "
                        + svg.getAttribute("height")).replace("mm", ""));
                if (!file.getFileName().toString().startsWith("cue")) {
                    var lines = svg.getElementsByTagName("line");
                    assertThat(IntStream.range(0, lines.getLength()).mapToObj(i -> (Element) lines.item(i)))
                            .anyMatch(line -> length(line, "x") == 50 && length(line, "y") == 0)
                            .anyMatch(line -> length(line, "y") == 50 && length(line, "x") == 0);
                }
            }
        }
    }

    private static double length(Element line, String axis) {
        return Math.round(
                (Double.parseDouble(line.getAttribute(axis + "2")) - Double.parseDouble(line.getAttribute(axis + "1")))
                        * 1000)
                / 1000.0;
    }

    @Test
    void everyLabelIsOnTheStripsOnTheFrontAndOnTheCard() throws Exception {
        Site site = SmallSite.villageHall();
        Labels.Result result = Labels.write(site, Paper.A4, folder);
        assertThat(result.notes()).isEmpty();
        for (String file : List.of("strips.pdf", "front.pdf", "cue-card.pdf")) {
            try (PDDocument document = Loader.loadPDF(folder.resolve(file).toFile())) {
                String text = new PDFTextStripper().getText(document);
                site.panel().buttons().values().forEach(button -> assertThat(text).as(file).contains(button.label()));
                site.panel().lamps().values().forEach(lamp -> assertThat(text).as(file).contains(lamp.label()));
            }
        }
        try (PDDocument card = Loader.loadPDF(folder.resolve("cue-card.pdf").toFile())) {
            assertThat(card.getNumberOfPages()).isEqualTo(1);
        }
    }

    @Test
    void holesAreWhereTheFaceHasThem() {
        Front front = Front.of(SmallSite.with("""
                { "buttons": { "x": { "label": "X" } }, "knobs": { "k": { "label": "K", "turns": "desk.level" } },
                  "face": { "width": 120, "height": 60, "places": { "x": [30, 31], "k": [80, 32] } } }""").panel());
        assertThat(front.holes()).extracting(Front.Hole::x, Front.Hole::y, Front.Hole::diameter).containsExactly(
                org.assertj.core.groups.Tuple.tuple(30.0, 31.0, 16.0),
                org.assertj.core.groups.Tuple.tuple(80.0, 32.0, 7.0));
        assertThat(front.notes()).isEmpty();
        Sheet whole = new FacePlate("Hall", front, Paper.A4, FACE).whole();
        Mark.Window plate = (Mark.Window) whole.marks().getFirst();
        Mark.Box outline = (Mark.Box) plate.of().marks().getFirst();
        assertThat(outline.width()).isEqualTo(120);
        assertThat(plate.of().marks()).filteredOn(Mark.Ring.class::isInstance).extracting(mark -> (Mark.Ring) mark)
                .anyMatch(
                        ring -> ring.x() - outline.x() == 30 && ring.y() - outline.y() == 31 && ring.diameter() == 16);
    }

    @Test
    void aFrontThatIsLargerThanAPageIsTiledWithoutALoss() {
        FacePlate plate = new FacePlate("Hall",
                Front.of(SmallSite
                        .with("""
                { "buttons": { "x": { "label": "X" } }, "face": { "width": 600, "height": 400, "places": { "x": [300, 200] } } }""")
                        .panel()),
                Paper.A4, FACE);
        List<Mark.Window> tiles = plate.pages().sheets().stream().flatMap(sheet -> sheet.marks().stream())
                .filter(Mark.Window.class::isInstance).map(mark -> (Mark.Window) mark).toList();
        assertThat(tiles).hasSizeGreaterThan(4);
        // Every point of the plate, on a grid of 10 mm, is on a page; outline and all.
        for (double x = 0; x <= 606; x += 10) {
            for (double y = 0; y <= 406; y += 10) {
                double px = x, py = y;
                assertThat(tiles).anyMatch(tile -> px >= tile.fromX() && px <= tile.fromX() + tile.width()
                        && py >= tile.fromY() && py <= tile.fromY() + tile.height());
            }
        }
    }

    @Test
    void holesThatDoNotFitAreTold() {
        Front front = Front.of(SmallSite
                .with("""
                { "buttons": { "x": { "label": "X" }, "y": { "label": "Y" }, "z": { "label": "Z" } },
                  "face": { "width": 100, "height": 50, "places": { "x": [20, 25], "y": [36, 25], "z": [98, 25] } } }""")
                .panel());
        assertThat(front.notes()).anyMatch(note -> note.contains("\"x\" and \"y\" are less than 3 mm apart"))
                .anyMatch(note -> note.contains("\"z\"") && note.contains("does not lie within"));
    }

    @Test
    void nutsAndCapsThatWouldTouchAreTold() {
        Front front = Front.of(SmallSite.with("""
                { "buttons": { "x": { "label": "X" }, "y": { "label": "Y" } },
                  "face": { "width": 100, "height": 50, "places": { "x": [20, 25], "y": [40, 25] } } }""").panel());
        assertThat(front.notes()).singleElement().asString().contains("\"x\" (button) and \"y\" (button) would touch",
                "20 mm apart", "need 21 mm");
    }

    @Test
    void aRockerHasAHoleOfItsOwnBesideItsStickOrAlone() {
        Front front = Front.of(everything().panel());
        assertThat(front.holes()).filteredOn(hole -> hole.item().name().equals("j")).extracting(Front.Hole::what)
                .containsExactly("joystick", "rocker switch, zoom");
        assertThat(front.holes()).filteredOn(hole -> hole.item().name().equals("r")).extracting(Front.Hole::part)
                .containsExactly(Part.ROCKER);
        assertThat(front.notes()).singleElement().asString().as("nothing is too near").contains("has no \"face\"");
    }

    @Test
    void noLetterOfTheCardIsTooSmallToRead() {
        for (Site site : List.of(SmallSite.villageHall(), crowded(40))) {
            assertThat(CueCard.of(site, Front.of(site.panel()), Paper.A4, FACE).sheets()).allSatisfy(
                    sheet -> assertThat(sheet.marks()).filteredOn(Mark.Text.class::isInstance)
                            .extracting(mark -> ((Mark.Text) mark).sizeMm()).allMatch(size -> size > 2.6));
        }
    }

    @Test
    void withoutAFaceEverythingLiesOnAGridRowByRow() {
        Front front = Front.of(SmallSite.with("""
                { "buttons": { "x": { "label": "X" }, "y": { "label": "Y" }, "z": { "label": "Z" } },
                  "faders": { "f": { "label": "F", "moves": "desk.level" } },
                  "rows": [["x", "y"], ["f"], ["z"]] }""").panel());
        assertThat(front.notes()).singleElement().asString().contains("has no \"face\"");
        assertThat(front.rowsAsTheyLie()).extracting(row -> row.stream().map(Front.Item::name).toList())
                .containsExactly(List.of("x", "y"), List.of("f"), List.of("z"));
        assertThat(front.rowsAsTheyLie().getFirst().get(1).x() - front.rowsAsTheyLie().getFirst().get(0).x())
                .isEqualTo(Front.PITCH_MM);
    }

    /** No text leaves its page, and no two texts lie over one another, on any page of the demo and of a crowded panel. */
    @Test
    void nothingIsCutOffOrWrittenOverSomethingElse() {
        for (Site site : List.of(SmallSite.villageHall(), crowded(40), everything())) {
            Front front = Front.of(site.panel());
            List<Sheet> sheets = new ArrayList<>(LabelStrips.of(site.name(), front, Paper.A4, FACE).sheets());
            FacePlate plate = new FacePlate(site.name(), front, Paper.LETTER, FACE);
            sheets.add(plate.whole());
            sheets.addAll(plate.pages().sheets());
            sheets.add(((Mark.Window) plate.whole().marks().getFirst()).of());
            sheets.addAll(CueCard.of(site, front, Paper.A4, FACE).sheets());
            sheets.forEach(LabelsTest::isTidy);
        }
    }

    private static void isTidy(Sheet sheet) {
        List<Mark.Text> texts = sheet.marks().stream().filter(Mark.Text.class::isInstance).map(mark -> (Mark.Text) mark)
                .filter(text -> !text.text().isEmpty()).toList();
        Rectangle2D page = new Rectangle2D.Double(0, 0, sheet.widthMm(), sheet.heightMm());
        for (int i = 0; i < texts.size(); i++) {
            Rectangle2D box = box(texts.get(i));
            assertThat(page.contains(box)).as("%s on %s", texts.get(i), sheet.title()).isTrue();
            for (Mark.Text other : texts.subList(i + 1, texts.size())) {
                assertThat(box.intersects(box(other))).as("%s over %s on %s", texts.get(i), other, sheet.title())
                        .isFalse();
            }
        }
    }

    /** Of the capitals: tails of letters may reach a little lower. */
    private static Rectangle2D box(Mark.Text text) {
        double width = FACE.widthMm(text.text(), text.sizeMm());
        double left = text.x() - switch (text.align()) {
            case LEFT -> 0;
            case MIDDLE -> width / 2;
            case RIGHT -> width;
        };
        double tall = text.sizeMm() * Typeface.CAPITAL;
        return new Rectangle2D.Double(left, text.baseline() - tall, width, tall);
    }

    private static Site crowded(int buttons) {
        return SmallSite.with(IntStream.range(0, buttons)
                .mapToObj(i -> "\"b" + i + "\": { \"label\": \"Very long label " + i
                        + "\", \"press\": \"open\", \"lamp\": {}, \"about\": \"" + "When it is time for it. ".repeat(4)
                        + "\" }")
                .collect(Collectors.joining(",", "{ \"buttons\": {", "} }")));
    }

    private static Site everything() {
        return SmallSite
                .with("""
                { "chips": { "adc": { "converter": "mcp3008", "bus": "spi-0.0" } },
                  "buttons": { "b": { "label": "Licht \u00fcber \u0428 \u2603", "press": "open", "lamp": {},
                      "double": { "run": "open" }, "hold": { "for": "1 s", "run": "open" } },
                    "own": { "label": "OWN", "press": "open", "lamp": { "about": "Blinking: it is nearly full." } } },
                  "switches": { "s": { "label": "SONGS", "on": "open" } },
                  "knobs": { "k": { "label": "K", "turns": "desk.level", "faster": 4, "push": { "press": "open", "turns": "desk.level" } } },
                  "faders": { "f": { "label": "F", "input": "adc.0", "moves": "desk.level" } },
                  "joysticks": { "j": { "label": "CAMERA", "axes": { "pan": { "input": "adc.1", "drives": "desk.speed" },
                        "zoom": { "contacts": [5, 6], "drives": "desk.turn" } } },
                      "r": { "label": "RAIL", "axes": { "slide": { "contacts": [16, 20], "drives": "desk.rise" } } } },
                  "lamps": { "l": { "label": "L", "rules": [ { "when": { "desk.light": true }, "show": "steady" } ] } } }""");
    }

    @Test
    void aCardThatIsTooMuchForOnePageHasTwoAndSaysSo() {
        Site site = crowded(40);
        Pages card = CueCard.of(site, Front.of(site.panel()), Paper.A4, FACE);
        assertThat(card.sheets()).hasSizeGreaterThan(1);
        assertThat(card.notes()).singleElement().asString().contains("does not fit on one page",
                card.sheets().size() + " pages");
        String text = card.sheets().stream().flatMap(sheet -> sheet.marks().stream())
                .filter(Mark.Text.class::isInstance)
                .map(mark -> ((Mark.Text) mark).text()).collect(Collectors.joining("\n"));
        IntStream.range(0, 40).forEach(i -> assertThat(text).contains("Very long label " + i));
    }

    @Test
    void theCardSaysWhatIsDeclaredInPlainWords() {
        CueWords words = new CueWords(everything());
        assertThat(words.of("b").orElseThrow().text())
                .containsExactly("Press: Open. Press twice: Open. Hold for 1 s: Open.");
        assertThat(words.of("s").orElseThrow().text()).containsExactly("On: Open.");
        assertThat(words.of("s").orElseThrow().act()).isEqualTo("switch");
        assertThat(words.of("k").orElseThrow().text().getFirst()).startsWith("Sound desk: level. ").contains(
                "dB a click; to the right is more; spin it to get there faster. Push: Open. Turn it pushed in: ");
        assertThat(words.of("f").orElseThrow().text().getFirst()).contains("From \u221260 dB to 10 dB",
                "It takes hold");
        assertThat(words.of("j").orElseThrow().text().getFirst()).startsWith("Stick: pan. ").contains(
                "Rocker beside it: zoom.", "Let go, and it stops");
        assertThat(words.of("r").orElseThrow().act()).isEqualTo("hold a side down");
        assertThat(words.of("l").orElseThrow().text().getFirst()).contains("Sound desk: light",
                "as sent; the gear itself does not tell");
        assertThat(words.of("own").orElseThrow()).isEqualTo(
                new CueWords.Entry("OWN", "press", List.of("Open.", "Blinking: it is nearly full.")));
        assertThat(words.of("nothing")).isEmpty();
        CueWords hall = new CueWords(SmallSite.villageHall());
        assertThat(hall.of("gear").orElseThrow())
                .isEqualTo(new CueWords.Entry("GEAR", "lamp", List.of("Steady: all the gear answers.")));
        assertThat(hall.of("stage").orElseThrow().act()).isEqualTo("press");
        assertThat(hall.of("song").orElseThrow().text()).as("what all lamps say is in the legend").hasSize(1);
        assertThat(hall.of("stream").orElseThrow().act()).isEqualTo("hold for 1.5 s");
        assertThat(hall.legend().get("Blinking fast")).contains("keep holding; let go early, and nothing happens");
        assertThat(hall.legend()).containsKeys("Steady", "Dark", "Blinking slowly", "Blinking fast", "Short flashes");
    }

    @Property(tries = 300)
    void aFittedTextIsNeverWiderOrTallerThanItsPlace(@ForAll @StringLength(max = 60) String text,
            @ForAll @DoubleRange(min = 3, max = 60) double width,
            @ForAll @DoubleRange(min = 2, max = 12) double height) {
        FittedText fitted = FittedText.in(text, width, height, 5, FACE);
        assertThat(fitted.heightMm()).isLessThanOrEqualTo(height + 1e-9);
        assertThat(fitted.lines()).hasSizeLessThanOrEqualTo(2)
                .allMatch(line -> FACE.widthMm(line, fitted.sizeMm()) <= width + 1e-9);
        assertThat(String.join(" ", fitted.lines())).isEqualTo(FACE.printable(text));
    }

    @Test
    void aLongLabelIsBrokenWhereItIsMostEven() {
        assertThat(FittedText.in("A very long label of many words", 28, 5, 3.6, FACE).lines())
                .containsExactly("A very long label", "of many words");
        assertThat(FittedText.in("END STREAM", 28, 5, 3.6, FACE).lines()).containsExactly("END STREAM");
    }

    @Test
    void whatTheFontHasNotIsAQuestionMark() {
        assertThat(FACE.printable("Tür \u03a9 \u0416 \u65e5\n!")).isEqualTo("Tür \u03a9 \u0416 ? !");
    }

    /** Adobe's metrics of Helvetica, from memory: A and M are 667 and 833 thousandths of an em wide. The font has the same. */
    @Test
    void theFontHasTheWidthsOfHelvetica() {
        assertThat(FACE.widthMm("A", 1)).isCloseTo(0.667, within(0.001));
        assertThat(FACE.widthMm("M", 1)).isCloseTo(0.833, within(0.001));
    }
}
