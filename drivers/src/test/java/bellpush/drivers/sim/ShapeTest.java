package bellpush.drivers.sim;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.Template;
import bellpush.config.model.Value;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.junit.jupiter.api.Test;

class ShapeTest {
    @Test
    void textCountsItsLettersAndNamesItsFields() {
        assertThat(Shape.of(new Template.Text("AB {value} {key.fill:dec3}"))).isEqualTo(
                new Shape(Set.of("value", "key.fill"), 8));
        assertThat(Shape.of(new Template.Text("{{x}}"))).as("doubled braces are braces")
                .isEqualTo(new Shape(Set.of(), 6));
        assertThat(Shape.of(new Template.Text("a{"))).as("a brace that nothing closes is no field")
                .isEqualTo(new Shape(Set.of(), 4));
    }

    @Test
    void hexCountsDigitsAndNotBlanks() {
        assertThat(Shape.of(new Template.Hex("81 01 {value:u8} ff"))).isEqualTo(new Shape(Set.of("value"), 6));
        assertThat(Shape.of(new Template.Hex("8{value:nibble}"))).isEqualTo(new Shape(Set.of("value"), 1));
    }

    @Test
    void oscCountsItsAddressAndItsFixedArguments() {
        var field = new Template.OscArgument(' ', Optional.of("value"), Optional.empty());
        var fixed = new Template.OscArgument('i', Optional.empty(), Optional.of(Value.of(3)));
        assertThat(Shape.of(new Template.Osc("/a/{line}", List.of(field)))).isEqualTo(
                new Shape(Set.of("line", "value"), 6));
        assertThat(Shape.of(new Template.Osc("/a", List.of(fixed))).fixed()).isGreaterThan(
                Shape.of(new Template.Osc("/a", List.of(field))).fixed());
    }
}
