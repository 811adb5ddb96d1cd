package bellpush.runtime.cli;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.show.Eventually;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** {@code run} as a process of its own, since how it answers a signal cannot be seen from inside. */
class RunCommandTest {
    @TempDir
    Path folder;

    @Test
    void aSignalEndsItCleanlyAndNothingIsWarnedAbout() throws Exception {
        Path site = folder.resolve("hall");
        assertThat(new Spoken().code("new", site.toString())).isZero();
        Path devices = site.resolve("devices.json");
        Path edges = Files.writeString(folder.resolve("edges"), "100 17 0\n200 17 1\n");
        Path said = folder.resolve("said");
        try (ServerSocket light = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
            Files.writeString(devices, Files.readString(devices).replace("\"127.0.0.1\"",
                    "\"127.0.0.1\", \"port\": " + light.getLocalPort()));
            Process run = new ProcessBuilder(ProcessHandle.current().info().command().orElseThrow(),
                    "--enable-native-access=ALL-UNNAMED", "--sun-misc-unsafe-memory-access=allow", "-XX:+UseSerialGC",
                    "-XX:TieredStopAtLevel=1", "-cp", System.getProperty("java.class.path"), Bellpush.class.getName(),
                    "run",
                    site.toString(), "--panel", "none", "--edges", edges.toString()).redirectErrorStream(true)
                    .redirectOutput(said.toFile()).start();
            try {
                Eventually.that("the press has started its macro", () -> text(said).contains("doors-open starts"));
                Eventually.that("the link is up", () -> text(said).contains("link to lobby up"));
                run.destroy(); // SIGTERM
                assertThat(run.waitFor(20, TimeUnit.SECONDS)).isTrue();
            } finally {
                run.destroyForcibly();
            }
            assertThat(run.exitValue()).as(text(said)).isZero();
        }
        assertThat(text(said)).startsWith("My hall: 1 device").endsWith("Stopped.\n").doesNotContain("WARNING",
                "Exception");
        try (Stream<Path> logs = Files.list(site.resolve("logs"))) {
            assertThat(logs).singleElement()
                    .satisfies(log -> assertThat(Files.readString(log)).contains("\"what\":\"press\"").endsWith("}\n"));
        }
    }

    private static String text(Path file) {
        try {
            return Files.readString(file);
        } catch (IOException e) {
            return "";
        }
    }
}
