package bellpush.tests.house;

import static com.tngtech.archunit.lang.syntax.ArchRuleDefinition.noClasses;
import static com.tngtech.archunit.library.dependencies.SlicesRuleDefinition.slices;
import static org.assertj.core.api.Assertions.assertThat;

import com.tngtech.archunit.base.DescribedPredicate;
import com.tngtech.archunit.core.domain.JavaCall;
import com.tngtech.archunit.core.domain.JavaClasses;
import com.tngtech.archunit.core.importer.ClassFileImporter;
import com.tngtech.archunit.core.importer.ImportOption;
import java.util.Set;
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
