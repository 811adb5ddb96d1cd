package bellpush.config.model;

/** What a property can hold. Choices are {@link Text} with the choice's name. */
public sealed interface Value {
    record Flag(boolean on) implements Value {
        @Override
        public String toString() {
            return Boolean.toString(on);
        }
    }

    /** A finite number; whole properties hold it without a fraction. */
    record Num(double number) implements Value {
        public Num {
            if (!Double.isFinite(number)) {
                throw new IllegalArgumentException("not a finite number: " + number);
            }
            number = number == 0 ? 0.0 : number; // no negative zero: equal values must be equal records
        }

        @Override
        public String toString() {
            return number == Math.rint(number) && Math.abs(number) < 1e15
                    ? Long.toString((long) number)
                    : Double.toString(number);
        }
    }

    record Text(String text) implements Value {
        @Override
        public String toString() {
            return text;
        }
    }

    static Value of(boolean on) {
        return new Flag(on);
    }

    static Value of(double number) {
        return new Num(number);
    }

    static Value of(String text) {
        return new Text(text);
    }
}
