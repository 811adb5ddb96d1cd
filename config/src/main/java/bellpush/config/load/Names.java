package bellpush.config.load;

import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Command;
import bellpush.config.model.Property;
import bellpush.config.model.PropertyRef;
import bellpush.config.problem.DidYouMean;
import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.util.ArrayList;
import java.util.Collection;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/**
 * What the site's names stand for. Looking up a name that is unknown adds the problem; looking up one that stands in a
 * file which could not be read gives nothing and says nothing.
 */
final class Names {
    /** A property of a device of the site, or of the kind itself, whose references have the device "". */
    record Found(PropertyRef ref, Property property) {}

    private final Problems problems;
    /** Empty where the device's kind could not be read. */
    private Map<String, Optional<KindDraft>> devices = new LinkedHashMap<>();
    private boolean devicesKnown = true;
    private boolean macrosKnown = true;
    private boolean unknownMacros;
    private Optional<Set<String>> switches = Optional.empty();
    private final Set<String> macros = new TreeSet<>();
    private final Map<String, Set<String>> macroUsers = new HashMap<>();

    Names(Problems problems) {
        this.problems = problems;
    }

    void devices(Map<String, Optional<KindDraft>> known, boolean complete) {
        devices = known;
        devicesKnown = complete;
    }

    /** @param complete whether the folder could be read; if not, nothing is said about names that are not in it */
    void macros(Collection<String> names, boolean complete) {
        macros.addAll(names);
        macrosKnown = complete;
    }

    /** Whether nothing runs the macro. While a name is unknown, that name may have been meant for it. */
    boolean unused(String name) {
        return !unknownMacros && !macroUsed(name);
    }

    private boolean macroUsed(String name) {
        return macroUsers.getOrDefault(name, Set.of()).stream().anyMatch(user -> !user.equals(name));
    }

    /** @param user the macro that speaks of it, or "" for the panel and rehearsals */
    Optional<String> macro(Spot spot, String name, String user) {
        macroUsers.computeIfAbsent(name, _ -> new HashSet<>()).add(user);
        return macroMentioned(spot, name);
    }

    /** A macro that is spoken of without being run. */
    Optional<String> macroMentioned(Spot spot, String name) {
        if (macros.contains(name)) {
            return Optional.of(name);
        }
        unknownMacros = true;
        if (!macrosKnown || misnamed(name, macros)) {
            return Optional.empty();
        }
        problems.error(spot, "There is no macro \"" + name + "\".", "Every macro is a file in the folder macros.",
                DidYouMean.cure(name, macros, "Write the file macros/" + name + ".json."));
        return Optional.empty();
    }

    /** The switches of the panel, once that file could be read. */
    void switches(Set<String> known) {
        switches = Optional.of(known);
    }

    /** Whether the switch exists. Unknown ones have their problem then. */
    boolean toggle(Spot spot, String name) {
        if (switches.isPresent() && !switches.get().contains(name) && !misnamed(name, switches.get())) {
            problems.error(spot, "There is no switch \"" + name + "\".", "Switches are named in panel.json.",
                    DidYouMean.cure(name, switches.get(), "Add it to \"switches\" in panel.json."));
        }
        return switches.isPresent() && switches.get().contains(name);
    }

    /** Whether the device exists. Unknown ones have their problem then. */
    boolean device(Spot spot, String name) {
        if (devices.containsKey(name)) {
            return true;
        }
        if (devicesKnown && !misnamed(name, devices.keySet())) {
            problems.error(spot, "There is no device \"" + name + "\".", "Devices are named in devices.json.",
                    DidYouMean.cure(name, devices.keySet(), "Add it to devices.json."));
        }
        return false;
    }

    /** Whether it was probably meant for something whose own name is no name, which is a problem already. */
    static boolean misnamed(String name, Collection<String> known) {
        return DidYouMean.closest(name, known).filter(close -> !FileShape.isName(close)).isPresent();
    }

    Optional<Found> property(Spot spot, String written) {
        int dot = written.indexOf('.');
        String device = written.substring(0, dot);
        String name = written.substring(dot + 1);
        if (!device(spot.part(written, 0, dot), device)) {
            return Optional.empty();
        }
        Optional<KindDraft> kind = devices.get(device);
        if (kind.isEmpty()) {
            return Optional.empty();
        }
        return property(spot.part(written, dot + 1, written.length()), kind.get(), name, device + ".")
                .map(property -> new Found(new PropertyRef(device, name), property));
    }

