package bellpush.config.load;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Condition;
import bellpush.config.model.Ease;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Framing;
import bellpush.config.model.Look;
import bellpush.config.model.Macro;
import bellpush.config.model.Operand;
import bellpush.config.model.Move;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.PropertyType;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Source;
import bellpush.config.model.Site;
import bellpush.config.model.Speeds;
import bellpush.config.model.Step;
import bellpush.config.model.Template;
import bellpush.config.model.Value;
import bellpush.config.problem.Problem;
import java.nio.file.Path;
import java.time.Duration;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** What a valid site becomes. */
class SiteLoaderTest {
    @TempDir
    Path folder;

    private Site hall() {
        return TestSite.hall().load(folder).site().orElseThrow();
    }

    @Test
    void aPropertyIsReportedByAnAnswerAReportOrAReportOfItsKind() {
        Map<String, Property> mixer = hall().devices().get("mixer").kind().properties();

        assertThat(mixer.get("preview").reported()).as("answer").isTrue();
        assertThat(mixer.get("key.fill").reported()).as("report").isTrue();
        assertThat(mixer.get("key.left").reported()).as("report of the kind").isTrue();
        assertThat(mixer.get("key.onAir").reported()).as("set only").isFalse();
    }

    @Test
    void initialValuesAreAsWrittenOrTheNearestToNothing() {
        Site site = hall();

        assertThat(site.property(new PropertyRef("mixer", "key.fill")).initial()).isEqualTo(Value.of("titles"));
        assertThat(site.property(new PropertyRef("mixer", "preview")).initial()).isEqualTo(Value.of("stage"));
        assertThat(site.property(new PropertyRef("words", "page")).initial()).isEqualTo(Value.of(1));
        assertThat(site.property(new PropertyRef("mixer", "title")).initial()).isEqualTo(Value.of(""));
        assertThat(site.property(new PropertyRef("desk", "mute")).initial()).isEqualTo(Value.of(false));
    }

    @Test
    void aButtonsLampWithoutRulesShowsThePromiseOfItsMacro() {
        Site site = hall();

        assertThat(site.panel().lamps().get("poem").rules()).singleElement().satisfies(rule -> {
            assertThat(rule.when()).isEqualTo(site.macros().get("poem").promise());
            assertThat(rule.show()).isEqualTo(Look.of(Look.Pattern.STEADY));
        });
        assertThat(site.panel().buttons().get("poem").lamp()).contains(site.panel().lamps().get("poem"));
    }

    @Test
    void framesAreOfTheSitesExactRate() {
        Site site = hall();

        assertThat(site.frameRate()).isEqualTo(new FrameRate(30_000, 1001));
        assertThat(site.macros().get("poem").steps()).filteredOn(Step.Wait.class::isInstance).singleElement()
                .satisfies(step -> assertThat(((Step.Wait) step).time()).isEqualTo(Duration.ofNanos(166_833_333)));
    }

    /** Rates: ITU-R BT.709 part 2 and SMPTE ST 12-1; the nanoseconds are 10^9 x denominator / numerator, rounded half up. */
    @ParameterizedTest
    @CsvSource({"23.976, 24000, 1001, 41708333", "24, 24, 1, 41666667", "25, 25, 1, 40000000",
        "29.97, 30000, 1001, 33366667", "30, 30, 1, 33333333", "50, 50, 1, 20000000", "59.94, 60000, 1001, 16683333",
        "60, 60, 1, 16666667", "'\"30000/1001\"', 30000, 1001, 33366667"})
    void aFrameRateIsAnExactFraction(String written, long numerator, long denominator, long nanos) {
        Site site = TestSite.hall().change("site.json", "29.97", written).load(folder).site().orElseThrow();

        assertThat(site.frameRate()).isEqualTo(new FrameRate(numerator, denominator));
        assertThat(site.frameRate().of(1)).isEqualTo(Duration.ofNanos(nanos));
    }

