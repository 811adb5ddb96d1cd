package bellpush.runtime.panel.chips;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** On a folder that looks like {@code /sys/class/pwm}. */
class PwmOutputTest {
    @TempDir
    private Path root;
    private final World world = new World();
    private final List<String> notes = new ArrayList<>();

    private Path chip(String name, int channels) throws IOException {
        Path chip = Files.createDirectory(root.resolve(name));
        Files.writeString(chip.resolve("npwm"), channels + "\n");
        Files.createFile(chip.resolve("export"));
        return chip;
    }

    private static Path channel(Path chip, int channel) throws IOException {
        Path folder = Files.createDirectory(chip.resolve("pwm" + channel));
        for (String file : List.of("period", "duty_cycle", "enable")) {
            Files.writeString(folder.resolve(file), "0\n");
        }
        return folder;
    }

    private static String text(Path file) throws IOException {
        return Files.readString(file);
    }

    @Test
    void pinsAreFoundByTheNumberOfChannels() throws IOException {
        assertThat(PwmOutput.of(root, 18)).isEmpty();
        Path two = chip("pwmchip0", 2);
        assertThat(PwmOutput.of(root, 18)).hasValue(new PwmOutput.Place(two, 0));
        assertThat(PwmOutput.of(root, 19)).hasValue(new PwmOutput.Place(two, 1));
        assertThat(PwmOutput.of(root, 20)).isEmpty();
        Files.writeString(two.resolve("npwm"), "4\n");
        assertThat(PwmOutput.of(root, 12)).hasValue(new PwmOutput.Place(two, 0));
        assertThat(PwmOutput.of(root, 18)).hasValue(new PwmOutput.Place(two, 2));
        assertThat(PwmOutput.of(root.resolve("nowhere"), 18)).isEmpty();
    }

    @Test
    void theChannelIsTakenWhenTheKernelHasMadeItsFiles() throws IOException {
        Path chip = chip("pwmchip0", 2);
        world.at(world.nanos() + 50_000_000, () -> {
            try {
                channel(chip, 1);
            } catch (IOException e) {
                throw new AssertionError(e);
            }
        });
        PwmOutput lamp = PwmOutput.open(new PwmOutput.Place(chip, 1), true, notes::add, world);
        assertThat(text(chip.resolve("export"))).isEqualTo("1");
        assertThat(text(chip.resolve("pwm1/period"))).isEqualTo("1000000");
        assertThat(text(chip.resolve("pwm1/duty_cycle"))).isEqualTo("0");
        assertThat(text(chip.resolve("pwm1/enable"))).isEqualTo("1");
        lamp.light(0.5); // half as bright to the eye is 18 % of the light
        assertThat(text(chip.resolve("pwm1/duty_cycle"))).isEqualTo("184187");
        lamp.light(1);
        assertThat(text(chip.resolve("pwm1/duty_cycle"))).isEqualTo("1000000");
        lamp.close();
        assertThat(text(chip.resolve("pwm1/duty_cycle"))).isEqualTo("0");
        assertThat(notes).isEmpty();
    }

    @Test
    void aLampThatALowLevelLightsIsTurnedRound() throws IOException {
        Path chip = chip("pwmchip0", 2);
        Path folder = channel(chip, 0);
        PwmOutput lamp = PwmOutput.open(new PwmOutput.Place(chip, 0), false, notes::add, world);
        assertThat(text(folder.resolve("duty_cycle"))).isEqualTo("1000000");
        lamp.light(1);
        assertThat(text(folder.resolve("duty_cycle"))).isEqualTo("0");
        lamp.close();
        assertThat(text(folder.resolve("duty_cycle"))).isEqualTo("1000000");
    }

    @Test
    void aChannelThatDoesNotComeIsSaid() throws IOException {
        Path chip = chip("pwmchip0", 2);
        assertThatThrownBy(() -> PwmOutput.open(new PwmOutput.Place(chip, 0), true, notes::add, world))
                .isInstanceOf(IOException.class).hasMessageContaining("cannot be set");
    }
}
