package bellpush.config.wire;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Value;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;
import tools.jackson.core.json.JsonReadFeature;
import tools.jackson.databind.JsonNode;
import tools.jackson.databind.json.JsonMapper;

/**
 * The templates of the built-in kinds against published frames: VISCA packets as in the command lists of cameras SRG-300H (pp.
 * 28, 31 ff.), SRG-120DH (p. 36) and FCB-PV10 (p. 37), VISCA over IP by its published header; PJLink lines by the
 * command tables of projector manuals after JBMIA's PJLink Specifications, Class 1. Rows from memory are marked so.
 */
class BuiltInKindsTest {
    private static final HexFormat SPACED = HexFormat.ofDelimiter(" ");
    private static final JsonMapper JSON = JsonMapper.builder().enable(JsonReadFeature.ALLOW_JAVA_COMMENTS).build();

    private static JsonNode file(String name) {
        try (InputStream in = BuiltInKindsTest.class.getResourceAsStream("/bellpush/kinds/" + name)) {
            return JSON.readTree(in.readAllBytes());
        } catch (java.io.IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }

    private static WireTemplate template(String kind, String pointer) {
        JsonNode node = file(kind + ".json").at(pointer);
        assertThat(node.isMissingNode()).as("%s in %s", pointer, kind).isFalse();
        return compiled(node);
    }

    private static WireTemplate compiled(JsonNode node) {
        return node.isString() ? WireTemplate.text(node.asString()) : WireTemplate.hex(node.get("hex").asString());
    }

    /** {@code a=1 b=2} */
    private static Map<String, Value> values(String written) {
        Map<String, Value> values = new java.util.HashMap<>();
        for (String pair : written == null ? new String[0] : written.split(" ")) {
            String[] parts = pair.split("=");
            values.put(parts[0], Value.of(Integer.decode(parts[1])));
        }
        return values;
    }

    /** Without the last byte ff, which on tcp is the framing's and over IP is in the template. */
    @ParameterizedTest
    @CsvSource({"/properties/power/set, value=2, 81 01 04 00 02", "/properties/power/set, value=3, 81 01 04 00 03",
        "/properties/zoom/set, value=0x1234, 81 01 04 47 01 02 03 04",
        "/properties/focus.mode/set, value=2, 81 01 04 38 02",
        "/properties/focus.mode/set, value=3, 81 01 04 38 03",
        "/properties/exposure.mode/set, value=0x0b, 81 01 04 39 0b",
        "/properties/whiteBalance/set, value=1, 81 01 04 35 01", // from memory
        "/commands/preset.clear/send, number=5, 81 01 04 3f 00 05",
        "/commands/preset.store/send, number=5, 81 01 04 3f 01 05",
        "/commands/preset.recall/send, number=5, 81 01 04 3f 02 05",
        "/commands/drive.stop/send, , 81 01 06 01 08 08 03 03",
        "/properties/pan.speed/set, value=0 tilt.speed=9, 81 01 06 01 08 09 03 01",
        "/properties/tilt.speed/set, value=-9 pan.speed=0, 81 01 06 01 08 09 03 02",
        "/properties/pan.speed/set, value=-24 tilt.speed=0, 81 01 06 01 18 08 01 03",
        "/properties/pan.speed/set, value=24 tilt.speed=0, 81 01 06 01 18 08 02 03",
        "/properties/pan.speed/set, value=-1 tilt.speed=1, 81 01 06 01 01 01 01 01",
        "/properties/tilt.speed/set, value=1 pan.speed=1, 81 01 06 01 01 01 02 01",
        "/properties/pan.speed/set, value=-1 tilt.speed=-1, 81 01 06 01 01 01 01 02",
        "/properties/tilt.speed/set, value=-20 pan.speed=24, 81 01 06 01 18 14 02 02",
        "/properties/pan.speed/set, value=0 tilt.speed=0, 81 01 06 01 08 08 03 03",
        "/properties/tilt.speed/set, value=0 pan.speed=0, 81 01 06 01 08 08 03 03",
        "/properties/zoom.speed/set, value=0, 81 01 04 07 00",
        "/commands/moveTo/send, panSpeed=24 tiltSpeed=20 toPan=-2 toTilt=0x0123, 81 01 06 02 18 14 0f 0f 0f 0e 00 01 02 03",
        "/commands/moveBy/send, panSpeed=24 tiltSpeed=0 byPan=1 byTilt=-1, 81 01 06 03 18 00 00 00 00 01 0f 0f 0f 0f",
        "/commands/drive.home/send, , 81 01 06 04", "/commands/drive.reset/send, , 81 01 06 05",
        "/commands/zoom.stop/send, , 81 01 04 07 00",
        "/properties/zoom.speed/set, value=7, 81 01 04 07 27", "/properties/zoom.speed/set, value=-1, 81 01 04 07 31",
        "/commands/whiteBalance.trigger/send, , 81 01 04 10 05", // from memory
        "/properties/power/ask, , 81 09 04 00", "/properties/zoom/ask, , 81 09 04 47",
        "/properties/focus.mode/ask, , 81 09 04 38",
        "/properties/exposure.mode/ask, , 81 09 04 39", "/properties/whiteBalance/ask, , 81 09 04 35",
        "/properties/pan/ask, , 81 09 06 12", // from memory
        "/properties/focus.mode/answer, value=2, 90 50 02", "/properties/zoom/answer, value=0x4000, 90 50 04 00 00 00",
        "/properties/pan/answer, value=-1 tilt=2, 90 50 0f 0f 0f 0f 00 00 00 02", // from memory
        "/properties/tilt/answer, value=2 pan=-1, 90 50 0f 0f 0f 0f 00 00 00 02", "/heartbeat/send, , 81 09 04 00"})
    void viscaPacketsComeOutByteForByteBareAndOverIp(String pointer, String fields, String packet) {
        byte[] bare = SPACED.parseHex(packet);
        WireTemplate tcp = template("visca-camera", pointer);
        assertThat(tcp.encode(values(fields))).isEqualTo(bare);
        assertThat(tcp.match(bare)).contains(values(fields));
        assertThat(bare).as("ff ends a packet and can stand nowhere in it").doesNotContain(0xff);

        String type = packet.startsWith("90") ? "01 11" : packet.startsWith("81 09") ? "01 10" : "01 00";
        byte[] framed = SPACED.parseHex(type + " 00 %02x 00 00 01 02 ".formatted(bare.length + 1) + packet + " ff");
        Map<String, Value> numbered = values(fields);
        numbered.put("sequence", Value.of(0x0102));
        WireTemplate udp = template("visca-camera-ip", pointer);
        assertThat(udp.encode(numbered)).isEqualTo(framed);
        assertThat(udp.match(framed)).contains(numbered);
    }

    @ParameterizedTest
    @CsvSource({"90 41, /answers/ok/0", "90 42, /answers/ok/0", "90 51, /reports/0", "90 38, /reports/1",
        "90 60 01, /answers/refused/0/message",
        "90 60 02, /answers/refused/1/message", "90 60 03, /answers/refused/2/message",
        "90 61 04, /answers/refused/3/message",
        "90 62 05, /answers/refused/4/message", "90 61 41, /answers/refused/5/message"})
    void viscaRepliesFitTheirTemplateAndNoOther(String packet, String pointer) {
        byte[] bare = SPACED.parseHex(packet);
        byte[] framed = SPACED.parseHex("01 11 00 %02x 00 00 00 03 ".formatted(bare.length + 1) + packet + " ff");
        for (String each : List.of("/answers/ok/0", "/reports/0", "/reports/1", "/answers/refused/0/message",
                "/answers/refused/1/message",
                "/answers/refused/2/message", "/answers/refused/3/message", "/answers/refused/4/message",
                "/answers/refused/5/message",
                "/properties/power/answer", "/heartbeat/reply")) {
            assertThat(template("visca-camera", each).match(bare).isPresent()).as(each).isEqualTo(each.equals(pointer));
            assertThat(template("visca-camera-ip", each).match(framed).isPresent()).as(each)
                    .isEqualTo(each.equals(pointer));
        }
    }

    @Test
    void viscaOverIpControlRepliesAreRefusals() {
        assertThat(template("visca-camera-ip", "/answers/refused/6/message")
                .match(SPACED.parseHex("02 01 00 02 00 00 00 09 0f 01")))
                .contains(Map.of("sequence", Value.of(9)));
        assertThat(template("visca-camera-ip", "/answers/refused/7/message")
                .match(SPACED.parseHex("02 01 00 02 00 00 00 09 0f 02")))
                .contains(Map.of("sequence", Value.of(9)));
        assertThat(file("visca-camera-ip.json").get("port").asInt()).isEqualTo(52381);
    }

    /** Without the carriage return, which is the framing's. */
    @ParameterizedTest
    @CsvSource({"/properties/power/set, value=1, %1POWR 1", "/properties/power/ask, , %1POWR ?",
        "/properties/power/answer, value=3, %1POWR=3",
        "/properties/power/report, value=0, %1POWR=0", "/properties/input/set, value=31, %1INPT 31",
        "/properties/input/ask, , %1INPT ?",
        "/properties/input/answer, value=59, %1INPT=59", "/properties/mute/set, value=30, %1AVMT 30",
        "/properties/mute/ask, , %1AVMT ?",
        "/properties/mute/answer, value=11, %1AVMT=11", "/properties/lamp.hours/ask, , %1LAMP ?",
        "/properties/fault.fan/ask, , %1ERST ?",
        "/heartbeat/send, , %1POWR ?", "/answers/ok/0, , %1POWR=OK", "/answers/ok/1, , %1INPT=OK",
        "/answers/ok/2, , %1AVMT=OK",
        "/greeting, , PJLINK 0", "/answers/refused/4/message, , PJLINK ERRA",
        "/reports/0, fault.fan=0 fault.lamp=1 fault.temperature=2 fault.cover=0 fault.filter=1 fault.other=0, %1ERST=012010"})
    void pjlinkLinesComeOutByteForByte(String pointer, String fields, String line) {
        WireTemplate t = template("pjlink-projector", pointer);
        assertThat(new String(t.encode(values(fields)), StandardCharsets.US_ASCII)).isEqualTo(line);
        assertThat(t.match(line.getBytes(StandardCharsets.US_ASCII))).contains(values(fields));
    }

    @Test
    void pjlinkAnswersAreNoValuesWhenTheProjectorRefuses() {
        for (String property : List.of("power", "input", "mute", "lamp.hours", "fault.fan")) {
            WireTemplate answer = template("pjlink-projector", "/properties/" + property + "/answer");
            String word = template("pjlink-projector", "/properties/" + property + "/ask").toString().substring(0, 6);
            for (String no : List.of("ERR1", "ERR2", "ERR3", "ERR4", "OK")) {
                assertThat(answer.match((word + "=" + no).getBytes(StandardCharsets.US_ASCII))).as(property + no)
                        .isEmpty();
            }
        }
        for (int i = 1; i <= 4; i++) {
            byte[] line = ("%1POWR=ERR" + i).getBytes(StandardCharsets.US_ASCII);
            assertThat(template("pjlink-projector", "/answers/refused/" + (i - 1) + "/message").match(line))
                    .isPresent();
        }
        assertThat(template("pjlink-projector", "/greeting")
                .match("PJLINK 1 498e4a67".getBytes(StandardCharsets.US_ASCII))).isEmpty();
        assertThat(file("pjlink-projector.json").get("port").asInt()).isEqualTo(4352);
    }

    @Test
    void pjlinkLampHoursAreReadWithOneLampOrTwo() {
        WireTemplate t = template("pjlink-projector", "/properties/lamp.hours/answer");
        assertThat(t.match("%1LAMP=1234 1".getBytes(StandardCharsets.US_ASCII)))
                .contains(Map.of("value", Value.of("1234")));
        assertThat(t.match("%1LAMP=1234 1 99 0".getBytes(StandardCharsets.US_ASCII)))
                .contains(Map.of("value", Value.of("1234")));
    }

    @ParameterizedTest
    @ValueSource(strings = {"visca-camera", "visca-camera-ip", "pjlink-projector"})
    void everyTemplateCompilesAndEveryMoveIsCautioned(String kind) {
        JsonNode root = file(kind + ".json");
        List<WireTemplate> all = new ArrayList<>();
        root.get("properties").forEach(p -> List.of("set", "ask", "answer", "report").forEach(key -> {
            if (p.has(key)) {
                all.add(compiled(p.get(key)));
            }
        }));
        root.get("properties").properties().stream().filter(p -> p.getKey().matches("(pan|tilt)\\.speed"))
                .forEach(p -> assertThat(p.getValue().get("about").asString()).contains("CAUTION"));
        if (root.has("commands")) {
            root.get("commands").properties().forEach(command -> {
                all.add(compiled(command.getValue().get("send")));
                boolean moves = command.getKey().matches("drive\\.(?!stop).*|move.*|preset\\.recall");
                assertThat(command.getValue().get("about").asString().contains("CAUTION")).as(command.getKey())
                        .isEqualTo(moves);
            });
        }
        root.get("reports").forEach(r -> all.add(compiled(r)));
        assertThat(all).hasSizeGreaterThan(10)
                .allSatisfy(t -> assertThat(t.fields()).noneMatch(f -> f.name().equals("body")));
    }
}
