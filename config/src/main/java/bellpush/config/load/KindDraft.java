package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.model.Kind;
import java.util.Map;

/**
 * A kind as far as it could be read. Names that stand in the file but could not be read are known all the same, so that
 * one mistake in a kind is not repeated at everything that uses it.
 *
 * @param kind             without the properties and commands that could not be read
 * @param propertyMembers  all properties in the file
 * @param commandMembers   all commands in the file
 */
record KindDraft(Kind kind, Map<String, Node.Member> propertyMembers, Map<String, Node.Member> commandMembers) {}
