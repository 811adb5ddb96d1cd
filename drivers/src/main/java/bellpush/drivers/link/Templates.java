package bellpush.drivers.link;

import bellpush.config.model.Kind;
import bellpush.config.model.Move;
import bellpush.config.model.Template;
import java.util.stream.Stream;

/** Every template of a kind, for drivers that look through them. */
public final class Templates {
    private Templates() {}

    public static Stream<Template> of(Kind kind) {
        var properties = kind.properties().values().stream()
                .flatMap(p -> Stream.of(p.set(), p.move().map(Move::send), p.ask(), p.answer(), p.report())
                        .flatMap(t -> t.stream()));
        var commands = kind.commands().values().stream().map(c -> c.send());
        var answers = Stream.concat(kind.answers().ok().stream(),
                kind.answers().refused().stream().map(r -> r.message()));
        var heartbeat = kind.heartbeat().stream().flatMap(h -> Stream.concat(Stream.of(h.send()), h.reply().stream()));
        var rest = Stream.of(kind.envelope().stream(), kind.greeting().stream(), kind.reports().stream(), heartbeat)
                .flatMap(s -> s);
        return Stream.of(properties, commands, answers, rest).flatMap(s -> s);
    }

    /** Whether all of the kind's templates are text or hex, as tcp and udp need them. */
    public static boolean onlyTextAndHex(Kind kind) {
        return of(kind).allMatch(t -> t instanceof Template.Text || t instanceof Template.Hex);
    }
}
