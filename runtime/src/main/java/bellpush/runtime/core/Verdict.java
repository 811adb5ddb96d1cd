package bellpush.runtime.core;

/** Whether a condition holds, as far as is known for certain. */
public enum Verdict {
    YES, NO,
    /** It rests on something unknown, or on something assumed that its device will report. */
    UNSURE
}
