package bellpush.runtime.prove;

import static java.util.stream.Collectors.joining;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.IntStream;

/**
 * Writes sites of any size with chains like the village hall's: a key that is taken off, set up and brought on; a source that is put
 * on preview and dissolved to; lights that take their time. Each macro works on three devices, and devices that are used together
 * share a lane.
 */
final class BigSites {
    private static final int DEVICES_OF_A_LANE = 3;
    /** Of each device, the first few properties that only a key has may not change while it is on air. */
    private static final int STEADY = 6;

    private BigSites() {}

    /** @param propertiesEach of each device, at least 14 */
    static void write(Path folder, int macros, int devices, int propertiesEach) {
        file(folder.resolve("site.json"), "{ \"name\": \"Big hall\" }");
        file(folder.resolve("panel.json"), IntStream.range(0, macros)
                .mapToObj(i -> "\"b%d\": { \"label\": \"M %d\", \"press\": \"m%d\" }".formatted(i, i, i))
                .collect(joining(",\n", "{ \"buttons\": {\n", "\n} }")));
        file(folder.resolve("devices.json"), IntStream.range(0, devices)
                .mapToObj(i -> "\"d%d\": { \"kind\": \"big\", \"address\": \"127.0.0.1\", \"port\": %d }".formatted(i,
                        9_000 + i))
                .collect(joining(",\n", "{\n", "\n}")));
        file(folder.resolve("kinds/big.json"), kind(propertiesEach));
        for (int i = 0; i < macros; i++) {
            file(folder.resolve("macros/m" + i + ".json"), macro(i, devices));
        }
    }

    private static void file(Path path, String text) {
        try {
            Files.createDirectories(path.getParent());
            Files.writeString(path, text);
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static String kind(int count) {
        String source = "\"type\": \"choice\", \"choices\": [\"black\", \"stage\", \"rail\", \"slides\"]";
        return """
                { "about": "one of many", "driver": "tcp", "framing": { "endsWith": "\\n" }, "fastest": "5 ms",
                  "properties": {
                    "on": { "type": "flag", "set": "on {value}", "report": "on {value}" },
                    "program": { %s, "set": "program {value}", "report": "program {value}" },
                    "preview": { %s, "set": "preview {value}", "report": "preview {value}" },
                    "scene": { %s, "set": "scene {value}", "report": "scene {value}", "takes": "600 ms" },
                    %s },
                  "commands": {
                    "dissolve": { "send": "dissolve", "takes": "800 ms",
                                  "effect": { "program": { "property": "preview" }, "preview": { "property": "program" } } },
                    "fade": { "send": "fade", "takes": "500 ms", "effect": { "on": { "opposite": true } } } } }
                """.formatted(source, source, source, IntStream.range(4, count)
                .mapToObj(
                        i -> "\"p%d\": { \"type\": \"whole\", \"range\": [-1000, 1000], \"set\": \"p%d {value}\", \"report\": \"p%d {value}\"%s }"
                                .formatted(i, i, i, i < 4 + STEADY ? ", \"steadyWhile\": { \"on\": true }" : ""))
                .collect(joining(",\n")));
    }

    private static String macro(int number, int devices) {
        int lane = number % Math.max(1, devices / DEVICES_OF_A_LANE);
        String mixer = "d" + lane * DEVICES_OF_A_LANE % devices;
        String switcher = "d" + (lane * DEVICES_OF_A_LANE + 1) % devices;
        String lights = "d" + (lane * DEVICES_OF_A_LANE + 2) % devices;
        String look = IntStream.range(0, 4)
                .mapToObj(i -> "\"%s.p%d\": %d".formatted(mixer, 4 + (number + i) % STEADY, number + i))
                .collect(joining(", "));
        return """
                { "label": "M", "lane": "lane-LANE",
                  "steps": [
                    { "set": { "MIXER.on": false } },
                    { "until": { "MIXER.on": false }, "within": "3 s" },
                    { "set": { LOOK } },
                    { "set": { "LIGHTS.scene": "SOURCE" } },
                    { "if": { "SWITCHER.program": "SOURCE" }, "then": [ { "say": "there" } ],
                      "else": [ { "remember": "SWITCHER.preview" }, { "set": { "SWITCHER.preview": "SOURCE" } },
                                { "until": { "SWITCHER.preview": "SOURCE" }, "within": "3 s" }, { "do": "SWITCHER.dissolve" },
                                { "until": { "SWITCHER.program": "SOURCE" }, "within": "3 s" }, { "restore": "SWITCHER.preview" } ] },
                    { "until": { LOOK }, "within": "3 s" },
                    { "do": "MIXER.fade" } ],
                  "promise": { LOOK, "MIXER.on": true, "SWITCHER.program": "SOURCE", "LIGHTS.scene": "SOURCE" } }
                """
                .replace("LANE", "" + lane).replace("LOOK", look).replace("MIXER", mixer).replace("SWITCHER", switcher)
                .replace("LIGHTS", lights).replace("SOURCE", List.of("stage", "rail", "slides").get(number % 3));
    }
}
