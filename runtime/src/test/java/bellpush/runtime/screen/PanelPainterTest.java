package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.fail;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Site;
import bellpush.runtime.screen.Scene.Dialogue;
import bellpush.runtime.screen.Scene.LampSeen;
import bellpush.runtime.screen.Scene.LinkSeen;
import bellpush.runtime.screen.Scene.Touch;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class PanelPainterTest {
    private static final Scene EVENING = new Scene("Rehearsal: simulated gear",
            Map.of("poem", new LampSeen(1, Optional.of("green"), Optional.of(Look.of(Look.Pattern.STEADY))), "rail",
                    new LampSeen(0, Optional.empty(), Optional.of(Look.of(Look.Pattern.SLOW))), "near",
                    new LampSeen(0.3, Optional.empty(), Optional.of(Look.of(Look.Pattern.STEADY)))),
            Map.of("iris", "40 %"),
            Map.of("mixer", new LinkSeen(LinkState.UP, ""), "projector",
                    new LinkSeen(LinkState.DOWN, "connection refused"), "lights",
                    new LinkSeen(LinkState.STALE, "no answer for 4 s")),
            List.of("Poem", "Rail home"), List.of("first", "second", "third", "fourth", "fifth"),
            Map.of("stream", Touch.HELD), "speaker", Dialogue.NONE, Map.of(), Optional.empty());

    private static Canvas paint(Site site, Scene scene, Marks marks, int width, int height) {
        KeyPlan keys = new KeyPlan(site.panel(),
                PanelLayout.rows(site.panel()).stream().flatMap(List::stream).toList());
        return new PanelPainter(site, keys, marks).paint(scene,
                PanelLayout.of(site.panel(), site.devices().size(), width, height), width, height);
    }

    private static String drawn(Scene scene, Marks marks, int width, int height) {
        return paint(MadeUpSite.full().site(), scene, marks, width, height).drawn();
    }

    @Test
    void everythingFitsTheUsualWindow() {
        assertThat(drawn(EVENING, Marks.UNICODE, 80, 24)).isEqualTo("""
                 Village hall                                         Rehearsal: simulated gear
                ╭ a ───────╮ ╭ b ───────╮ ╭ c ───────╮ ╭ d ───────╮ ╭ e  green ╮ ╭ f ───────╮
                │ WELCOME  │ │»SPEAKER «│ │  SLIDES  │ │SPEAKER +…│ │   POEM   │ │SONG WORDS│
                ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰ ● steady ╯ ╰─ ○ off ──╯
                ╭ g ───────╮ ╭ h ───────╮ ╭ i ───────╮ ╭ j ───────╮ ╭ k ───────╮ ╭ l ───────╮
                │  CHOIR   │ │  PIANO   │ │WHOLE HALL│ │   NEAR   │ │   FAR    │ │RAIL HOME │
                ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰ ◐ steady ╯ ╰─ ○ off ──╯ ╰─ ○ slow ─╯
                ╭ m ───────╮ ╭ n ───────╮ ╭ o ───────╮ ╭ p ───────╮ ┏ r ━ held ┓ ╭ s ──── S ╮
                │  SCREEN  │ │  BLANK   │ │   MICS   │ │TEA BREAK │ ┃  STREAM  ┃ │GOOD NIGHT│
                ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰─ ○ off ──╯ ╰─ ○ off ──╯ ┗━ ○ off ━━┛ ╰─ ○ off ──╯
                ╭ [ ──── ] ╮ ╭ , ──── . ╮
                │−  IRIS  +│ │− LEVEL  +│     GEAR        ON AIR
                ╰── 40 % ──╯ ╰─── ? ────╯    ○ off        ○ off
                ── running: Poem, Rail home ────────────────────────────────────────────────────
                 ✓ up    Vision mixer                    ✗ down  Slides computer  no connectio…
                 ✗ down  Stage camera  no connection y…  ✗ down  Sound desk  no connection yet
                 ✗ down  Rail camera  no connection yet  ✗ down  Stream encoder  no connection…
                 ✗ down  Projector  connection refused   ~ stale House lights  no answer for 4…
                ── log ─────────────────────────────────────────────────────────────────────────
                 second
                 third
                 fourth
                 fifth
                 letter: press   capital: hold   [ ]: turn   Tab: select   ?: help   q: leave
                """);
    }

    @Test
    void asciiSaysTheSame() {
        String ascii = drawn(EVENING, Marks.ASCII, 80, 24);
        assertThat(ascii.chars()).allMatch(c -> c == '\n' || c >= ' ' && c < 127);
        assertThat(ascii).contains("(*) steady", "(+) steady", "( ) slow", "x down  Projector", "# r # held #");
    }

    @Test
    void aWideWindowPutsTheGearBesideThePanel() {
        assertThat(drawn(EVENING, Marks.UNICODE, 130, 40)).contains("gear: 1 of 8 up", "hold S", "SPEAKER +",
                "✗ down  Projector  connection refu");
    }

    @Test
    void aLowWindowKeepsBoxesAndLosesLogLines() {
        String drawn = drawn(EVENING, Marks.UNICODE, 80, 18);
        assertThat(drawn).contains("╭ a ", "Projector", "fifth").doesNotContain("fourth");
    }

    @Test
    void aLowerWindowLosesTheEdgesAndThenTheGear() {
        assertThat(drawn(EVENING, Marks.UNICODE, 80, 16)).contains("a  WELCOME", "● steady", "○ off  held",
                "running: Poem", "Projector", "fifth").doesNotContain("╭");
        assertThat(drawn(EVENING, Marks.UNICODE, 80, 12)).contains("a WELCOME", "running: Poem", "fifth")
                .doesNotContain("Projector");
    }

    @Test
    void aPanelOfSevenRowsFitsTheUsualWindowWithItsGear() {
        MadeUpSite made = MadeUpSite.full();
        List<String> names = List.copyOf(made.site().panel().buttons().keySet());
        made.rows(IntStream.range(0, 6).mapToObj(row -> names.subList(row * 3, row * 3 + 3)).toList());
        String drawn = paint(made.site(), EVENING, Marks.UNICODE, 80, 24).drawn();
        assertThat(drawn).contains("GOOD NIGHT", "IRIS", "ON AIR", "Projector", "House lights", "fifth");
    }

    @Test
    void aTinyWindowSaysWhatIsNeeded() {
        assertThat(drawn(EVENING, Marks.UNICODE, 60, 5))
                .startsWith("Make the window larger: this panel needs 60 columns")
                .doesNotContain("POEM");
    }

    @Test
    void theQuestionIsSeenInATinyWindowToo() {
        Scene asking = new Scene("", Map.of(), Map.of(), Map.of(), List.of(), List.of(), Map.of(), "",
                Dialogue.LEAVE, Map.of(), Optional.empty());
        assertThat(drawn(asking, Marks.UNICODE, 60, 5)).contains("Leave? y/n");
    }

    @Test
    void helpBeginsWithTheCaution() {
        Scene helping = new Scene("", Map.of(), Map.of(), Map.of(), List.of(), List.of(), Map.of(), "", Dialogue.HELP,
                Map.of(), Optional.empty());
        assertThat(drawn(helping, Marks.UNICODE, 80, 24)).contains("CAUTION", "emergency stop", "has failed",
                "any key goes back");
        assertThat(drawn(helping, Marks.UNICODE, 80, 18)).contains("CAUTION", "emergency stop");
    }

    @Test
    void theModeStaysWhereTheNameHasNoRoom() {
        assertThat(drawn(EVENING, Marks.UNICODE, 30, 30)).contains("Rehearsal: simulated gear");
    }

    @Test
    void noSizeBreaksItAndNothingLiesOutsideOrOnEachOther() {
        List<Site> sites = List.of(MadeUpSite.full().site(), MadeUpSite.full().rows(List.of()).site(),
                new MadeUpSite().site(), new MadeUpSite().button("only", "").site(""),
                IntStream.range(0, 60).boxed().reduce(new MadeUpSite(),
                        (made, i) -> made.button("b" + i, "漢字🎤 " + i).device("d" + i, "漢字 " + i), (a, b) -> a).site());
        for (Site site : sites) {
            for (Dialogue dialogue : Dialogue.values()) {
                Scene scene = new Scene(EVENING.mode(), EVENING.lamps(), EVENING.values(), EVENING.links(),
                        EVENING.running(), EVENING.lines(), EVENING.touched(), EVENING.selected(), dialogue,
                        EVENING.whys(), EVENING.off());
                for (int width = 0; width <= 170; width += width < 24 ? 1 : 17) {
                    for (int height = 0; height <= 70; height += height < 26 ? 1 : 11) {
                        paint(site, scene, Marks.UNICODE, width, height);
                        nothingOverlaps(PanelLayout.of(site.panel(), site.devices().size(), width, height), width,
                                height);
                    }
                }
            }
        }
    }

    private static void nothingOverlaps(PanelLayout layout, int width, int height) {
        boolean[][] taken = new boolean[height][width];
        for (Area area : layout.areas()) {
            for (int y = area.y(); y < area.y() + area.height(); y++) {
                for (int x = area.x(); x < area.x() + area.width(); x++) {
                    if (y < 1 || y >= height - 1 || x >= width || taken[y][x]) {
                        fail("%s at %d,%d of %dx%d", area, x, y, width, height);
                    }
                    taken[y][x] = true;
                }
            }
        }
        if (layout.fits() && layout.log().height() > 0) {
            assertThat(layout.log().y() + layout.log().height()).isEqualTo(height - 1);
        }
    }

    @Test
    void whatItAsksForIsEnough() {
        Site site = MadeUpSite.full().site();
        PanelLayout.Size needs = PanelLayout.of(site.panel(), 8, 20, 5).needs();
        assertThat(PanelLayout.of(site.panel(), 8, needs.width(), needs.height()).fits()).isTrue();
    }

    @Test
    void noCommandToTheTerminalGetsOntoTheCanvas() {
        String evil = "\u001b[2J\u009b1m\u202eX";
        Site site = new MadeUpSite().button("evil", evil).knob("knob", evil).device("device", evil).site(evil);
        Scene scene = new Scene(evil, Map.of("evil", new LampSeen(1, Optional.of(evil), Optional.empty())),
                Map.of("knob", evil), Map.of("device", new LinkSeen(LinkState.DOWN, evil)), List.of(evil),
                List.of(evil), Map.of(), "evil", Dialogue.NONE, Map.of("evil", evil), Optional.empty());
        assertThat(paint(site, scene, Marks.UNICODE, 100, 30).drawn().codePoints())
                .allMatch(point -> point == '\n' || !Character.isISOControl(point) && point != 0x202e);
    }

    @Test
    void aLabelOfWideCharactersStaysInItsBox() {
        Site site = new MadeUpSite().button("wide", "漢字漢字漢字漢字漢字").site();
        Canvas canvas = paint(site, Scene.empty(""), Marks.UNICODE, 12, 12);
        assertThat(canvas.drawn().lines().skip(1).limit(3)).containsExactly("╭ a ───────╮", "│漢字漢字… │",
                "╰─ ○ off ──╯");
    }

    @Test
    void theListOfTroubleSaysInWordsWhatIsOff() {
        Scene practising = new Scene("", Map.of(), Map.of(), Map.of(), List.of(), List.of(), Map.of(), "",
                Dialogue.TROUBLE, Map.of(), Optional.of(Set.of("desk")));
        assertThat(drawn(practising, Marks.UNICODE, 80, 24)).contains("a  works         Vision mixer",
                "f  SWITCHED OFF  Sound desk", "Esc goes back", "somebody changes something");
    }

    @Test
    void theLampOfWhatIsSelectedSaysWhy() {
        Scene asked = new Scene("", EVENING.lamps(), Map.of(), Map.of(), List.of(), List.of(), Map.of(), "rail",
                Dialogue.NONE, Map.of("rail", "the link to rail-camera is down"), Optional.empty());
        assertThat(drawn(asked, Marks.UNICODE, 80, 24))
                .contains("RAIL HOME is slow: the link to rail-camera is down");
    }
}
