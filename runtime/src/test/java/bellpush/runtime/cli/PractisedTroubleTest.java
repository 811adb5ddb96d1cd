package bellpush.runtime.cli;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Value;
import bellpush.runtime.rehearse.RehearsalGear;
import java.io.IOException;
import java.net.Socket;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.TimeUnit;
import java.util.function.BooleanSupplier;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class PractisedTroubleTest {
    @TempDir
    Path folder;

    private final List<String> said = new CopyOnWriteArrayList<>();

    private RehearsalGear gear() {
        Path site = folder.resolve("hall");
        assertThat(new Spoken().code("new", site.toString())).isZero();
        SiteFolder read = SiteFolder.read(site);
        return RehearsalGear.start(read.site().orElseThrow(), read::driver, 1);
    }

    private static void eventually(BooleanSupplier condition) throws InterruptedException {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(10);
        while (!condition.getAsBoolean()) {
            assertThat(System.nanoTime() - end).as("waited 10 s").isNegative();
            Thread.sleep(5);
        }
    }

    private static boolean answers(RehearsalGear gear) {
        try (Socket socket = new Socket()) {
            socket.connect(gear.device("lobby").address(), 1_000);
            return true;
        } catch (IOException e) {
            return false;
        }
    }

    @Test
    void aDeviceIsSwitchedOffAndOnAgain() throws InterruptedException {
        try (RehearsalGear gear = gear()) {
            PractisedTrouble trouble = new PractisedTrouble(gear, 1, said::add);
            trouble.power("lobby");
            assertThat(trouble.isOff("lobby")).isTrue();
            eventually(() -> !answers(gear));
            trouble.touch("lobby");
            trouble.power("lobby");
            assertThat(trouble.isOff("lobby")).isFalse();
            eventually(() -> answers(gear));
            assertThat(said).containsExactly("trouble: lobby is switched off",
                    "lobby is off or not simulated: nothing can be changed at it",
                    "trouble: lobby is switched on again");
        }
    }

    @Test
    void somebodyAtTheDeviceChangesSomething() throws InterruptedException {
        try (RehearsalGear gear = gear()) {
            Map<String, Value> before = gear.device("lobby").values();
            new PractisedTrouble(gear, 1, said::add).touch("lobby");
            eventually(() -> !gear.device("lobby").values().equals(before));
            assertThat(said).singleElement().asString().contains("somebody sets lobby.", "at the device itself");
        }
    }
}