    @Test
    void framingsPortsAndSettingsComeFromTheKindUnlessTheDeviceHasItsOwn() {
        Site site = hall();

        assertThat(site.devices().get("mixer").port()).isEqualTo(9911);
        assertThat(site.devices().get("desk").port()).isEqualTo(9950);
        assertThat(site.devices().get("mixer").settings())
                .isEqualTo(Map.of("note", List.of("a", 1L, 0.5, true, Map.of("b", "c"))));
        assertThat(site.devices().get("sign").kind().framing()).isEqualTo(new Framing.LengthPrefix(2, true, true));
        assertThat(site.devices().get("words").kind().framing()).isEqualTo(new Framing.Slip());
        assertThat(site.devices().get("mixer").kind().asks()).containsExactly("preview", "key.fill", "key.left");
        assertThat(site.devices().get("lights").kind().asks()).containsExactly("scene");
    }

    @Test
    void conditionsKeepTheirMeaning() {
        Step.If step = (Step.If) hall().macros().get("cutaway").steps().get(2);

        assertThat(step.condition()).isEqualTo(new Condition.Any(List.of(
                new Condition.LinkIs("desk", bellpush.config.model.LinkState.UP), new Condition.Running("poem"),
                new Condition.All(List.of(new Condition.Failed("safe"),
                        new Condition.Is(new PropertyRef("desk", "speech"), new Condition.Test.Above(-20.5)))))));
    }

    @Test
    void aGlideHasItsTargetsItsTimeAndItsEase() {
        assertThat(hall().macros().get("cutaway").steps().get(4)).isInstanceOfSatisfying(Step.Glide.class, glide -> {
            assertThat(glide.values()).containsExactly(
                    Map.entry(new PropertyRef("desk", "speech"), Operand.of(Value.of(-20))),
                    Map.entry(new PropertyRef("curtain", "height"), Operand.of(Value.of(2.5))),
                    Map.entry(new PropertyRef("curtain", "open"), Operand.of(Value.of(80))));
            assertThat(glide.over()).isEqualTo(Duration.ofSeconds(2));
            assertThat(glide.ease()).isEqualTo(Ease.START);
        });
    }

    @Test
    void aGlideIsGentleAtBothEndsUnlessItSaysOtherwise() {
        Site site = TestSite.hall().change("macros/cutaway.json", ", \"ease\": \"start\"", "").load(folder).site()
                .orElseThrow();

        assertThat(((Step.Glide) site.macros().get("cutaway").steps().get(4)).ease()).isEqualTo(Ease.BOTH);
    }

    @Test
    void aMoveCountsInItsUnitAndKnowsItsLongestTime() {
        Move move = hall().property(new PropertyRef("curtain", "open")).move().orElseThrow();

        assertThat(move).isEqualTo(new Move(new Template.Hex("21 {value:u8} {over:u16}"), Duration.ofMillis(1), true,
                Duration.ofSeconds(60), Optional.of("hold")));
        assertThat(move.wire(Duration.ofMillis(1_500))).isEqualTo(Value.of(1_500));
    }

    @Test
    void aTableOfSpeedsStandsAtZeroGoesBothWaysAndItsSpeedUnsettlesWhatItMoves() {
        Property height = hall().property(new PropertyRef("curtain", "height"));

        assertThat(height.speeds().orElseThrow().table()).extracting(Speeds.Entry::speed).containsExactly(-7.0, -4.0,
                -1.0, 0.0, 1.0, 4.0, 7.0);
        assertThat(hall().property(new PropertyRef("curtain", "hoist")).unsettles()).containsExactly("height");
    }

    @Test
    void numbersKeepRangeUnitAndScale() {
        assertThat(hall().property(new PropertyRef("lights", "level")).type()).isEqualTo(
                new PropertyType.Whole(0, 100, "%", java.util.Optional.of(new PropertyType.WireRange(0, 255))));
    }

    @Test
    void aRehearsalIsReadActByAct() {
        Rehearsal evening = TestSite.hall().load(folder).rehearsals().getFirst();

        assertThat(evening.name()).isEqualTo("evening");
        assertThat(evening.acts()).hasSize(21).contains(new Rehearsal.Act.SwitchTo("mode", true, at(8)),
                new Rehearsal.Act.PressTwice("bow", at(10)), new Rehearsal.Act.PushKnob("page", at(11)),
                new Rehearsal.Act.Turn("page", 2, true, at(12)));
        assertThat(evening.acts().get(20)).isInstanceOfSatisfying(Rehearsal.Act.Trouble.class,
                act -> assertThat(act.fault()).isEqualTo(new Rehearsal.Fault.Works()));
    }

