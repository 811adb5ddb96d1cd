package bellpush.drivers.link;

import bellpush.config.model.Kind;
import bellpush.config.model.Move;
import bellpush.drivers.spi.Outcome;
import bellpush.drivers.spi.Request;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import java.util.function.BiConsumer;

/**
 * Requests that cannot leave yet, because it is the device's turn or because it does not read. Order is kept, with one
 * exception: of two sets of one property only the newer one matters, so it takes the older one's place. A number may do so
 * past other numbers (two knobs turned at once). Nothing moves past a command, a question, or a switch (flag, choice,
 * text), for there the order means something: hide, move, show. Only when all places are taken does the newest value of a
 * property take the place of an older one whatever stands between; if there is none, the newcomer fails. An urgent command
 * or set goes to the front, past everything but other urgent ones; what waits and would undo it fails.
 */
final class WaitingRequests {
    private final Kind kind;
    private final int max;
    private final BiConsumer<Request, Outcome> outcomes;
    private final List<Request> requests = new ArrayList<>();

    WaitingRequests(Kind kind, int max, BiConsumer<Request, Outcome> outcomes) {
        this.kind = kind;
        this.max = max;
        this.outcomes = outcomes;
    }

    boolean isEmpty() {
        return requests.isEmpty();
    }

    int size() {
        return requests.size();
    }

    Request next() {
        return requests.removeFirst();
    }

    boolean nextIsUrgent() {
        return !requests.isEmpty() && urgent(requests.getFirst());
    }

    boolean urgent(Request request) {
        return switch (request) {
            case Request.DoCommand act -> kind.commands().containsKey(act.command())
                    && kind.commands().get(act.command()).urgent();
            case Request.SetProperty set -> set.urgent();
            case Request.AskProperty _ -> false;
        };
    }

    /** Whether both change the same property; of something urgent, for a message that must not follow it. */
    boolean undoes(Request other, Request urgent) {
        return changed(other).stream().anyMatch(changed(urgent)::contains);
    }

    /** The same for a message that has been sent: its bytes carry other properties too, as they were then. */
    boolean undoesWhenRepeated(Request other, Request urgent) {
        return undoes(other, urgent) || carried(other).stream().anyMatch(changed(urgent)::contains);
    }

    private Set<String> carried(Request request) {
        return switch (request) {
            case Request.SetProperty set when kind.properties().containsKey(set.property()) ->
                (set.over().isPositive()
                        ? kind.properties().get(set.property()).move().map(Move::send)
                        : kind.properties().get(set.property()).set()).map(Fields::of).orElse(Set.of());
            case Request.DoCommand act when kind.commands().containsKey(act.command()) ->
                Fields.of(kind.commands().get(act.command()).send());
            case Request.SetProperty _,Request.DoCommand _,Request.AskProperty _ -> Set.of();
        };
    }

    private Set<String> changed(Request request) {
        return switch (request) {
            case Request.SetProperty set -> Set.of(set.property());
            case Request.DoCommand act when kind.commands().containsKey(act.command()) ->
                kind.commands().get(act.command()).effect().keySet();
            case Request.DoCommand _,Request.AskProperty _ -> Set.of();
        };
    }

    /** To the front. It fails only if all places are taken by urgent ones. */
    void addUrgent(Request act) {
        List<Request> lost = requests.stream().filter(
                other -> !urgent(other) && undoes(other, act) || older(other, act)).toList();
        requests.removeAll(lost);
        int before = (int) requests.stream().filter(this::urgent).count();
        if (before < max) {
            requests.add(before, act);
        } else {
            outcomes.accept(act, new Outcome.Failed(max + " urgent messages are waiting for the device already"));
        }
        lost.forEach(other -> outcomes.accept(other, older(other, act)
                ? new Outcome.Replaced()
                : new Outcome.Failed(switch (act) {
                    case Request.DoCommand command -> command.command();
                    case Request.SetProperty set -> set.property() + " " + set.value();
                    case Request.AskProperty ask -> ask.property();
                } + " went ahead of it")));
    }

    private static boolean older(Request other, Request newer) {
        return other instanceof Request.SetProperty a && newer instanceof Request.SetProperty b
                && a.property().equals(b.property());
    }

    void add(Request request) {
        if (request instanceof Request.SetProperty set) {
            int older = olderToReplace(set);
            if (older >= 0) {
                Request replaced = requests.set(older, set);
                outcomes.accept(replaced, new Outcome.Replaced());
                return;
            }
        }
        if (requests.size() < max) {
            requests.add(request);
            return;
        }
        int oldest = request instanceof Request.SetProperty set ? oldest(set.property()) : -1;
        if (oldest < 0) {
            outcomes.accept(request, new Outcome.Failed(max + " messages are waiting for the device already"));
            return;
        }
        Request replaced = requests.remove(oldest);
        requests.add(request);
        outcomes.accept(replaced, new Outcome.Replaced());
    }

    private int olderToReplace(Request.SetProperty set) {
        for (int i = requests.size() - 1; i >= 0; i--) {
            if (!(requests.get(i) instanceof Request.SetProperty other)) {
                return -1;
            }
            if (other.property().equals(set.property())) {
                return i;
            }
            if (!number(set.property()) || !number(other.property())) {
                return -1;
            }
        }
        return -1;
    }

    private int oldest(String property) {
        for (int i = 0; i < requests.size(); i++) {
            if (requests.get(i) instanceof Request.SetProperty other && other.property().equals(property)) {
                return i;
            }
        }
        return -1;
    }

    private boolean number(String property) {
        var known = kind.properties().get(property);
        return known != null && known.type().range().isPresent();
    }

    /** Each of them fails. */
    void fail(String why) {
        var all = List.copyOf(requests);
        requests.clear();
        all.forEach(request -> outcomes.accept(request, new Outcome.Failed(why)));
    }
}
