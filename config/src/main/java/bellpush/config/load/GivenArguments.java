package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.problem.DidYouMean;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.function.Function;

/**
 * What is given to a command or a macro under {@code with}: all that it has, and nothing else.
 *
 * @param to        whom it is given to, at the beginning of a sentence: {@code The command mixer.dissolve}
 * @param at        where that is named
 * @param onlyThese why nothing else can be given
 * @param known     the names of all arguments
 */
record GivenArguments(Reading reading, String to, Node.Text at, String onlyThese, Set<String> known) {
    /**
     * Reads them, as far as they can be read, in the order written.
     *
     * @param object has {@code with}, or not
     * @param value  reads one that has the name of an argument
     * @param takes  what the argument of a name takes, as a sentence
     * @param cure   how the argument of a name is given
     */
    <T> Map<String, T> read(Node.Obj object, Function<Node.Member, Optional<T>> value, Function<String, String> takes,
            Function<String, String> cure) {
        Map<String, T> given = new LinkedHashMap<>();
        List<Node.Member> written = List.copyOf(reading.members(object, "with"));
        for (Node.Member member : written) {
            if (known.contains(member.key())) {
                value.apply(member).ifPresent(found -> given.put(member.key(), found));
            } else if (FileShape.isPropertyName(member.key())) {
                reading.problems.error(member.spot(), to + " has no argument \"" + member.key() + "\".", onlyThese,
                        DidYouMean.cure(member.key(), known, "Remove it; it takes none."));
            }
        }
        List<String> names = written.stream().map(Node.Member::key).toList();
        List<String> missing = known.stream().filter(argument -> !names.contains(argument)).toList();
        if (!missing.isEmpty() && known.containsAll(names)) { // else a stranger may be the one that seems to be missing
            String first = missing.getFirst();
            reading.problems.error(at.spot(), to + " needs " + DidYouMean.list(missing) + ".", takes.apply(first),
                    cure.apply(first));
        }
        return given;
    }
}
