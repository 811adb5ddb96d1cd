package bellpush.config.load;

import bellpush.config.json.JsonFile;
import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Accepted;
import bellpush.config.model.Device;
import bellpush.config.model.FrameRate;
import bellpush.config.model.Limits;
import bellpush.config.model.Macro;
import bellpush.config.model.Panel;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.problem.Spot;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * Loads a site from its folder and finds everything that is wrong with it. Throws nothing for whatever is in the files; may
 * be used from any thread, one load at a time for each instance.
 */
public final class SiteLoader {
    private final Set<String> driverNames;
    private final Reading reading = new Reading();
    private final Times times = new Times(reading);
    private final Values values = new Values(reading);
    private final Names names = new Names(reading.problems);
    private final Rules rules = new Rules(reading, times, names, values);
    private final MacroCalls calls = new MacroCalls();
    private final Branches branches = new Branches();
    private final SiteFiles files;
    private final Path folder;

    private SiteLoader(Path folder, Set<String> driverNames) {
        this.folder = folder;
        this.driverNames = driverNames;
        this.files = new SiteFiles(folder, reading);
    }

    /**
     * @param driverNames the drivers there are, tcp, udp and osc among them
     * @return the site, or why there is none
     */
    public static Loaded load(Path folder, Set<String> driverNames) {
        return new SiteLoader(folder, driverNames).load();
    }

    private Loaded load() {
        if (!files.exists()) {
            return new Loaded(Optional.empty(), List.of(), List.of(), reading.problems.sorted(), 0);
        }
        Optional<Node.Obj> site = files.required("site.json", FileShape.SITE);
        FrameRate frameRate = site.flatMap(root -> reading.node(root, "frameRate"))
                .map(node -> FrameRates.read(node, reading)).orElse(new FrameRate(25, 1));
        times.frameRate(frameRate);
        Limits limits = site.map(this::limits).orElse(Limits.DEFAULT);

        Map<String, Device> devices = devices();
        Optional<Node.Obj> panelRoot = files.required("panel.json", FileShape.PANEL);
        panelRoot.ifPresent(root -> names.switches(PanelReader.switches(reading, root)));
        Map<String, Optional<Node.Obj>> macroFiles = files.all("macros", FileShape.MACRO);
        names.macros(macroFiles.keySet(), files.listed("macros"));
        Map<String, Macro> macros = macros(macroFiles, limits);

        Optional<PanelReader> panelReader = panelRoot.map(_ -> new PanelReader(rules,
                name -> Optional.ofNullable(macros.get(name)).or(() -> rules.families.made(name))));
        Optional<Panel> panel = panelReader.map(reader -> reader.read(panelRoot.get()));
        List<Rehearsal> rehearsals = new ArrayList<>();
        files.all("rehearsals", FileShape.REHEARSAL).forEach((name, root) -> root
                .ifPresent(object -> rehearsals
                        .add(new RehearsalReader(rules, panelReader.map(PanelReader::written)).read(name, object))));
        if (panel.isPresent() && reading.verdict.count() == 0) { // a key that is misspelt may be the use that is missed
            macroFiles.keySet().stream().filter(FileShape::isName).filter(names::unused).forEach(this::unusedMacro);
        }

        macros.putAll(rules.families.made());
        if (reading.problems.hasErrors()) {
            return new Loaded(Optional.empty(), List.of(), List.of(), reading.problems.sorted(), files.count());
        }
        Site whole = new Site(folder, reading.text(site.orElseThrow(), "name").orElseThrow(), frameRate, limits,
                panel.orElseThrow(), devices, Collections.unmodifiableMap(macros));
        return new Loaded(Optional.of(whole), List.copyOf(rehearsals), accepted(site.orElseThrow()),
                reading.problems.sorted(), files.count());
    }