    private Optional<Property> property(Spot spot, KindDraft draft, String name, String prefix) {
        Property property = draft.kind().properties().get(name);
        if (property != null || draft.propertyMembers().containsKey(name)) {
            return Optional.ofNullable(property);
        }
        String kind = draft.kind().name();
        if (draft.commandMembers().containsKey(name)) {
            problems.error(spot, "\"" + name + "\" is a command of the kind " + kind + ", not a property.",
                    "A command is done, and holds no value.", "Write { \"do\": \"" + prefix + name + "\" } as a step.");
        } else {
            problems.error(spot, "The kind " + kind + " has no property \"" + name + "\".",
                    "Only properties of the device's kind can be set, asked or compared.",
                    cure(name, draft.propertyMembers().keySet(), prefix, kind));
        }
        return Optional.empty();
    }

    /** Whether the device ever tells the property. Of what could not be read that is not known, and nothing is said. */
    boolean reported(PropertyRef ref) {
        return devices.getOrDefault(ref.device(), Optional.empty())
                .map(draft -> draft.kind().properties().get(ref.property())).map(Property::reported).orElse(true);
    }

    /** The name of a device's kind, for people. */
    String kindOf(String device) {
        return devices.getOrDefault(device, Optional.empty()).map(draft -> draft.kind().name()).orElse("");
    }

    /** Whether some command of the device changes the property. */
    boolean changedByCommand(PropertyRef ref) {
        return devices.getOrDefault(ref.device(), Optional.empty()).filter(draft -> draft.kind().commands().values()
                .stream().anyMatch(command -> command.effect().containsKey(ref.property()))
                || draft.commandMembers().size() > draft.kind().commands().size()).isPresent();
    }

    /** What a command does to properties of its device, as far as that could be read. */
    Map<String, Command.Effect> effect(String device, String command) {
        return devices.getOrDefault(device, Optional.empty()).map(draft -> draft.kind().commands().get(command))
                .map(Command::effect).orElse(Map.of());
    }

    /** The speed by which a property is moved in a glide, if it is. */
    Optional<PropertyRef> speedOf(PropertyRef ref) {
        return devices.getOrDefault(ref.device(), Optional.empty())
                .map(draft -> draft.kind().properties().get(ref.property())).flatMap(Property::speeds)
                .map(speeds -> new PropertyRef(ref.device(), speeds.by()));
    }

    /** Whether the property has a {@code set}, even one that could not be read. */
    boolean settableMeant(PropertyRef ref) {
        return devices.getOrDefault(ref.device(), Optional.empty())
                .map(draft -> draft.propertyMembers().get(ref.property()))
                .filter(member -> member.value() instanceof Node.Obj object && object.members().containsKey("set"))
                .isPresent();
    }

    Optional<Command> command(Spot spot, String written) {
        int dot = written.indexOf('.');
        String device = written.substring(0, dot);
        String name = written.substring(dot + 1);
        if (!device(spot.part(written, 0, dot), device) || devices.get(device).isEmpty()) {
            return Optional.empty();
        }
        KindDraft draft = devices.get(device).get();
        Command command = draft.kind().commands().get(name);
        if (command != null || draft.commandMembers().containsKey(name)) {
            return Optional.ofNullable(command);
        }
        String kind = draft.kind().name();
        Spot part = spot.part(written, dot + 1, written.length());
        if (draft.propertyMembers().containsKey(name)) {
            problems.error(part, "\"" + name + "\" is a property of the kind " + kind + ", not a command.",
                    "A property is set to a value.", "Write { \"set\": { \"" + written + "\": ... } } as a step.");
        } else {
            problems.error(part, "The kind " + kind + " has no command \"" + name + "\".",
                    "Only commands of the device's kind can be done.",
                    cure(name, draft.commandMembers().keySet(), device + ".", kind));
        }
        return Optional.empty();
    }

    private static String cure(String name, Collection<String> known, String prefix, String kind) {
        List<String> full = new ArrayList<>(known);
        return DidYouMean.closest(name, full).map(close -> "Did you mean \"" + prefix + close + "\"?")
                .orElseGet(() -> DidYouMean.cure(name, full, "Add it to the kind " + kind + "."));
    }
}
