package bellpush.runtime.kit;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.load.Loaded;
import bellpush.config.model.Pin;
import bellpush.config.model.Site;
import bellpush.config.problem.Problem;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import net.jqwik.api.constraints.IntRange;
import org.junit.jupiter.api.Test;

class ProposalTest {
    private static Proposal proposal(String panel) {
        return Proposal.of(SmallSite.with(panel).panel()).orElseThrow();
    }

    @Test
    void pinsWithoutASecondJobComeFirst() {
        Proposal proposal = proposal("""
                { "buttons": { "one": { "label": "1", "lamp": {} }, "two": { "label": "2", "pin": 5 } },
                  "knobs": { "level": { "label": "L", "turns": "desk.level" } } }""");
        assertThat(proposal.panel())
                .isEqualTo(Map.of("knobs", Map.of("level", Map.of("pins", List.of(6, 16))), "buttons",
                        Map.of("one", Map.of("pin", 17, "lamp", Map.of("pin", 22)))));
    }

    @Test
    void aDimmedLampGetsAPinThatMakesPulses() {
        assertThat(proposal("{ \"lamps\": { \"x\": { \"label\": \"X\", \"dims\": true, \"rules\": [] } } }").panel())
                .isEqualTo(Map.of("lamps", Map.of("x", Map.of("pin", 12))));
    }

    @Test
    void aFaderGetsAConverter() {
        Proposal proposal = proposal("{ \"faders\": { \"x\": { \"label\": \"X\", \"moves\": \"desk.level\" } } }");
        assertThat(proposal.panel()).isEqualTo(Map.of("chips",
                Map.of("adc", Map.of("converter", "mcp3008", "bus", "spi-0.0")), "faders",
                Map.of("x", Map.of("input", "adc.0"))));
    }

    @Test
    void nothingIsProposedWhereEverythingHasItsPin() {
        assertThat(Proposal.of(SmallSite.with("{ \"buttons\": { \"x\": { \"label\": \"X\", \"pin\": 5 } } }").panel()))
                .isEmpty();
    }

    @Test
    void whereTheHeaderIsFullExpandersCarryTheRest() {
        Proposal proposal = proposal(panel(20, 2, 20, Map.of()));
        assertThat(proposal.notes())
                .anyMatch(note -> note.contains("2 MCP23017 expanders (more-a, more-b) carry the rest"));
        assertThat(proposal.text(80)).contains("// A proposal", "\"expander\": \"mcp23017\"");
    }

    @Test
    void whatTheBoardCannotCarryIsSaid() {
        assertThat(proposal(panel(90, 0, 90, Map.of())).notes())
                .anyMatch(note -> note.contains("Even with 8 expanders"));
    }

    /** Pasted into the panel, any proposal gives a site without errors in which everything has its pin. */
    @Property(tries = 40)
    void aProposalThatIsPastedLoadsAndLeavesNothingOut(@ForAll @IntRange(max = 40) int buttons,
            @ForAll @IntRange(max = 5) int knobs, @ForAll @IntRange(max = 30) int lamps) {
        Optional<Proposal> proposal = Proposal.of(SmallSite.with(panel(buttons, knobs, lamps, Map.of())).panel());
        if (buttons + knobs + lamps == 0) {
            assertThat(proposal).isEmpty();
            return;
        }
        Loaded loaded = SmallSite.load(panel(buttons, knobs, lamps, proposal.orElseThrow().panel()));
        assertThat(loaded.problems()).filteredOn(problem -> problem.severity() == Problem.Severity.ERROR).isEmpty();
        Site site = loaded.site().orElseThrow();
        assertThat(WiringPlan.of(site.panel()).without()).isEmpty();
        site.panel().knobs().values().forEach(knob -> assertThat(bank(knob.pinA().orElseThrow()))
                .as("both channels of a knob on one chip").isEqualTo(bank(knob.pinB().orElseThrow())));
    }

    private static String bank(Pin pin) {
        return pin instanceof Pin.OfChip(String chip, _, _) ? chip : "header";
    }

    /** @param laidOver what was proposed */
    private static String panel(int buttons, int knobs, int lamps, Map<String, Object> laidOver) {
        Map<String, Object> panel = new LinkedHashMap<>();
        for (int i = 0; i < buttons; i++) {
            Proposal.put(panel, "B" + i, "buttons", "b" + i, "label");
        }
        for (int i = 0; i < knobs; i++) {
            Proposal.put(panel, "K" + i, "knobs", "k" + i, "label");
            Proposal.put(panel, "desk.level", "knobs", "k" + i, "turns");
        }
        for (int i = 0; i < lamps; i++) {
            Proposal.put(panel, "L" + i, "lamps", "l" + i, "label");
            Proposal.put(panel, List.of(), "lamps", "l" + i, "rules");
        }
        lay(panel, laidOver);
        return new Proposal(panel, List.of()).text(100);
    }

    @SuppressWarnings("unchecked")
    private static void lay(Map<String, Object> under, Map<String, Object> over) {
        over.forEach((key, value) -> {
            if (under.get(key) instanceof Map<?, ?> below && value instanceof Map<?, ?> above) {
                lay((Map<String, Object>) below, (Map<String, Object>) above);
            } else {
                under.put(key, value);
            }
        });
    }
}
