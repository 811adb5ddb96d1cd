package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** Conditions: an object of terms all of which must hold. */
final class ConditionShape {
    private static final String ABOUT = "What must hold: properties with values, any, all, not, link, switch, running, failed.";

    /** Of the whole site: properties are written with their device. */
    static final Shape CONDITION = new RefShape("condition", ConditionShape::site, "a condition in braces",
            "{ \"mixer.key.onAir\": true }");
    /** Inside a kind: properties are written without a device. */
    static final Shape OF_KIND = new RefShape("conditionOfKind", ConditionShape::kind, "a condition in braces",
            "{ \"key.onAir\": true }");

    private static final ObjectShape ABOVE = object("a comparison").need("above", number(0),
            "Holds for values greater than this.");
    private static final ObjectShape BELOW = object("a comparison").need("below", number(0),
            "Holds for values less than this.");
    private static final Shape TEST_OF_KIND = either(text(0, 1000), number(0), flag(), byKey("a comparison", ABOVE,
            BELOW, object("a comparison").need("not", VALUE, "Holds for every value but this.")));
    private static final Shape TEST = either(text(0, 1000), number(0), flag(), byKey("a comparison", ABOVE, BELOW,
            object("a comparison").need("not", VALUE_OR_ARGUMENT, "Holds for every value but this."),
            object("a comparison").need("argument", PROPERTY,
                    "Holds for the value of this argument of the macro.")));

    private ConditionShape() {}

    private static Shape site() {
        return logic(CONDITION)
                .may("link", map("an object of devices", NAME, "device", word("up", "down", "stale"),
                        "The state that the device's link must have.").atLeast(1),
                        "Links to devices and the state they must have.")
                .may("switch", map("an object of switches", NAME, "switch", word("on", "off"),
                        "How the switch must stand.").atLeast(1), "Switches of the panel and how they must stand.")
                .may("running", NAME, "Holds while a run of this macro has started and not ended.")
                .may("failed", NAME, "Holds while the sign of this macro's failure is shown.")
                .entries(REFERENCE, "property", TEST, "The value the property must have, or a comparison.");
    }

    private static Shape kind() {
        return logic(OF_KIND).entries(PROPERTY, "property", TEST_OF_KIND,
                "The value the property must have, or a comparison.");
    }

    private static ObjectShape logic(Shape inner) {
        return object("a condition").may("any", list(inner, "A condition of the list", 1, 100),
                "Holds if at least one of the conditions holds.")
                .may("all", list(inner, "A condition of the list", 1, 100),
                        "Holds if every one of the conditions holds.")
                .may("not", inner, "Holds if this condition does not. " + ABOUT).atLeast(1);
    }
}