    private static Source at(int line) {
        return new Source("rehearsals/evening.json", line, 3);
    }

    @Test
    void ofAMacroWithArgumentsThereIsOneForEachWayInWhichItIsRun() {
        Site site = TestSite.hall()
                .change("panel.json", "\"press\": \"song\", \"release\"",
                        "\"press\": { \"run\": \"preset\", \"with\": { \"air\": false, \"page\": 8 } }, \"release\"")
                .change("panel.json", "\"run\": \"cutaway\" }",
                        "\"run\": \"preset\", \"with\": { \"page\": 7, \"air\": true } }")
                .change("panel.json", "\"steadyFor\": \"2 ms\", \"stuckAfter\": \"20 s\", \"press\": \"song\"",
                        "\"steadyFor\": \"2 ms\", \"stuckAfter\": \"20 s\", \"press\": \"cutaway\"")
                .load(folder).site().orElseThrow();

        assertThat(site.macros()).containsKeys("preset page=7 air=true", "preset page=8 air=false", "tidy page=7",
                "tidy page=8").doesNotContainKeys("preset", "tidy").hasSize(9);
        assertThat(site.panel().buttons().get("song").press()).contains("preset page=8 air=false");
        assertThat(site.panel().buttons().get("cutaway").hold()).hasValueSatisfying(
                hold -> assertThat(hold.run()).isEqualTo("preset page=7 air=true"));
        assertThat(site.panel().switches().get("mode").on()).contains("preset page=7 air=true");
        Macro eight = site.macros().get("preset page=8 air=false");
        assertThat(eight.family()).isEqualTo("preset");
        assertThat(eight.label()).isEqualTo("Preset 8 false");
        assertThat(eight.onTakeover()).contains("tidy page=8");
        assertThat(eight.promise()).contains(
                new Condition.All(List.of(is("words.page", Value.of(8)), is("mixer.key.onAir", Value.of(false)))));
        assertThat(((Step.If) eight.steps().get(6)).condition())
                .isEqualTo(new Condition.Not(is("mixer.key.onAir", Value.of(false))));
        assertThat(site.panel().lamps().get("song").rules().getFirst().when()).isEqualTo(eight.promise());
    }

    private static Condition is(String ref, Value value) {
        return new Condition.Is(
                new PropertyRef(ref.substring(0, ref.indexOf('.')), ref.substring(ref.indexOf('.') + 1)),
                new Condition.Test.Equal(value));
    }

    @Test
    void theWholeLanguageOfStepsIsRead() {
        Macro preset = hall().macros().get("preset page=7 air=true");

        assertThat(preset.takesOver()).isTrue();
        assertThat(preset.again()).isEqualTo(Macro.Again.QUEUE);
        assertThat(preset.repeatsMax()).isEqualTo(3);
        assertThat(preset.within()).isEqualTo(Duration.ofSeconds(20));
        List<Step> steps = preset.steps();
        assertThat(steps.get(0)).isInstanceOfSatisfying(Step.Guarded.class, guarded -> {
            assertThat(guarded.otherwise()).isEqualTo(new Step.Otherwise.GoOn());
            assertThat(((Step.Set) guarded.step()).values().values()).containsExactly(Operand.of(Value.of(7)),
                    new Operand.Present(new PropertyRef("mixer", "program")));
        });
        assertThat(((Step.Set) steps.get(1)).confirm()).contains(new Step.Confirm(Duration.ofMillis(500), 2));
        assertThat(steps.get(2)).isInstanceOfSatisfying(Step.Guarded.class, guarded -> {
            assertThat(guarded.otherwise()).isEqualTo(new Step.Otherwise.Instead("safe"));
            Step.Set set = (Step.Set) guarded.step();
            assertThat(set.values().values()).containsExactly(new Operand.Opposite(), new Operand.By(-3));
            assertThat(set.confirm()).contains(new Step.Confirm(Duration.ofSeconds(1), 3));
        });
        assertThat(((Step.Do) ((Step.Guarded) steps.get(3)).step()).arguments())
                .isEqualTo(Map.of("left", new Operand.Present(new PropertyRef("mixer", "key.left"))));
        assertThat(((Step.Together) ((Step.Guarded) steps.get(4)).step()).branches()).hasSize(2);
        assertThat(hall().macros().get("halt").steps()).map(step -> ((Step.Stop) step).families())
                .containsExactly(List.of("poem", "preset"), List.of());
        assertThat(hall().macros().get("poem").within()).as("of site.json").isEqualTo(Duration.ofSeconds(90));
    }