    /** The macros of files without arguments. The others are made as they are wanted, once it is known that this ends. */
    private Map<String, Macro> macros(Map<String, Optional<Node.Obj>> macroFiles, Limits limits) {
        macroFiles.forEach((name, root) -> root.ifPresent(object -> rules.families.declare(name, object)));
        Map<String, Macro> read = new LinkedHashMap<>();
        macroFiles.forEach((name, root) -> root.ifPresent(
                object -> read.put(name, new MacroReader(rules, calls, branches, limits.macro(), name).read(object))));
        calls.check(limits.runDepth(), reading.problems);
        calls.checkStops(read, reading.problems);
        branches.check(read, names, reading.problems);
        if (!calls.circles()) {
            rules.families.open((name, family, root,
                    arguments) -> new MacroReader(rules, calls, new Branches(), limits.macro(), family)
                            .read(name, root, arguments));
        }
        Map<String, Macro> macros = new LinkedHashMap<>(read);
        macros.keySet().removeIf(name -> !rules.families.of(name).types().isEmpty());
        return macros;
    }

    private Map<String, Device> devices() {
        Map<String, Optional<KindDraft>> ofSite = new LinkedHashMap<>();
        Map<String, Optional<Node.Obj>> kindFiles = files.all("kinds", FileShape.KIND);
        kindFiles.forEach((name, root) -> ofSite.put(name, root.map(object -> kind(name, object))));
        Kinds kinds = new Kinds(reading, ofSite, files.listed("kinds"), BuiltInKinds.names(), this::builtIn);
        Optional<Node.Obj> root = files.required("devices.json", FileShape.DEVICES);
        DevicesReader reader = new DevicesReader(reading, kinds);
        Map<String, Device> devices = root.map(reader::read).orElse(Map.of());
        names.devices(reader.kindOf(), root.isPresent());
        if (root.isPresent() && reading.verdict.count() == 0) {
            kindFiles.keySet().stream().filter(kinds::unused)
                    .forEach(name -> reading.problems.warning(whole("kinds/" + name + ".json"),
                            "No device is of the kind " + name + ".", "The file does nothing.",
                            "Use it in devices.json, or remove it."));
        }
        return devices;
    }

    private KindDraft kind(String name, Node.Obj root) {
        return new KindReader(reading, times, values, name, root).read(driverNames);
    }

    private Optional<KindDraft> builtIn(String name) {
        return BuiltInKinds.bytes(name + ".json")
                .flatMap(bytes -> JsonFile.read(BuiltInKinds.FOLDER + name + ".json", bytes, reading.problems))
                .flatMap(root -> files.checked(root, FileShape.KIND)).map(root -> kind(name, root));
    }

    private static Spot whole(String file) {
        return new Spot(new Source(file, 0, 0), 1);
    }

    private void unusedMacro(String name) {
        reading.problems.warning(whole("macros/" + name + ".json"), "Nothing runs the macro " + name + ".",
                "No button, macro or fallback names it.", "Give it a button, run it in another macro, or remove it.");
    }

    private List<Accepted> accepted(Node.Obj site) {
        return reading.list(site, "accepted").stream().flatMap(node -> reading.object(node).stream())
                .map(one -> new Accepted(reading.text(one, "finding").orElse(""), reading.text(one, "of").orElse(""),
                        reading.text(one, "about").orElse(""),
                        reading.text(one, "reason").orElse(""), one.spot().at()))
                .toList();
    }

    private Limits limits(Node.Obj site) {
        Limits d = Limits.DEFAULT;
        return reading.object(site, "limits").map(o -> new Limits(reading.whole(o, "runs").orElse(d.runs()),
                reading.whole(o, "runDepth").orElse(d.runDepth()),
                reading.whole(o, "stepsPerPress").orElse(d.stepsPerPress()),
                reading.whole(o, "waitingSends").orElse(d.waitingSends()),
                reading.whole(o, "logQueue").orElse(d.logQueue()),
                reading.whole(o, "messageBytes").orElse(d.messageBytes()),
                times.positive(o, "macro", d.macro()))).orElse(d);
    }
}
