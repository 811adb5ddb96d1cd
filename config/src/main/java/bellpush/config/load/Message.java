package bellpush.config.load;

import bellpush.config.model.Template;
import bellpush.config.problem.Spot;
import java.util.Set;

/** A template that was read, where it stands, and the names of its fields. */
record Message(Template template, Spot spot, Set<String> fields) {}