    @Test
    void tooManyWaysToRunAMacroAreAProblem() {
        StringBuilder buttons = new StringBuilder("{ \"buttons\": {");
        for (int i = 0; i <= Families.MOST; i++) {
            buttons.append(i == 0 ? "" : ",").append("\n\"b").append(i)
                    .append("\": { \"label\": \"B\", \"press\": { \"run\": \"many\", \"with\": { \"n\": ").append(i)
                    .append(" } } }");
        }
        Loaded loaded = TestSite.hall()
                .with("macros/many.json", "{ \"arguments\": { \"n\": { \"type\": \"whole\", \"range\": [0, 5000] } },"
                        + " \"steps\": [{ \"wait\": \"1 s\" }] }")
                .with("panel.json", buttons.append("} }").toString()).without("rehearsals/evening.json")
                .load(folder);

        assertThat(loaded.problems()).filteredOn(p -> p.severity() == Problem.Severity.ERROR).first()
                .satisfies(p -> assertThat(p.found()).contains("more than 1000 different ways"));
    }

    @Test
    void branchesMayChangeAPropertyToTheSameValueInWhateverOrder() {
        TestSite site = TestSite.hall().change("macros/cutaway.json", "{ \"restore\": \"mixer.preview\" }",
                "{ \"together\": [[{ \"run\": \"song\" }], [{ \"set\": { \"words.page\": 7 } }]] }");
        assertThat(site.load(folder).problems()).isEmpty();

        site.change("macros/cutaway.json", "\"words.page\": 7", "\"words.page\": 8");
        assertThat(site.load(folder).problems()).singleElement().satisfies(p -> assertThat(p.found())
                .isEqualTo("This branch changes words.page, and so does branch 1 by running song."));
    }

    @Test
    void warningsDoNotKeepASiteAway() {
        Loaded loaded = TestSite.hall().change("panel.json", "\"pin\": 12", "\"pin\": 14").load(folder);

        assertThat(loaded.site()).isPresent();
        assertThat(loaded.problems()).hasSize(1);
        assertThat(loaded.files()).isEqualTo(17);
    }

    @Test
    void anotherJarsDriverMayKnowItsMessages() {
        Loaded loaded = TestSite.hall()
                .with("kinds/foyer-sign.json",
                        "{ \"driver\": \"lantern\", \"properties\": { \"words\": { \"type\": \"choice\","
                                + " \"choices\": [\"welcome\", \"quiet please\"], \"set\": true } } }")
                .load(folder);

        assertThat(loaded.problems()).isEmpty();
        assertThat(loaded.site()).isPresent();
    }

    /** The time is printed for the curious; a slow machine must not fail here. */
    @Test
    void threeHundredMacrosAreLoaded() {
        TestSite site = TestSite.hall();
        StringBuilder steps = new StringBuilder();
        for (int i = 0; i < 300; i++) {
            site.with("macros/copy-" + i + ".json", site.text("macros/poem.json"));
            steps.append(i == 0 ? "" : ", ").append("{ \"run\": \"copy-").append(i).append("\" }");
        }
        site.change("macros/song.json", "{ \"steps\": [", "{ \"steps\": [" + steps + ", ");
        assertThat(site.load(folder).problems()).isEmpty();

        long start = System.nanoTime();
        Loaded loaded = SiteLoader.load(folder, TestSite.DRIVERS);

        System.out.printf("a site of 307 macros loads in %d ms%n", (System.nanoTime() - start) / 1_000_000);
        assertThat(loaded.site().orElseThrow().macros()).hasSize(307);
    }
}
