package bellpush.runtime.prove;

import bellpush.config.model.Source;
import java.util.List;

/**
 * Something that a site promises and does not keep, or that cannot be meant.
 *
 * @param of      the macro or the lamp of which it was found; the family, where it is so of several macros of one
 * @param about   which of several findings of this kind: a property, another macro, or a step; may be empty
 * @param presses how many presses the story has, the last of them the macro's own
 * @param outside how many changes by somebody at a device it needs
 * @param story   step by step how it comes to it; the shortest there is; empty where it can be seen without
 */
public record Finding(What what, String of, String about, Source at, String found, String why, String cure, int presses,
        int outside, List<String> story) {

    Finding(What what, String of, Source at, String found, String why, String cure, int presses, int outside,
            List<String> story) {
        this(what, of, "", at, found, why, cure, presses, outside, story);
    }

    Finding about(Object thing) {
        return new Finding(what, of, thing.toString(), at, found, why, cure, presses, outside, story);
    }

    /** What kind of finding, and the word by which an admin accepts it. */
    public enum What {
        /** A macro can end without its promise. */
        BROKEN_PROMISE("broken promise"),
        /** A macro that promises nothing can fail although all gear is well. */
        FAILS("fails"),
        /** A property is changed while it must be steady, or may have to be. */
        UNSTEADY("unsteady"),
        /** A property is set while a command of the same macro that changes it is not done yet. */
        TOO_EARLY("too early"),
        /** The opposite of a value that the macro has neither set nor looked at. */
        TOGGLE("toggle"),
        /** Two macros can change one property in turns. */
        INTERLEAVED("interleaved"),
        /** With a device down, it does not stop in a safe state. */
        DEVICE_DOWN("device down"),
        /** A wait is shorter than the time that what it waits for takes. */
        SHORT_WAIT("short wait"),
        /** An until that never comes to hold. */
        NEVER_HOLDS("never holds"),
        /** A step that never runs. */
        DEAD_STEP("dead step"),
        /** A lamp's rule that never shows. */
        DEAD_RULE("dead rule"),
        /** A promise of a property that the macro does not set. */
        UNKEPT("promise not set"),
        /** A value is remembered and never put back, or remembered when it is no longer what it was. */
        NOT_RESTORED("not restored"),
        /** A step that stands there twice in a row. */
        REPEATED("repeated step"),
        /** A press that is ignored, of a macro of which each counts. */
        LOST_PRESS("lost press"),
        /** A macro without a promise. */
        NO_PROMISE("no promise");

        private final String word;

        What(String word) {
            this.word = word;
        }

        /** The words used in JSON and in the site's file of accepted findings. */
        public String word() {
            return word;
        }
    }
}
