package bellpush.tests.house;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClass;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;

/** The rules of the house (DEVELOPERS.md): what may know what, and what the core must not touch. */
class HouseTest {
    private static final JavaClasses HOUSE = new ClassFileImporter()
            .withImportOption(new ImportOption.DoNotIncludeTests()).importPackages("bellpush");

    private static final Set<String> CLOCKS = Set.of("java.lang.System.nanoTime", "java.lang.System.currentTimeMillis",
            "java.time.Instant.now", "java.time.LocalDateTime.now", "java.time.ZonedDateTime.now",
            "java.time.OffsetDateTime.now", "java.time.LocalTime.now", "java.time.LocalDate.now",
            "java.lang.Math.random",
            "java.lang.System.getenv", "java.lang.System.getProperty");

    @Test
    void theHouseIsSeenAtAll() {
        assertThat(HOUSE.size()).isGreaterThan(150);
        assertThat(HOUSE.contain("bellpush.runtime.core.Core")).isTrue();
    }

    @Test
    void packagesHaveNoCycles() {
        slices().matching("bellpush.(**)").should().beFreeOfCycles().check(HOUSE);
    }

    @Test
    void theDrawingInDevelopersMdIsTrue() throws IOException {
        Map<String, Set<String>> uses = new TreeMap<>();
        for (JavaClass each : HOUSE) {
            Set<String> used = uses.computeIfAbsent(shortName(each), _ -> new TreeSet<>());
            each.getDirectDependenciesFromSelf().stream().map(d -> d.getTargetClass().getBaseComponentType())
                    .filter(to -> to.getPackageName().startsWith("bellpush") && !shortName(to).equals(shortName(each)))
                    .forEach(to -> used.add(shortName(to)));
        }
        String drawing = uses.keySet().stream().sorted(Comparator.comparing((String p) -> depth(p, uses))
                .thenComparing(p -> p)).map(p -> p + " ".repeat(20 - p.length()) + String.join(", ", uses.get(p)))
                .map(String::stripTrailing).collect(Collectors.joining("\n", "```\n", "\n```\n"));
        assertThat(Files.readString(Path.of(System.getProperty("bellpush.house"), "DEVELOPERS.md"))).contains(drawing);
    }

    private static String shortName(JavaClass each) {
        return each.getPackageName().replaceFirst("^bellpush\\.", "");
    }

    /** How many storeys of packages stand below one; without cycles it ends. */
    private static int depth(String name, Map<String, Set<String>> uses) {
        return uses.get(name).stream().mapToInt(below -> 1 + depth(below, uses)).max().orElse(0);
    }

    @Test
    void configKnowsNothingOfSocketsPinsOrThreads() {
        noClasses().that().resideInAPackage("bellpush.config..").should().dependOnClassesThat()
                .resideInAnyPackage("bellpush.drivers..", "bellpush.runtime..", "io.netty..", "com.pi4j..",
                        "java.net..",
                        "java.util.concurrent..")
                .check(HOUSE);
        noClasses().that().resideInAPackage("bellpush.config..").should().dependOnClassesThat()
                .areAssignableTo(Thread.class).check(HOUSE);
    }

    @Test
    void driversKnowNothingOfTheRuntimeOrOfPins() {
        noClasses().that().resideInAPackage("bellpush.drivers..").should().dependOnClassesThat()
                .resideInAnyPackage("bellpush.runtime..", "com.pi4j..").check(HOUSE);
    }

    @Test
    void theCoreHasNoSocketsThreadsFilesOrLogs() {
        noClasses().that().resideInAPackage("bellpush.runtime.core..").should().dependOnClassesThat()
                .resideInAnyPackage("java.net..", "java.nio..", "java.io..", "io.netty..", "com.pi4j..",
                        "java.util.concurrent..", "org.slf4j..", "java.util.logging..", "tools.jackson..", "picocli..",
                        "org.jline..", "bellpush.runtime.show..", "bellpush.runtime.panel..", "bellpush.runtime.log..",
                        "bellpush.runtime.cli..", "bellpush.runtime.screen..", "bellpush.runtime.rehearse..")
                .check(HOUSE);
        noClasses().that().resideInAPackage("bellpush.runtime.core..").should().dependOnClassesThat()
                .areAssignableTo(Thread.class).orShould().dependOnClassesThat().areAssignableTo(java.util.Random.class)
                .orShould().dependOnClassesThat()
                .areAssignableTo(java.util.Timer.class)
                .check(HOUSE);
    }

    @Test
    void theCoreReadsNoClock() {
        noClasses().that().resideInAPackage("bellpush.runtime.core..").should()
                .callMethodWhere(new DescribedPredicate<JavaCall<?>>("reads a clock or the surroundings") {
                    @Override
                    public boolean test(JavaCall<?> call) {
                        return CLOCKS.contains(call.getTargetOwner().getFullName() + "." + call.getName());
                    }
                }).check(HOUSE);
    }

    @Test
    void onlyTheCommandLineEndsTheProgramOrPrints() {
        noClasses().that().resideInAnyPackage("bellpush.config..", "bellpush.drivers..", "bellpush.runtime.core..",
                "bellpush.runtime.show..", "bellpush.runtime.panel..", "bellpush.runtime.log..").should()
                .callMethod(System.class, "exit", int.class).orShould().accessField(System.class, "out").orShould()
                .accessField(System.class, "err").check(HOUSE);
    }
}
