package bellpush.config.json;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.problem.Problem;
import bellpush.config.problem.Problems;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class JsonFileTest {
    @TempDir
    Path folder;

    private final Problems problems = new Problems();

    private Optional<Node> read(String text) {
        return JsonFile.read("a.json", text.getBytes(StandardCharsets.UTF_8), problems);
    }

    private String only() {
        List<Problem> all = problems.sorted();
        assertThat(all).hasSize(1);
        Problem p = all.getFirst();
        return p.at().line() + ":" + p.at().column() + "+" + p.length() + " " + p.found();
    }

    @Test
    void keysAndValuesKnowTheirPlaces() {
        Node.Obj root = (Node.Obj) read(
                "{\n  // a comment\n  \"a\" : [1, -2.5e1, \"x\\n\"], /* and */ \"b\":{\"c\":null,},\n}")
                .orElseThrow();

        Node.Member a = root.members().get("a");
        assertThat(a.spot().toString()).contains("a.json:3:3").contains("length=3");
        List<Node> items = ((Node.Arr) a.value()).items();
        assertThat(items.get(1).spot().toString()).contains("a.json:3:13").contains("length=6");
        assertThat(items.get(2)).isInstanceOfSatisfying(Node.Text.class, t -> assertThat(t.text()).isEqualTo("x\n"));
        assertThat(items.get(2).spot().toString()).contains("a.json:3:21").contains("length=5");
        assertThat(root.members().get("b").spot().toString()).contains("a.json:3:39");
        assertThat(problems.sorted()).isEmpty();
    }

    @Test
    void aByteOrderMarkIsIgnored() {
        assertThat(read("\uFEFF{ \"a\": 1 }").orElseThrow()).isInstanceOfSatisfying(Node.Obj.class,
                root -> assertThat(root.members().get("a").spot().at().column()).isEqualTo(3));
    }

    @Test
    void bytesThatAreNoUtf8AreNamed() {
        assertThat(JsonFile.read("a.json", new byte[]{'{', '\n', '"', (byte) 0xe4, '"', '}'}, problems)).isEmpty();
        assertThat(only()).isEqualTo("2:2+1 A byte here (hexadecimal e4) is not UTF-8 text.");
    }

    @Test
    void sixtyFourLevelsAreReadAndOneMoreIsNot() {
        assertThat(read("[".repeat(64) + "]".repeat(64))).isPresent();
        assertThat(read("[".repeat(65) + "]".repeat(65))).isEmpty();
        assertThat(only()).isEqualTo("1:65+1 Objects and lists are more than 64 deep here.");
        assertThat(read("{\"a\":".repeat(100_000))).isEmpty();
    }

    @Test
    void aFileOverFourMegabytesIsRefused() throws IOException {
        Files.writeString(folder.resolve("big.json"), "[" + " ".repeat(JsonFile.LARGEST) + "]");

        assertThat(JsonFile.read(folder, "big.json", problems)).isEmpty();
        assertThat(only()).isEqualTo("0:0+1 big.json is larger than 4 MB.");
    }

    @Test
    void aFolderInPlaceOfAFileIsNamed() throws IOException {
        Files.createDirectory(folder.resolve("site.json"));

        assertThat(JsonFile.read(folder, "site.json", problems)).isEmpty();
        assertThat(only()).isEqualTo("0:0+1 site.json is a folder.");
    }

    @Test
    void aLinkToNowhereCannotBeRead() throws IOException {
        Files.createSymbolicLink(folder.resolve("site.json"), folder.resolve("gone.json"));

        assertThat(JsonFile.read(folder, "site.json", problems)).isEmpty();
        assertThat(only()).isEqualTo("0:0+1 site.json cannot be read.");
    }

    @ParameterizedTest
    @CsvSource(delimiter = '|', quoteCharacter = '`', textBlock = """
            {"a":1,,"b":2}   | 1:8+1 There is a comma too many.
            {"a" 1}          | 1:6+1 A colon is missing after the key.
            {"a":}           | 1:6+1 A value is missing before this.
            [1 2]            | 1:4+1 A comma is missing before this.
            {"a":1]          | 1:7+1 This ] does not close the { of line 1.
            {"a":1}}         | 1:8+1 Something follows the end of the JSON.
            {"a":01}         | 1:6+2 01 is not a number as JSON writes them.
            {"a":+1}         | 1:6+2 +1 is not a number as JSON writes them.
            {"a":.5}         | 1:6+2 .5 is not a number as JSON writes them.
            {"a":NaN}        | 1:6+3 The word NaN means nothing here.
            {"a":1e999}      | 1:6+5 The number 1e999 is too large.
            {"a":"\\x"}      | 1:7+2 A backslash must be followed by one of " \\ / b f n r t, or u and four hex digits.
            {"a":"b          | 1:6+1 The text that begins here never ends.
            {"a":1           | 1:6+1 The file ends before the brace { of line 1 is closed.
            /* {             | 1:1+2 A comment begins here and never ends.
            // nothing       | 1:1+1 The file is empty.
            {'a':1}          | 1:2+1 A key in quotation marks is expected here.
            # {}             | 1:1+1 The word # means nothing here.
            {"a":1,"a":2}    | 1:8+3 The key "a" is used twice; first in line 1.
            """)
    void whatIsNoJsonIsExplained(String text, String expected) {
        read(text.replace("\\\\", "\\"));
        assertThat(only()).isEqualTo(expected.replace("\\\\", "\\"));
    }
}
