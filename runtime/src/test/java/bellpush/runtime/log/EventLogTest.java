package bellpush.runtime.log;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.core.Event;
import bellpush.runtime.show.Eventually;
import java.io.IOException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Instant;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CopyOnWriteArrayList;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.LongStream;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import tools.jackson.core.JsonParser;
import tools.jackson.core.JsonToken;
import tools.jackson.core.ObjectReadContext;
import tools.jackson.core.json.JsonFactory;

class EventLogTest {
    private static final Instant START = Instant.parse("2026-11-25T19:30:00Z");

    @TempDir
    Path folder;

    private final List<String> said = new CopyOnWriteArrayList<>();

    @Test
    void anEventIsOneLineWithItsFieldsInOrder() throws Exception {
        Map<String, Object> details = new LinkedHashMap<>();
        details.put("device", "mixer");
        details.put("count", 3L);
        details.put("level", -6.5);
        details.put("on", true);
        details.put("list", List.of("a", 1L));
        details.put("map", Map.of("key.fill", "slides"));
        EventLog log = EventLog.open(folder, 100, said::add);
        log.record(new Event(System.nanoTime(), "packet", "p12", details));
        log.close();

        List<String> lines = Files.readAllLines(log.path());
        assertThat(lines).singleElement().asString()
                .matches("\\{\"seq\":1,\"wall\":\"\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\d\\.\\d{3}Z\",\"mono\":\\d+,"
                        + "\"press\":\"p12\",\"what\":\"packet\",\"device\":\"mixer\",\"count\":3,\"level\":-6.5,\"on\":true,"
                        + "\"list\":\\[\"a\",1\\],\"map\":\\{\"key.fill\":\"slides\"\\}\\}");
        assertThat(log.path().getFileName().toString()).matches("evening-\\d{8}T\\d{6}Z\\.jsonl");
        assertThat(said).isEmpty();
    }

    @Test
    void afterALongQuietTheNextEventIsWrittenAllTheSame() throws Exception {
        EventLog log = EventLog.open(folder, 100, said::add);
        log.record(new Event(System.nanoTime(), "say", "", Map.of("text", "doors open")));
        Eventually.that("the thread sleeps until it is woken", () -> Thread.getAllStackTraces().keySet().stream()
                .anyMatch(thread -> thread.getName().equals("log") && thread.getState() == Thread.State.WAITING));
        log.record(new Event(System.nanoTime(), "say", "", Map.of("text", "first song")));
        Eventually.that("it is in the file", () -> lines(log.path()) == 2);
        log.close();
    }

    private static int lines(Path file) {
        try {
            return Files.readAllLines(file).size();
        } catch (IOException e) {
            throw new java.io.UncheckedIOException(e);
        }
    }

    @Test
    void theWallClockTellsWhenItHappenedNotWhenItWasWritten() {
        Event event = new Event(5_000, "say", "", Map.of());
        String line = new String(new EventLine().of(7, Instant.parse("2026-11-25T19:30:00.0009Z"), event));
        assertThat(line).isEqualTo(
                "{\"seq\":7,\"wall\":\"2026-11-25T19:30:00.000Z\",\"mono\":5000,\"what\":\"say\"}\n");
    }

    @Test
    void textThatADeviceSentCannotBreakALine() throws Exception {
        EventLog log = EventLog.open(folder, 100, said::add);
        log.record(new Event(0, "packet", "", Map.of("shown", "a\n{\"seq\":1}\u001b[2J\ud800")));
        log.close();
        List<String> lines = Files.readAllLines(log.path());
        assertThat(lines).hasSize(1);
        assertThat(lines.getFirst()).contains("\\u001b[2J\\ud800");
        assertThat(text(lines.getFirst(), "shown")).isEqualTo("a\n{\"seq\":1}\u001b[2J\ud800");
    }

    @Test
    void aGiantEventIsCut() throws Exception {
        EventLog log = EventLog.open(folder, 100, said::add);
        log.record(new Event(0, "note", "", Map.of("text", "x".repeat(1 << 20))));
        log.close();
        assertThat(Files.size(log.path())).isLessThan(EventLine.BYTES_MAX);
        assertThat(Files.readString(log.path())).contains("\"what\":\"note\",\"cut\":1048");
    }

    @Test
    void valuesNoJsonHasAreTextAndNeverAnError() throws Exception {
        Map<String, Object> details = new LinkedHashMap<>();
        details.put("nothing", null);
        details.put("odd", Double.NaN);
        details.put("deep", List.of(List.of(List.of(1L))));
        EventLog log = EventLog.open(folder, 100, said::add);
        log.record(new Event(0, "note", "", details));
        log.close();
        assertThat(Files.readString(log.path())).contains("\"nothing\":null,\"odd\":\"NaN\",\"deep\":[[[1]]]");
    }

    @Test
    void everyStartHasAFileOfItsOwn() throws Exception {
        Path taken = Files.writeString(folder.resolve("evening-20261125T193000Z.jsonl"), "old\n");
        EventLog log = new EventLog(folder, START, 100, LogFile::create, said::add);
        log.start();
        log.record(new Event(0, "say", "", Map.of()));
        log.close();
        assertThat(log.path()).isEqualTo(folder.resolve("evening-20261125T193000Z-2.jsonl"));
        assertThat(Files.readString(taken)).isEqualTo("old\n");
    }

