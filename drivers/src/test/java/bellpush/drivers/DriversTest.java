package bellpush.drivers;

import static bellpush.drivers.link.Notebook.until;
import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Limits;
import bellpush.config.model.Value;
import bellpush.drivers.link.Notebook;
import bellpush.drivers.link.TestKind;
import bellpush.drivers.link.TestLoop;
import bellpush.drivers.spi.Driver;
import bellpush.drivers.spi.Link;
import bellpush.drivers.spi.LinkHost;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import io.netty.bootstrap.Bootstrap;
import io.netty.buffer.ByteBuf;
import io.netty.channel.Channel;
import io.netty.channel.socket.nio.NioDatagramChannel;
import io.netty.util.concurrent.Future;
import java.io.File;
import java.io.IOException;
import java.io.StringWriter;
import java.net.DatagramPacket;
import java.net.DatagramSocket;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.URISyntaxException;
import java.net.URL;
import java.net.URLClassLoader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.jar.JarEntry;
import java.util.jar.JarOutputStream;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import javax.tools.ToolProvider;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class DriversTest {
    @TempDir
    private Path folder;

    private record Named(String name) implements Driver {
        @Override
        public Link open(Device device, Limits limits, LinkHost host) {
            throw new UnsupportedOperationException("only its name matters here");
        }
    }

    private static final class Impostor implements Driver {
        @Override
        public String name() {
            return "tcp";
        }

        @Override
        public Link open(Device device, Limits limits, LinkHost host) {
            throw new UnsupportedOperationException("only its name matters here");
        }
    }

    @Test
    void tcpAndUdpAreInstalled() {
        var drivers = Drivers.installed();
        assertThat(drivers.names()).contains("tcp", "udp");
        assertThat(drivers.named("tcp").orElseThrow().name()).isEqualTo("tcp");
        assertThat(drivers.named("telepathy")).isEmpty();
    }

    @Test
    void twoDriversOfOneNameAreRefusedInWords() {
        assertThatThrownBy(() -> Drivers.of(List.of(new Named("tcp"), new Impostor())))
                .isInstanceOf(IllegalStateException.class).hasMessageContaining("Two drivers are called \"tcp\"")
                .hasMessageContaining("Named").hasMessageContaining("Impostor");
    }

    @Test
    void aNameThatNoKindCouldWriteIsRefused() {
        assertThatThrownBy(() -> Drivers.of(List.of(new Named("Two Words")))).isInstanceOf(IllegalStateException.class)
                .hasMessageContaining("lower-case letters");
    }

    @Test
    void aJarThatNamesADriverItDoesNotHoldIsRefusedInWords() throws IOException {
        Path services = Files.createDirectories(folder.resolve("META-INF/services"));
        Files.writeString(services.resolve(Driver.class.getName()), "hall.Missing\n");
        try (var loader = new URLClassLoader(new URL[]{folder.toUri().toURL()}, getClass().getClassLoader())) {
            assertThatThrownBy(() -> Drivers.load(loader)).isInstanceOf(IllegalStateException.class)
                    .hasMessageContaining("hall.Missing").hasMessageContaining("Take its jar away");
        }
    }

    @Test
    void kindsThatADriverCannotSpeakAreRefusedInWords() {
        Kind tcp = TestKind.tcp().level("iris", false).kind();
        Kind udp = TestKind.udp().level("iris", false).kind();
        Driver tcpDriver = Drivers.installed().named("tcp").orElseThrow();
        Driver udpDriver = Drivers.installed().named("udp").orElseThrow();
        assertThat(tcpDriver.complaints(tcp)).isEmpty();
        assertThat(udpDriver.complaints(udp)).isEmpty();
        assertThat(tcpDriver.complaints(udp)).hasSize(1).first().asString().contains("\"framing\"");
        assertThat(udpDriver.complaints(tcp)).hasSize(1).first().asString().contains("\"framing\"");
    }

    /** The worked example beside this module's tests: compiled, packed, found by ServiceLoader, and spoken through. */
    @Test
    void aDriverFromAnotherJarIsFoundAndSpeaksToItsDevice() throws Exception {
        Path jar = packExampleDriver();
        try (var loader = new URLClassLoader(new URL[]{jar.toUri().toURL()}, getClass().getClassLoader());
                var lights = new DatagramSocket(new InetSocketAddress(InetAddress.getLoopbackAddress(), 0));
                var loop = new TestLoop()) {
            Drivers drivers = Drivers.load(loader);
            assertThat(drivers.names()).contains("house-lights", "tcp", "udp");
            Driver driver = drivers.named("house-lights").orElseThrow();
            assertThat(driver.getClass().getClassLoader()).isSameAs(loader);
            Device device = TestKind.udp().level("level", false).at("127.0.0.1", lights.getLocalPort());
            assertThat(driver.complaints(device.kind())).isEmpty();

            Thread.ofVirtual().start(() -> beHouseLights(lights));
            var host = new Notebook(loop.loop);
            Link link = loop.on(() -> driver.open(device, Limits.DEFAULT, host));
            until("up", () -> host.states.equals(List.of("up: the house lights have answered")));
            loop.run(() -> link.send(new Request.SetProperty(1, "level", Value.of(73))));
            until("reported", () -> Value.of(73).equals(host.beliefs.get("level")));
            loop.run(() -> link.send(new Request.AskProperty(2, "level")));
            until("answered", () -> host.outcomes.containsKey(2L));
            assertThat(host.outcomes.get(1L)).containsExactly(new Outcome.Sent());
            assertThat(host.outcomes.get(2L)).containsExactly(new Outcome.Done());
            assertThat(host.packets).containsSubsequence("> level 73 #1", "> ask #2", "< level 73 #2");
            loop.run(link::close);
        }
    }

    /** The dimmer itself: answers each packet with a new key and its level. */
    private static void beHouseLights(DatagramSocket socket) {
        int key = 0;
        int level = 20;
        var packet = new DatagramPacket(new byte[16], 16);
        try {
            while (true) {
                socket.receive(packet);
                int said = packet.getData()[0] & 0xff;
                level = said == 255 ? level : said ^ key;
                key = (key * 7 + 11) & 0x7f;
                byte[] answer = {(byte) key, (byte) level};
                socket.send(new DatagramPacket(answer, answer.length, packet.getSocketAddress()));
            }
        } catch (IOException _) {
            // the test is over
        }
    }

    private Path packExampleDriver() throws IOException, URISyntaxException {
        Path source = Path.of(System.getProperty("bellpush.house"), "drivers", "src", "test", "example-driver");
        Path classes = Files.createDirectories(folder.resolve("classes"));
        var words = new StringWriter();
        var compiler = ToolProvider.getSystemJavaCompiler();
        try (var files = compiler.getStandardFileManager(null, null, null); var tree = Files.walk(source)) {
            var units = files.getJavaFileObjectsFromPaths(tree.filter(f -> f.toString().endsWith(".java")).toList());
            var options = List.of("-d", classes.toString(), "-classpath", classPath(), "-Xlint:all,-classfile");
            assertThat(compiler.getTask(words, files, null, options, null, units).call()).as("%s", words).isTrue();
        }
        Path jar = folder.resolve("house-lights.jar");
        try (var out = new JarOutputStream(Files.newOutputStream(jar))) {
            pack(out, classes, ".class");
            pack(out, source, "Driver");
        }
        return jar;
    }

    private static void pack(JarOutputStream out, Path root, String ending) throws IOException {
        try (var tree = Files.walk(root)) {
            for (Path file : tree.filter(f -> Files.isRegularFile(f) && f.toString().endsWith(ending)).toList()) {
                out.putNextEntry(new JarEntry(root.relativize(file).toString().replace(File.separatorChar, '/')));
                Files.copy(file, out);
                out.closeEntry();
            }
        }
    }

    /** What the author of such a driver compiles against. */
    private static String classPath() {
        return Stream
                .of(Driver.class, Kind.class, Bootstrap.class, NioDatagramChannel.class, Channel.class, ByteBuf.class,
                        Future.class)
                .map(c -> c.getProtectionDomain().getCodeSource().getLocation()).map(location -> {
                    try {
                        return Path.of(location.toURI()).toString();
                    } catch (URISyntaxException e) {
                        throw new AssertionError(e);
                    }
                }).distinct().collect(Collectors.joining(File.pathSeparator));
    }
}
