package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Ease;
import bellpush.config.model.Operand;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Speeds;
import bellpush.config.model.Step;
import bellpush.config.problem.Spot;
import java.time.Duration;
import java.util.Collections;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;

/** Reads one glide step. */
final class GlideReader {
    private final Rules rules;
    private final Reading reading;
    private final OperandReader operands;

    GlideReader(Rules rules, OperandReader operands) {
        this.rules = rules;
        this.operands = operands;
        this.reading = rules.reading;
    }

    Step read(Node.Obj object) {
        Duration over = rules.times.positive(object, "over", Duration.ofSeconds(1));
        Map<PropertyRef, Operand> values = new LinkedHashMap<>();
        Map<PropertyRef, String> movedBy = new HashMap<>();
        for (Node.Member member : reading.members(object, "glide")) {
            if (!FileShape.isReference(member.key())) {
                continue; // the shape has refused the key
            }
            rules.names.property(member.spot(), member.key()).filter(found -> suits(member.spot(), found, over))
                    .ifPresent(found -> {
                        apart(member.spot(), found, movedBy);
                        operands.of(member, found).ifPresent(operand -> values.put(found.ref(), operand));
                    });
        }
        Ease ease = reading.text(object, "ease").map(word -> Ease.valueOf(word.toUpperCase(Locale.ROOT)))
                .orElse(Ease.BOTH);
        return new Step.Glide(Collections.unmodifiableMap(values), over, ease, object.spot().at());
    }

    private boolean suits(Spot spot, Names.Found found, Duration over) {
        Property property = found.property();
        if (property.type().range().isEmpty()) {
            reading.problems.error(spot, found.ref() + " is no number, so it cannot glide.",
                    found.ref() + " takes " + Values.describe(property.type())
                            + ", and there is nothing between two of them.",
                    "Write it in a \"set\".");
            return false;
        }
        if (property.move().isEmpty()) {
            rules.settable(spot, found);
        } else if (property.set().isEmpty() && over.compareTo(property.move().get().longest()) > 0) {
            reading.problems.error(spot,
                    found.ref() + " cannot glide for longer than " + Times.words(property.move().get().longest()) + ".",
                    "That is the longest move of its kind, and the kind has no \"set\" to do it in steps.",
                    "Write a shorter \"over\", or give the property a \"set\" in its kind.");
        }
        if (property.move().isEmpty() && property.speeds().isEmpty() && property.takes().isPositive()) {
            reading.problems.warning(spot,
                    found.ref() + " takes " + Times.words(property.takes()) + " to get to each value it is sent.",
                    "A glide sends it many values, one after the other, and it may only arrive at the last of them.",
                    "Give it a \"move\" or \"speeds\" in its kind, or set it.");
        }
        return true;
    }

    /** Two properties that one speed moves cannot go their own ways. */
    private void apart(Spot spot, Names.Found found, Map<PropertyRef, String> movedBy) {
        String name = found.ref().toString();
        String other = movedBy.putIfAbsent(found.ref(), name);
        String byOther = found.property().speeds().map(Speeds::by)
                .map(by -> movedBy.putIfAbsent(new PropertyRef(found.ref().device(), by), name)).orElse(null);
        if (other != null || byOther != null) {
            reading.problems.error(spot, name + " and " + (other != null ? other : byOther)
                    + " cannot glide in one step.",
                    "One speed moves both, and it can have only one value at a time.",
                    "Glide one after the other.");
        }
    }
}