    @Test
    void aTornLineOfTheLastEveningIsNotedAndLeftAlone() throws Exception {
        Files.writeString(folder.resolve("evening-20260101T190000Z.jsonl"), "{\"seq\":1}\n{\"se");
        EventLog log = EventLog.open(folder, 100, said::add);
        log.close();
        assertThat(Files.readString(log.path())).contains("evening-20260101T190000Z.jsonl, ends in a torn line");
        assertThat(Files.readString(folder.resolve("evening-20260101T190000Z.jsonl"))).isEqualTo("{\"seq\":1}\n{\"se");
    }

    @Test
    void aWholeLastLineIsNotNoted() throws Exception {
        Files.writeString(folder.resolve("evening-20260101T190000Z.jsonl"), "{\"seq\":1}\n");
        EventLog log = EventLog.open(folder, 100, said::add);
        log.close();
        assertThat(log.path()).isNull();
    }

    @Test
    void aFullDiskLosesCountedLinesOnlyAndTheLogSaysSoLater() throws Exception {
        TinyDisk disk = new TinyDisk();
        disk.room = 300;
        EventLog log = new EventLog(folder, START, 50, disk, said::add);
        log.start();
        for (int i = 0; i < 500; i++) {
            log.record(new Event(System.nanoTime(), "say", "", Map.of("n", (long) i)));
            if (i == 100) {
                Eventually.that("the trouble was said", () -> !said.isEmpty());
            }
        }
        disk.room = Long.MAX_VALUE;
        Eventually.that("the loss was stated", () -> disk.text().contains("\"lost\":"));
        log.close();

        List<String> lines = disk.text().lines().toList();
        List<Long> sequence = lines.stream().map(line -> number(line, "seq")).toList();
        assertThat(sequence).as("each line once, in order").isSorted().doesNotHaveDuplicates();
        long lost = lines.stream().mapToLong(line -> number(line, "lost")).filter(n -> n > 0).sum();
        assertThat(lost).isPositive();
        long kept = lines.stream().filter(line -> line.contains("\"n\":")).count();
        assertThat(kept + lost).isEqualTo(500);
        assertThat(said.getFirst()).contains("cannot be written", "No space left on device", "The show goes on");
        assertThat(said.get(1)).contains("can be written again");
    }

    @Test
    void aFolderThatVanishesIsMadeAgainAndTheLossIsStated() throws Exception {
        Path logs = folder.resolve("logs");
        EventLog log = EventLog.open(logs, 100, said::add);
        log.record(new Event(0, "say", "", Map.of("text", "prologue")));
        Eventually.that("the first line is there", () -> log.path() != null && size(log.path()) > 0);
        Files.delete(log.path());
        Files.delete(logs);
        AtomicInteger n = new AtomicInteger();
        Eventually.that("a new file states the loss", () -> {
            log.record(new Event(0, "say", "", Map.of("n", (long) n.incrementAndGet())));
            return all(logs).contains("\"lost\":");
        });
        log.record(new Event(0, "say", "", Map.of("text", "after")));
        log.close();
        assertThat(all(logs)).contains("after").doesNotContain("prologue");
        assertThat(said).anyMatch(text -> text.contains("was deleted while it was being written"));
    }

    @Test
    void aFolderThatCannotBeMadeDoesNotStopAnybody() throws Exception {
        Path inTheWay = Files.writeString(folder.resolve("file"), "not a folder");
        EventLog log = EventLog.open(inTheWay.resolve("logs"), 10, said::add);
        LongStream.range(0, 100).forEach(i -> log.record(new Event(0, "say", "", Map.of())));
        log.close();
        assertThat(said.getFirst()).contains("cannot be written");
        assertThat(said.getLast()).contains("missing its last 100 lines");
    }

    private static long size(Path path) {
        try {
            return Files.size(path);
        } catch (IOException e) {
            return 0;
        }
    }

    private static String all(Path folder) {
        try (Stream<Path> files = Files.list(folder)) {
            StringBuilder all = new StringBuilder();
            for (Path file : files.toList()) {
                all.append(Files.readString(file));
            }
            return all.toString();
        } catch (IOException e) {
            return "";
        }
    }

    private static long number(String line, String name) {
        String text = text(line, name);
        return text == null ? 0 : Long.parseLong(text);
    }

    private static String text(String line, String name) {
        try (JsonParser parser = new JsonFactory().createParser(ObjectReadContext.empty(), line)) {
            String found = null;
            while (parser.nextToken() != null) {
                if (parser.currentToken() == JsonToken.PROPERTY_NAME && parser.currentName().equals(name)) {
                    parser.nextToken();
                    found = parser.getString();
                }
            }
            return found;
        }
    }

    /** A disk in memory that is full after some bytes, in the middle of a line, as disks are. */
    private static final class TinyDisk implements LogFile.Opener {
        private final StringBuffer written = new StringBuffer();
        volatile long room;
        private boolean created;

        String text() {
            return written.toString();
        }

        @Override
        public LogFile create(Path file) throws IOException {
            if (created) {
                throw new FileAlreadyExistsException(file.toString());
            }
            created = true;
            return new LogFile() {
                @Override
                public void append(byte[] bytes) throws IOException {
                    if (written.length() + bytes.length > room) {
                        throw new IOException("No space left on device");
                    }
                    written.append(new String(bytes, java.nio.charset.StandardCharsets.UTF_8));
                }

                @Override
                public void sync() {}

                @Override
                public boolean isThere() {
                    return true;
                }

                @Override
                public void close() {}
            };
        }
    }
}
