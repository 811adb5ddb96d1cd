package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.problem.DidYouMean;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.function.Function;

/** The site's kinds and, behind them, the built-in ones, which are read only when a device asks for one. */
final class Kinds {
    private final Reading reading;
    private final Map<String, Optional<KindDraft>> known;
    private final Set<String> builtIn;
    private final Function<String, Optional<KindDraft>> readBuiltIn;
    private final Set<String> used = new HashSet<>();
    private final boolean complete;
    private boolean unknown;

    /**
     * @param ofSite   by name; empty where the file could not be read
     * @param complete whether the site's folder of kinds could be read; if not, nothing is said about unknown names
     */
    Kinds(Reading reading, Map<String, Optional<KindDraft>> ofSite, boolean complete, Set<String> builtIn,
            Function<String, Optional<KindDraft>> readBuiltIn) {
        this.reading = reading;
        this.known = new LinkedHashMap<>(ofSite);
        this.complete = complete;
        this.builtIn = builtIn;
        this.readBuiltIn = readBuiltIn;
    }

    Optional<KindDraft> get(Node.Text node) {
        String name = node.text();
        used.add(name);
        if (!known.containsKey(name) && builtIn.contains(name)) {
            known.put(name, readBuiltIn.apply(name));
        }
        if (!known.containsKey(name)) {
            unknown = true;
            if (!complete || Names.misnamed(name, known.keySet())) {
                return Optional.empty();
            }
            Set<String> all = new TreeSet<>(known.keySet());
            all.addAll(builtIn);
            reading.problems.error(node.spot(), "There is no kind \"" + name + "\".",
                    "A kind says how the device is spoken to; it is a file in the folder kinds, or built in.",
                    DidYouMean.cure(name, all, "Write the file kinds/" + name + ".json."));
            return Optional.empty();
        }
        return known.get(name);
    }

    /** Whether no device is of the kind. While a name is unknown, that name may have been meant for it. */
    boolean unused(String name) {
        return !unknown && !used.contains(name);
    }
}
