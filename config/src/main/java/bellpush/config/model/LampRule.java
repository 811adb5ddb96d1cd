package bellpush.config.model;

import java.util.Optional;

/** If {@code when} holds (always, where empty), the lamp shows {@code show}. */
public record LampRule(Optional<Condition> when, Look show, Source at) {}
