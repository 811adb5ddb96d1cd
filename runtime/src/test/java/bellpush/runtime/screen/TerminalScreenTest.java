package bellpush.runtime.screen;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The panel in a real terminal device, made by {@code script} of util-linux: is it given back as it was found? */
class TerminalScreenTest {
    private static final Path SCRIPT = Path.of("/usr/bin/script");
    private static final String TRYOUT = DrawnPanelTryout.class.getName();

    @TempDir
    private Path folder;

    @Test
    void leavingGivesTheTerminalBack() throws Exception {
        assertGivenBack("qy", false);
    }

    @Test
    void ctrlCGivesTheTerminalBack() throws Exception {
        assertGivenBack("\u0003", false);
    }

    @Test
    void endingTheProcessGivesTheTerminalBack() throws Exception {
        assertGivenBack("", true);
    }

    private void assertGivenBack(String typed, boolean terminate) throws Exception {
        assumeTrue(Files.isExecutable(SCRIPT), "no script command here");
        Path pid = folder.resolve("pid");
        String java = Path.of(System.getProperty("java.home"), "bin", "java").toString();
        String command = "stty rows 24 cols 80; stty -g > before; sh -c 'echo $$ > pid; exec \"" + java
                + "\" --enable-native-access=ALL-UNNAMED -XX:TieredStopAtLevel=1 " + TRYOUT + "'; stty -g > after";
        ProcessBuilder builder = new ProcessBuilder(SCRIPT.toString(), "-qec", command, "/dev/null")
                .directory(folder.toFile()).redirectErrorStream(true);
        builder.environment().put("CLASSPATH", System.getProperty("java.class.path"));
        builder.environment().put("TERM", "xterm-256color");
        builder.environment().put("LC_ALL", "C.UTF-8");
        builder.environment().put("SHELL", "/bin/sh");
        Process process = builder.start();
        try {
            ByteArrayOutputStream seen = new ByteArrayOutputStream();
            Thread reader = Thread.ofPlatform().start(() -> copy(process.getInputStream(), seen));
            awaitText(seen, "q: leave");
            OutputStream in = process.getOutputStream();
            in.write(typed.getBytes(StandardCharsets.UTF_8));
            in.flush();
            if (terminate) {
                ProcessHandle.of(Long.parseLong(Files.readString(pid).strip())).orElseThrow().destroy();
            }
            assertThat(process.waitFor(30, TimeUnit.SECONDS)).as("it ends").isTrue();
            reader.join(10_000);
            String all = seen.toString(StandardCharsets.UTF_8);
            assertThat(all).contains("\u001b[?1049h", "\u001b[?1006h", "\u001b[?25l");
            assertThat(all.substring(all.lastIndexOf("\u001b[?25h")))
                    .as("what is sent last").startsWith("\u001b[?25h\u001b[?1049l");
            assertThat(all.lastIndexOf("\u001b[?1000l")).isGreaterThan(all.lastIndexOf("\u001b[?1000h"));
            assertThat(folder.resolve("after")).hasSameTextualContentAs(folder.resolve("before"));
        } finally {
            process.descendants().forEach(ProcessHandle::destroyForcibly);
            process.destroyForcibly();
        }
    }

    private static void copy(InputStream from, ByteArrayOutputStream to) {
        byte[] buffer = new byte[4_096];
        try {
            for (int n = from.read(buffer); n >= 0; n = from.read(buffer)) {
                to.write(buffer, 0, n);
            }
        } catch (IOException e) {
            // The terminal device ends with an error instead of an end of file.
        }
    }

    private static void awaitText(ByteArrayOutputStream seen, String text) throws InterruptedException {
        long end = System.nanoTime() + TimeUnit.SECONDS.toNanos(30);
        while (!seen.toString(StandardCharsets.UTF_8).contains(text)) {
            assertThat(System.nanoTime() - end).as("waiting for '%s' in: %s", text, seen).isNegative();
            Thread.sleep(20);
        }
    }
}
