package bellpush.config.model;

import java.util.Optional;

/** What a lamp shows. Brightness from 0 to 1 as the eye sees it; colour is one of the panel's colour words. */
public record Look(Pattern pattern, double brightness, Optional<String> colour) {
    public static final Look OFF = new Look(Pattern.OFF, 0, Optional.empty());

    public static Look of(Pattern pattern) {
        return new Look(pattern, pattern == Pattern.OFF ? 0 : 1, Optional.empty());
    }

    /**
     * Flash rates within IEC 60073's bands (0.4 to 0.8 Hz and 1.4 to 2.8 Hz) and below three flashes a second (WCAG 2.3.1):
     * slow 0.5 Hz, fast 2 Hz, on and off alike; pulse is a short flash every two seconds.
     */
    public enum Pattern {
        OFF, STEADY, SLOW, FAST, PULSE;

        /** The word used in JSON, messages and the log. */
        public String word() {
            return name().toLowerCase(java.util.Locale.ROOT);
        }
    }
}
