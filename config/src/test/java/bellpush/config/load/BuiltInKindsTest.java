package bellpush.config.load;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Device;
import bellpush.config.model.Framing;
import bellpush.config.model.Kind;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The built-in kinds as a site gets them, through every check that a site's own kinds go through. */
class BuiltInKindsTest {
    private static final Set<String> KINDS = Set.of("pjlink-projector", "visca-camera", "visca-camera-ip");

    @TempDir
    Path folder;

    private Loaded site(String steps) {
        StringBuilder devices = new StringBuilder("{");
        for (String kind : BuiltInKinds.names()) {
            devices.append("\"").append(kind).append("\": { \"label\": \"x\", \"kind\": \"").append(kind)
                    .append("\", \"address\": \"127.0.0.1\" },");
        }
        TestSite site = TestSite.hall();
        site.files().keySet().removeIf(file -> file.contains("/"));
        return site.with("devices.json", devices + "}").with("macros/go.json", "{ \"steps\": [" + steps + "] }")
                .with("panel.json", "{ \"buttons\": { \"go\": { \"label\": \"GO\", \"press\": \"go\" } } }")
                .load(folder);
    }

    @Test
    void allAreListedAndLoadWithoutAProblem() {
        Loaded loaded = site("""
                { "set": { "visca-camera.power": true, "visca-camera-ip.zoom": 16384, "pjlink-projector.power": "on",
                           "pjlink-projector.input": "digital-1", "visca-camera.whiteBalance": "one-push" } },
                { "do": "visca-camera.preset.recall", "with": { "number": 3 } },
                { "until": { "pjlink-projector.power": "on" }, "within": "60 s" },
                { "do": "visca-camera-ip.drive.stop" }""");
        assertThat(BuiltInKinds.names()).isEqualTo(KINDS);
        assertThat(loaded.problems()).isEmpty();
        assertThat(loaded.site().orElseThrow().devices()).containsOnlyKeys(KINDS);
        for (Device device : loaded.site().orElseThrow().devices().values()) {
            assertThat(device.kind().properties()).as("what is asked first tells every property but the assumed ones")
                    .allSatisfy((name, property) -> assertThat(property.reported()).as(name)
                            .isEqualTo(!name.matches("preset|.+\\.speed")));
            assertThat(device.port()).isPositive();
        }
        Kind camera = loaded.site().orElseThrow().devices().get("visca-camera").kind();
        assertThat(camera.framing()).isInstanceOfSatisfying(Framing.Delimiter.class,
                d -> assertThat(d.bytes()).containsExactly(0xff));
        Kind projector = loaded.site().orElseThrow().devices().get("pjlink-projector").kind();
        assertThat(projector.framing()).isInstanceOfSatisfying(Framing.Delimiter.class,
                d -> assertThat(d.bytes()).isEqualTo("\r".getBytes(StandardCharsets.US_ASCII)));
    }

    @Test
    void speedsAndPositionsBeyondTheRangeAreRefused() {
        Loaded loaded = site("""
                { "set": { "visca-camera.pan.speed": 25 } },
                { "do": "visca-camera-ip.preset.store", "with": { "number": 16 } }""");
        assertThat(loaded.site()).isEmpty();
        assertThat(loaded.problems()).hasSize(2);
    }
}
