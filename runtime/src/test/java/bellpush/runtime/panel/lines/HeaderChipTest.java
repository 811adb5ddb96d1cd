package bellpush.runtime.panel.lines;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.lines.HeaderChip.Lack;
import bellpush.runtime.panel.lines.HeaderChip.Unusable;
import bellpush.runtime.panel.lines.HeaderChip.Usable;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class HeaderChipTest {
    @TempDir
    Path folder;

    private FakeKernel kernel;

    private FakeKernel kernel() {
        if (kernel == null) {
            kernel = new FakeKernel(folder);
        }
        return kernel;
    }

    private HeaderChip find(String... wanted) {
        return HeaderChip.find(Optional.ofNullable(wanted.length == 0 ? null : wanted[0]), folder, kernel());
    }

    private Usable usable(String... wanted) {
        return (Usable) find(wanted);
    }

    private Unusable unusable(String... wanted) {
        return (Unusable) find(wanted);
    }

    @AfterEach
    void nothingStaysOpen() {
        assertThat(kernel().openDescriptors()).isZero();
    }

    @Test
    void withoutAnyChipThisIsNoBoard() {
        assertThat(unusable().lack()).isEqualTo(Lack.NO_CHIPS);
        assertThat(unusable().why()).contains("There is no /dev/gpiochip here", "--panel screen");
    }

    @Test
    void theProcessorsPinsAreToldByTheirLabel() {
        kernel().plug("gpiochip0", "raspi-exp-gpio", 8);
        kernel().plug("gpiochip1", "pinctrl-bcm2711", 58);
        assertThat(usable().name()).isEqualTo("pinctrl-bcm2711 (gpiochip1)");
        assertThat(usable().chip().offset(27)).isEqualTo(27);
        assertThat(usable().chip().offset(58)).isEqualTo(-1);
    }

    @Test
    void anotherBoardsHeaderIsToldByItsLinesAndThenPinsAreNamesNotOffsets() {
        kernel().plug("gpiochip0", "soc", 96);
        FakeKernel.Chip header = kernel().plug("gpiochip1", "header", 40);
        for (int pin = 2; pin <= 27; pin++) {
            header.lines[pin + 10].name = "GPIO" + pin;
        }
        assertThat(usable().why()).isEqualTo("it names its lines GPIO2 to GPIO27");
        assertThat(usable().chip().offset(17)).isEqualTo(27);
        assertThat(usable().chip().offset(30)).isEqualTo(-1);
    }

    @Test
    void aComputersOwnChipIsNoBoardUnlessItIsAskedFor() {
        kernel().plug("gpiochip0", "INT34C5:00", 463).named(2, 26);
        assertThat(unusable().lack()).isEqualTo(Lack.NOT_CLEAR);
        assertThat(unusable().why()).contains("INT34C5:00 (gpiochip0) with 463 lines", "--chip");
        assertThat(usable("gpiochip0").why()).isEqualTo("asked for with --chip gpiochip0");
        assertThat(usable("INT34C5:00").chip().offset(400)).isEqualTo(400);
        assertThat(usable(folder.resolve("gpiochip0").toString()).name()).isEqualTo("INT34C5:00 (gpiochip0)");
    }

    @Test
    void twoThatCouldBeItAreNotGuessedBetween() {
        kernel().plug("gpiochip0", "one", 32).named(0, 31);
        kernel().plug("gpiochip1", "other", 32).named(0, 31);
        assertThat(unusable().why()).contains("one (gpiochip0) with 32 lines, other (gpiochip1) with 32 lines");
        assertThat(usable("other").name()).isEqualTo("other (gpiochip1)");
    }

    @Test
    void aChipThatIsThereUnderTwoNamesIsOne() throws IOException {
        kernel().plug("gpiochip0", "pinctrl-rp1", 54);
        Files.createSymbolicLink(folder.resolve("gpiochip4"), Path.of("gpiochip0"));
        assertThat(usable().name()).isEqualTo("pinctrl-rp1 (gpiochip0)");
        assertThat(usable("gpiochip4").name()).isEqualTo("pinctrl-rp1 (gpiochip0)");
        assertThat(usable(folder.resolve("gpiochip4").toString()).name()).isEqualTo("pinctrl-rp1 (gpiochip0)");
    }

    @Test
    void aNameThatIsNotThereIsAnsweredWithThoseThatAre() {
        kernel().plug("gpiochip0", "pinctrl-bcm2835", 54);
        assertThat(unusable("gpiochip7").why()).isEqualTo("There is no chip \"gpiochip7\". There are: pinctrl-bcm2835"
                + " (gpiochip0) with 54 lines. Name one of them with --chip.");
        assertThat(unusable("a\0b").lack()).isEqualTo(Lack.NOT_CLEAR);
    }

    @Test
    void whoMayNotOpenTheChipLearnsHow() {
        kernel().plug("gpiochip0", "pinctrl-bcm2711", 58).openError = Refusal.EACCES;
        assertThat(unusable().lack()).isEqualTo(Lack.NOT_PERMITTED);
        assertThat(unusable().why()).contains("sudo usermod -aG gpio $USER",
                "gpiochip0 (cannot be read: no permission");
    }

    @Test
    void aKernelWithOnlyTheOldInterfaceIsSaid() {
        kernel().plug("gpiochip0", "pinctrl-bcm2835", 54).oldInterface = true;
        assertThat(unusable().lack()).isEqualTo(Lack.TOO_OLD);
        assertThat(unusable().why()).contains("Linux 5.10 or later", "--reader pi4j");
    }

    @Test
    void oneThatCannotBeReadDoesNotHideTheOther() {
        kernel().plug("gpiochip0", "other", 4).openError = Refusal.EACCES;
        kernel().plug("gpiochip1", "pinctrl-bcm2711", 58);
        assertThat(usable().name()).isEqualTo("pinctrl-bcm2711 (gpiochip1)");
    }
}
