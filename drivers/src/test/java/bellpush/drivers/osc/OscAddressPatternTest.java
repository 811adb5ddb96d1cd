package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;

import java.time.Duration;
import java.util.List;
import java.util.Random;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

class OscAddressPatternTest {

    /** Computed from the rules of OSC 1.0, "OSC Message Dispatching and Pattern Matching". */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {"/a/? | /a/b | true", "/a/? | /a/bc | false", "/a/* | /a/b/c | false",
        "/?/b/*c | /x/b/abc | true", "/second/[1-2] | /second/2 | true", "/second/[!1-2] | /second/3 | true",
        "/second/[!1-2] | /second/1 | false", "/x/[a!] | /x/! | true", "/x/[a-] | /x/- | true",
        "/{foo,bar}/1 | /bar/1 | true", "/{foo,bar}/1 | /ba/1 | false", "/a*b*c | /aXbYc | true"})
    void rulesOfOsc10(String pattern, String address, boolean match) {
        assertThat(OscAddressPattern.of(pattern).orElseThrow().matches(address)).isEqualTo(match);
        assertThat(OscAddressPattern.isPattern(pattern)).isTrue();
        assertThat(OscAddressPattern.isPattern(address.replace("!", "x"))).isFalse();
    }

    /** More of the same rules: case, empty matches, ends, and no wildcard across a slash. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {"/a | /a | true", "/a | /A | false", "/a | /ab | false", "/ab | /a | false",
        "/a/* | /a/ | true", "/* | /a/b | false", "/a? | /a/ | false", "/a[!x]b | /a/b | false",
        "/[x-z]1 | /y1 | true", "/[a-cx] | /x | true", "/[a-cx] | /d | false", "/[-a] | /- | true",
        "/{a,ab}c | /abc | true", "/{,x}y | /y | true", "/{a,b}{a,b} | /ba | true", "/** | /abc | true",
        "/*/*/* | /a/b/c | true", "/[] | /a | false", "/[!] | /a | true", "/[z-a] | /m | false"})
    void moreOfOsc10(String pattern, String address, boolean match) {
        assertThat(OscAddressPattern.of(pattern).orElseThrow().matches(address)).isEqualTo(match);
    }

    /** OSC 1.1, Freed and Schmeder, NIME 2009, section 5: {@code //spherical} matches {@code /position/spherical}. */
    @ParameterizedTest
    @CsvSource(delimiter = '|', value = {"//spherical | /position/spherical | true", "//spherical | /spherical | true",
        "//spherical | /a/b/c/spherical | true", "//spherical | /position/spherical/x | false",
        "/a//z | /a/z | true", "/a//z | /a/b/c/z | true", "/a//z | /b/z | false", "//*/x? | /q/x1 | true",
        "//x | /ax | false", "//a//b | /1/a/2/b | true"})
    void anyLevelsOfOsc11(String pattern, String address, boolean match) {
        assertThat(OscAddressPattern.of(pattern).orElseThrow().matches(address)).isEqualTo(match);
        assertThat(OscAddressPattern.isPattern(pattern)).isTrue();
    }

    @ParameterizedTest
    @ValueSource(strings = {"/a[", "/a[1-2", "/a]", "/{a", "/a}", "/{a,{b}}", "/{a/b}"})
    void whatDoesNotPairUpIsNoPattern(String pattern) {
        assertThat(OscAddressPattern.of(pattern)).isEmpty();
    }

    @Test
    void patternsTooLongAreNone() {
        assertThat(OscAddressPattern.of("/" + "a".repeat(255))).isPresent();
        assertThat(OscAddressPattern.of("/" + "a".repeat(256))).isEmpty();
    }

    /** The worked example at the end of OSC 1.0, "Temporal Semantics and OSC Time Tags" and pattern matching. */
    @Test
    void dispatchExampleOfTheSpecificationCallsAllSixInOrder() {
        List<String> methods = List.of("/first/this/one", "/second/1", "/second/2", "/third/a", "/third/b", "/third/c");
        OscBundle bundle = new OscBundle(OscTimeTag.IMMEDIATELY, new OscMessage("/first/this/one"),
                new OscMessage("/second/[1-2]"), new OscMessage("/third/*"));

        List<List<String>> called = bundle.elements().stream().map(m -> ((OscMessage) m).address())
                .map(p -> methods.stream().filter(OscAddressPattern.of(p).orElseThrow()::matches).toList()).toList();

        assertThat(called).containsExactly(List.of("/first/this/one"), List.of("/second/1", "/second/2"),
                List.of("/third/a", "/third/b", "/third/c"));
    }

    /** The worst pattern and address allowed: backtracking would not end in the lifetime of the test. */
    @Test
    void starsDoNotBlowUp() {
        String pattern = "/" + "*a".repeat(127);
        String address = "/" + "a".repeat(5_000) + "b";
        Assertions.assertTimeoutPreemptively(Duration.ofSeconds(10),
                () -> assertThat(OscAddressPattern.of(pattern).orElseThrow().matches(address)).isFalse());
    }

    /** Random patterns against regular expressions that say the same in another way. */
    @Test
    void agreesWithRegularExpressions() {
        Random random = new Random(7);
        String[][] pieces = {{"a", "a"}, {"b", "b"}, {"/", "/"}, {"?", "[^/]"}, {"*", "[^/]*"}, {"[ab]", "[ab]"},
            {"[!a]", "[^a/]"}, {"{a,bb,}", "(a|bb|)"}};
        int matches = 0;
        for (int n = 0; n < 50_000; n++) {
            StringBuilder pattern = new StringBuilder("/");
            StringBuilder regex = new StringBuilder("/");
            for (int i = random.nextInt(7); i > 0; i--) {
                String[] piece = pieces[random.nextInt(pieces.length)];
                if (!piece[0].equals("/") || pattern.charAt(pattern.length() - 1) != '/') {
                    pattern.append(piece[0]);
                    regex.append(piece[1]);
                }
            }
            StringBuilder address = new StringBuilder("/");
            for (int i = random.nextInt(6); i > 0; i--) {
                address.append("abc/".charAt(random.nextInt(4)));
            }
            boolean expected = Pattern.matches(regex.toString(), address);
            matches += expected ? 1 : 0;
            assertThat(OscAddressPattern.of(pattern.toString()).orElseThrow().matches(address.toString()))
                    .as("%s on %s", pattern, address).isEqualTo(expected);
        }
        assertThat(matches).isGreaterThan(1_000);
    }
}
