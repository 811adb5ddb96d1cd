package bellpush.tests.simulation;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;

/**
 * A small site from a seed, written as an admin would write it: one to four devices of up to three kinds, a handful of macros with every
 * step there is, which run one another, take over, stop one another and fail in all ways, and a panel with every control there is.
 * Limits are small, so that they are reached. A later edition of a site has the same kinds and mostly the same devices; what its macros,
 * lamps and controls do is written anew.
 */
final class RandomSite {
    /**
     * @param shape of its type: 0 a flag, 1 a choice, 2 a whole, 3 a number
     * @param by    the property that is its speed, or empty
     */
    private record Property(String name, int shape, List<String> values, boolean told, boolean set, boolean speed,
            boolean takes, boolean moves, String by) {
        boolean number() {
            return shape >= 2;
        }

        /** Whether a step may take it to a value little by little. */
        boolean glides() {
            return number() && !speed && (set || moves);
        }
    }

    private record Kind(String name, String driver, List<Property> properties, Map<String, List<Property>> commands,
            String json) {}

    private record Ref(String device, Property property) {
        String name() {
            return device + "." + property.name;
        }
    }

    /** The word for a call of the macro with an argument, in steps and on the panel. */
    private static final String FAMILY = "family";

    private final long seed;
    private final int edition;
    private SplittableRandom random;
    private final List<Kind> kinds = new ArrayList<>();
    private final Map<String, Kind> devices = new LinkedHashMap<>();
    private final List<Ref> refs = new ArrayList<>();
    private final Map<String, String> files = new TreeMap<>();
    private int macroCount;
    private int switchCount;
    /** Whether macros set speeds other than 0: then nobody demands that what a stick drives stands. */
    private boolean macrosDrive;
    /** What the macro with an argument sets to it, or null where there is none. */
    private Ref familySets;
    /** All waits and glides of the macro that is being written. */
    private long macroMs;

    /** @param edition 0 as it was first written, more for what an admin has made of it since */
    RandomSite(long seed, int edition) {
        this.seed = seed;
        this.edition = edition;
        random = new SplittableRandom(seed);
    }

    /** The files of the site, by name. */
    Map<String, String> files() {
        files.put("site.json", "{ \"name\": \"A hall at random\", \"limits\": { \"runs\": " + oneOf(3, 8, 32)
                + ", \"waitingSends\": " + oneOf(4, 16, 64) + ", \"stepsPerPress\": " + oneOf(20, 1000)
                + ", \"macro\": \"" + oneOf(20, 60) + " s\" } }");
        int kindCount = random.nextInt(1, 4);
        for (int i = 0; i < kindCount; i++) {
            Kind kind = kind("kind-" + i);
            kinds.add(kind);
            files.put("kinds/" + kind.name + ".json", kind.json);
        }
        StringBuilder json = new StringBuilder("{");
        int deviceCount = random.nextInt(1, 5);
        if (edition > 0) {
            random = new SplittableRandom(seed * 31 + edition);
            deviceCount = Math.clamp(deviceCount + random.nextInt(-1, 2), 1, 5);
        }
        macrosDrive = random.nextInt(3) == 0;
        for (int i = 0; i < deviceCount; i++) {
            Kind kind = kinds.get(i % kinds.size());
            String name = "gear-" + i;
            devices.put(name, kind);
            json.append(i == 0 ? "" : ",").append(" \"").append(name).append("\": { \"label\": \"").append(name)
                    .append("\", \"kind\": \"").append(kind.name).append("\", \"address\": \"192.168.40.1").append(i)
                    .append("\", \"port\": 9900 }");
            kind.properties.forEach(property -> refs.add(new Ref(name, property)));
        }
        files.put("devices.json", json.append(" }").toString());
        macroCount = random.nextInt(3, 9);
        switchCount = random.nextInt(0, 3);
        List<Ref> levels = refs.stream()
                .filter(ref -> ref.property.set && ref.property.number() && !ref.property.speed).toList();
        familySets = levels.isEmpty() ? null : pick(levels);
        if (familySets != null) {
            files.put("macros/" + FAMILY + ".json", family());
        }
        for (int i = 0; i < macroCount; i++) {
            files.put("macros/macro-" + i + ".json", macro(i));
        }
        files.put("panel.json", panel());
        return files;
    }

    // ---- gear

    private Kind kind(String name) {
        boolean tcp = random.nextBoolean();
        boolean acknowledges = random.nextInt(3) == 0;
        List<Property> properties = new ArrayList<>();
        StringBuilder json = new StringBuilder("{ \"driver\": ").append(tcp
                ? "\"tcp\", \"framing\": { \"endsWith\": \"\\n\" }"
                : "\"udp\"");
        json.append(", \"port\": 9900, \"fastest\": \"").append(oneOf(0, 5, 20)).append(" ms\"");
        json.append(", \"properties\": {");
        int count = random.nextInt(2, 6);
        int speeds = random.nextInt(0, 3);
        for (int i = 0; i < count; i++) {
            json.append(i == 0 ? " " : ", ").append(property("p" + i, i, speeds, properties));
        }
        for (int i = 0; i < speeds; i++) {
            json.append(", ").append(speed("speed" + i, properties));
        }
        Map<String, List<Property>> commands = new LinkedHashMap<>();
        json.append(" }, \"commands\": {");
        int commandCount = random.nextInt(1, 4);
        for (int i = 0; i < commandCount; i++) {
            json.append(i == 0 ? " " : ", ").append(command("act" + i, properties, commands));
        }
        properties.stream().filter(Property::moves).forEach(p -> json.append(", \"end.").append(p.name)
                .append("\": { \"send\": \"END ").append(p.name).append("\", \"urgent\": ").append(random.nextBoolean())
                .append(", \"effect\": { \"").append(p.name).append("\": { \"unknown\": true } } }"));
        json.append(" }");
        if (acknowledges) {
            json.append(", \"answers\": { \"ok\": [\"OK\"], \"refused\": [{ \"message\": \"NO\", \"means\": \"no\" }],"
                    + " \"within\": \"" + oneOf(200, 1000) + " ms\", \"again\": " + random.nextInt(3) + " }");
        }
        if (random.nextBoolean()) {
            json.append(", \"heartbeat\": { \"send\": \"BEAT\", \"reply\": \"BEATEN\", \"every\": \"1 s\","
                    + " \"within\": \"500 ms\" }");
        }
        if (random.nextInt(4) == 0) {
            json.append(", \"askEvery\": \"2 s\"");
        }
        return new Kind(name, tcp ? "tcp" : "udp", properties, commands, json.append(" }").toString());
    }

    private String property(String name, int index, int speeds, List<Property> into) {
        int shape = random.nextInt(4);
        String type = switch (shape) {
            case 0 -> "\"type\": \"flag\"";
            case 1 -> "\"type\": \"choice\", \"choices\": [\"red\", \"green\", \"blue\"]";
            case 2 -> "\"type\": \"whole\", \"range\": [0, 20]" + (random.nextBoolean() ? ", \"wire\": [0, 255]" : "");
            default -> "\"type\": \"number\", \"range\": [-10, 10], \"step\": 0.5";
        };
        List<String> values = switch (shape) {
            case 0 -> List.of("false", "true");
            case 1 -> List.of("\"red\"", "\"green\"", "\"blue\"");
            case 2 -> List.of("0", "7", "20");
            default -> List.of("-10", "0", "0.5", "10");
        };
        int talk = random.nextInt(6);
        boolean set = talk != 0;
        boolean asked = talk != 1 && talk != 2;
        boolean answers = asked && random.nextInt(3) == 0;
        boolean reports = asked && !answers || talk == 1;
        StringBuilder json = new StringBuilder("\"").append(name).append("\": { ").append(type);
        if (set) {
            json.append(", \"set\": \"SET").append(index).append(" {value}\"");
        }
        if (asked) {
            json.append(", \"ask\": \"GET").append(index).append("\"");
        }
        if (answers) {
            json.append(", \"answer\": \"GOT").append(index).append(" {value}\"");
        }
        if (reports) {
            json.append(", \"report\": \"NOW").append(index).append(" {value}\"");
        }
        json.append(", \"fastest\": \"").append(oneOf(5, 20, 60)).append(" ms\"");
        boolean takes = random.nextInt(3) == 0;
        if (takes) {
            json.append(", \"takes\": \"").append(oneOf(50, 300, 900)).append(" ms\"");
        }
        boolean moves = shape >= 2 && random.nextInt(4) == 0;
        if (moves) {
            json.append(", \"move\": { \"send\": \"GO").append(index).append(" {value} {over}\", \"counts\": \"")
                    .append(oneOf("ms", "s", "frames")).append("\", \"longest\": \"2 s\"")
                    .append(random.nextBoolean() ? ", \"stop\": \"end." + name + "\"" : "").append(" }");
        }
        long driven = into.stream().filter(p -> !p.by.isEmpty()).count();
        String by = shape >= 2 && set && driven < speeds && random.nextInt(3) > 0 ? "speed" + driven : "";
        if (!by.isEmpty()) {
            json.append(", \"speeds\": { \"by\": \"").append(by).append("\", \"table\": ")
                    .append(oneOf("[[1, 0.5], [10, 12]]", "[[2, 4], [5, 5], [10, 40]]", "[[-10, 20], [10, -20]]"))
                    .append(" }");
        }
        into.add(new Property(name, shape, values, answers || reports, set, false, takes, moves, by));
        return json.append(" }").toString();
    }

    private String speed(String name, List<Property> into) {
        String unsettled = into.stream().filter(p -> p.told && !p.speed).map(Property::name).findFirst().orElse("");
        into.add(new Property(name, 2, List.of("0"), false, true, true, false, false, ""));
        return "\"" + name + "\": { \"type\": \"whole\", \"range\": [-10, 10], \"set\": \"RUN" + name
                + " {value}\", \"fastest\": \"" + oneOf(20, 40) + " ms\""
                + (unsettled.isEmpty() ? "" : ", \"unsettles\": [\"" + unsettled + "\"]") + " }";
    }

    private String command(String name, List<Property> properties, Map<String, List<Property>> commands) {
        Property property = pick(properties);
        String effect = property.speed
                ? "0"
                : switch (random.nextInt(3)) {
                    case 0 -> pick(property.values);
                    case 1 -> property.values.equals(List.of("false", "true"))
                            ? "{ \"opposite\": true }"
                            : "{ \"unknown\": true }";
                    default -> "{ \"unknown\": true }";
                };
        commands.put(name, List.of(property));
        return "\"" + name + "\": { \"send\": \"DO" + name + "\", \"effect\": { \"" + property.name + "\": " + effect
                + " }" + (property.speed ? ", \"urgent\": true" : "")
                + (random.nextInt(3) == 0 && !property.speed ? ", \"takes\": \"" + oneOf(50, 500) + " ms\"" : "")
                + " }";
    }

    // ---- macros

    private String macro(int number) {
        StringBuilder json = new StringBuilder("{ \"label\": \"M").append(number).append("\"");
        int lanes = random.nextInt(3);
        if (lanes > 0) {
            json.append(", \"lane\": [\"lane-").append(random.nextInt(2)).append("\"")
                    .append(lanes == 2 ? ", \"lane-2\"" : "").append("]");
            if (random.nextInt(4) == 0) {
                json.append(", \"takesOver\": true");
            }
            if (number > 0 && random.nextInt(3) == 0) {
                json.append(", \"onTakeover\": ").append(call(number));
            }
        }
        json.append(", \"again\": ").append(again());
        json.append(", \"onFailure\": ").append(otherwise(number));
        macroMs = 0;
        json.append(", \"steps\": ").append(steps(number, 2));
        if (random.nextInt(3) == 0) {
            json.append(", \"within\": \"").append(Math.max(oneOf(300, 1000, 3000), macroMs + 50)).append(" ms\"");
        }
        if (random.nextInt(3) > 0) {
            json.append(", \"promise\": ").append(condition(2, false, number));
            json.append(", \"promiseWithin\": \"").append(oneOf(200, 1000, 3000)).append(" ms\"");
        }
        return json.append(" }").toString();
    }

    /** One chain that is several macros, as it is run with one level or another. */
    private String family() {
        Property property = familySets.property;
        String name = familySets.name();
        macroMs = 0;
        return "{ \"label\": \"F\", \"arguments\": { \"level\": { " + (property.shape == 2
                ? "\"type\": \"whole\", \"range\": [0, 20]"
                : "\"type\": \"number\", \"range\": [-10, 10], \"step\": 0.5") + " } }"
                + (random.nextBoolean() ? ", \"lane\": \"lane-" + random.nextInt(2) + "\"" : "") + ", \"again\": "
                + again() + ", \"steps\": [{ \"set\": { \"" + name + "\": { \"argument\": \"level\" } } }, "
                + "{ \"if\": { \"" + name + "\": { \"argument\": \"level\" } }, \"then\": " + steps(0, 1)
                + " }, { \"wait\": \"" + oneOf(50, 300) + " ms\" }], \"promise\": { \"" + name
                + "\": { \"argument\": \"level\" } }, \"promiseWithin\": \"1 s\" }";
    }

    private String again() {
        return oneOf("\"ignore\"", "\"restart\"", "\"queue\"", "{ \"queue\": 3 }");
    }

    private String otherwise(int number) {
        return switch (random.nextInt(4)) {
            case 0 -> "\"go on\"";
            case 1 -> number == 0 ? "\"stop\"" : call(number);
            default -> "\"stop\"";
        };
    }

    /** A macro to run, of those before this one. */
    private String call(int number) {
        return familySets != null && random.nextInt(6) == 0
                ? "{ \"run\": \"" + FAMILY + "\", \"with\": { \"level\": " + pick(familySets.property.values)
                        + " } }"
                : "{ \"run\": \"macro-" + random.nextInt(number) + "\" }";
    }

    private String onFailure(int number) {
        return random.nextInt(4) == 0 ? ", \"onFailure\": " + otherwise(number) : "";
    }

    private String steps(int number, int depth) {
        List<String> steps = new ArrayList<>();
        int count = random.nextInt(1, 5);
        for (int i = 0; i < count; i++) {
            step(number, depth, steps);
        }
        return "[" + String.join(", ", steps) + "]";
    }

    private void step(int number, int depth, List<String> into) {
        switch (random.nextInt(14)) {
            case 0, 1, 2 -> into.add(set(number));
            case 3 -> {
                String device = pick(List.copyOf(devices.keySet()));
                into.add("{ \"do\": \"" + device + "." + pick(List.copyOf(devices.get(device).commands.keySet()))
                        + "\"" + onFailure(number) + " }");
            }
            case 4 -> into.add("{ \"wait\": \"" + ms(oneOf(10, 100, 400)) + " ms\" }");
            case 5 -> into.add("{ \"until\": " + condition(2, false, number) + ", \"within\": \""
                    + oneOf(100, 500, 2000) + " ms\", \"else\": " + otherwise(number) + " }");
            case 6 -> {
                if (depth > 0) {
                    into.add("{ \"if\": " + condition(2, true, number) + ", \"then\": " + steps(number, depth - 1)
                            + (random.nextBoolean() ? ", \"else\": " + steps(number, depth - 1) : "") + " }");
                } else {
                    into.add("{ \"say\": \"here\" }");
                }
            }
            case 7 -> remember(number, into);
            case 8, 9 -> into.add(glide(number));
            case 10 -> {
                if (depth > 0) {
                    into.add("{ \"together\": [" + steps(number, depth - 1) + ", " + steps(number, depth - 1)
                            + (random.nextInt(3) == 0 ? ", " + steps(number, 0) : "") + "]" + onFailure(number) + " }");
                } else {
                    into.add("{ \"say\": \"here\" }");
                }
            }
            case 11 -> {
                if (random.nextInt(3) == 0) {
                    into.add("{ \"stop\": " + (random.nextBoolean()
                            ? "\"everything\""
                            : "[\"" + (familySets != null && random.nextInt(4) == 0 ? FAMILY : macroName()) + "\"]")
                            + " }");
                } else {
                    into.add("{ \"say\": \"nothing to stop\" }");
                }
            }
            default -> into.add(number == 0
                    ? "{ \"say\": \"nothing to run\" }"
                    : call(number).replaceFirst(" }$", onFailure(number) + " }"));
        }
    }

    private long ms(long more) {
        macroMs += more;
        return more;
    }

    private String set(int number) {
        List<Ref> settable = refs.stream().filter(ref -> ref.property.set).toList();
        if (settable.isEmpty()) {
            return "{ \"say\": \"nothing to set\" }";
        }
        Map<Ref, String> sets = new LinkedHashMap<>();
        for (int i = random.nextInt(1, 4); i > 0; i--) {
            Ref ref = pick(settable);
            sets.put(ref, operand(ref));
        }
        List<String> pairs = new ArrayList<>();
        sets.forEach((ref, value) -> pairs.add("\"" + ref.name() + "\": " + value));
        boolean confirmed = random.nextInt(3) == 0 && sets.keySet().stream().allMatch(ref -> ref.property.told);
        return "{ \"set\": { " + String.join(", ", pairs) + " }" + (confirmed
                ? ", \"confirm\": " + oneOf("\"300 ms\"", "{ \"within\": \"100 ms\", \"times\": 5 }",
                        "{ \"within\": \"1 s\", \"times\": 1 }")
                : "") + onFailure(number) + " }";
    }

    private String operand(Ref ref) {
        Property property = ref.property;
        if (property.speed) {
            return macrosDrive ? oneOf("0", "4", "-7", "{ \"by\": 3 }") : "0";
        }
        return switch (random.nextInt(6)) {
            case 0 -> property.number()
                    ? "{ \"by\": " + oneOf(3, -2, 10) + " }"
                    : property.shape == 0 ? "{ \"opposite\": true }" : pick(property.values);
            case 1 -> {
                List<Ref> alike = refs.stream()
                        .filter(other -> other.property.shape == property.shape && !other.property.speed
                                && (other.property.told || other.property.set))
                        .toList();
                yield alike.isEmpty()
                        ? pick(property.values)
                        : "{ \"property\": \"" + pick(alike).name() + "\" }";
            }
            default -> pick(property.values);
        };
    }

    private void remember(int number, List<String> into) {
        List<Ref> settable = refs.stream().filter(ref -> ref.property.set && !ref.property.speed).toList();
        if (settable.isEmpty()) {
            into.add("{ \"say\": \"nothing to set\" }");
            return;
        }
        Ref ref = pick(settable);
        into.add("{ \"remember\": \"" + ref.name() + "\"" + onFailure(number) + " }");
        into.add("{ \"set\": { \"" + ref.name() + "\": " + pick(ref.property.values) + " } }");
        into.add("{ \"wait\": \"" + ms(oneOf(20, 200)) + " ms\" }");
        into.add("{ \"restore\": \"" + ref.name() + "\"" + onFailure(number) + " }");
    }

    /** Up to three properties, which arrive together. */
    private String glide(int number) {
        List<Ref> gliding = refs.stream().filter(ref -> ref.property.glides()).toList();
        if (gliding.isEmpty()) {
            return "{ \"say\": \"nothing to glide\" }";
        }
        long over = ms(oneOf(100, 400, 1500));
        Map<String, String> targets = new LinkedHashMap<>();
        for (int i = random.nextInt(1, 4); i > 0; i--) {
            Ref ref = pick(gliding);
            targets.put(ref.name(), pick(ref.property.values));
        }
        List<String> pairs = new ArrayList<>();
        targets.forEach((name, value) -> pairs.add("\"" + name + "\": " + value));
        return "{ \"glide\": { " + String.join(", ", pairs) + " }, \"over\": \"" + over + " ms\""
                + oneOf("", ", \"ease\": \"even\"", ", \"ease\": \"smooth\"", ", \"ease\": \"start\"")
                + onFailure(number) + " }";
    }

    /** @param runs whether it may speak of running and failed macros */
    private String condition(int depth, boolean runs, int number) {
        return switch (random.nextInt(depth > 0 ? 8 : 5)) {
            case 0 -> "{ \"link\": { \"" + pick(List.copyOf(devices.keySet())) + "\": \"up\" } }";
            case 1 -> runs && number > 0
                    ? "{ \"" + oneOf("running", "failed") + "\": \""
                            + (familySets != null && random.nextInt(4) == 0
                                    ? FAMILY
                                    : "macro-" + random.nextInt(number))
                            + "\" }"
                    : is();
            case 2 -> switchCount > 0
                    ? "{ \"switch\": { \"switch-" + random.nextInt(switchCount) + "\": \"" + oneOf("on", "off")
                            + "\" } }"
                    : is();
            case 3, 4 -> is();
            case 5 -> "{ \"any\": [" + condition(depth - 1, runs, number) + ", " + condition(depth - 1, runs, number)
                    + "] }";
            case 6 -> "{ \"all\": [" + condition(depth - 1, runs, number) + ", " + condition(depth - 1, runs, number)
                    + "] }";
            default -> "{ \"not\": " + condition(depth - 1, runs, number) + " }";
        };
    }

    private String is() {
        Ref ref = pick(refs);
        String value = pick(ref.property.values);
        return "{ \"" + ref.name() + "\": " + (ref.property.number() && random.nextBoolean()
                ? "{ \"" + oneOf("above", "below") + "\": "
                        + ref.property.values.get(ref.property.speed ? 0 : 1) + " }"
                : random.nextInt(4) == 0 ? "{ \"not\": " + value + " }" : value) + " }";
    }

    // ---- the panel

    private String panel() {
        StringBuilder json = new StringBuilder("{ \"chips\": { \"adc\": { \"converter\": \"mcp3008\","
                + " \"bus\": \"spi-0.0\" } }, \"buttons\": {");
        for (int i = 0; i < macroCount; i++) {
            json.append(i == 0 ? " " : ", ").append(button(i));
        }
        json.append(" }");
        json.append(", \"switches\": {");
        for (int i = 0; i < switchCount; i++) {
            json.append(i == 0 ? " " : ", ").append("\"switch-").append(i).append("\": { \"label\": \"S\"")
                    .append(i == 0 ? ", \"pin\": 4" : "").append(", \"on\": \"").append(macroName()).append("\"")
                    .append(random.nextBoolean() ? ", \"off\": \"" + macroName() + "\"" : "").append(" }");
        }
        json.append(" }, \"knobs\": {");
        List<Ref> numbers = refs.stream()
                .filter(ref -> ref.property.set && ref.property.number() && !ref.property.speed).toList();
        if (!numbers.isEmpty()) {
            json.append(" \"knob\": { \"label\": \"K\", \"pins\": [17, 27], \"turns\": \"").append(pick(numbers).name())
                    .append("\", \"perDetent\": ").append(oneOf(1, 2, 4)).append(", \"faster\": ")
                    .append(random.nextInt(1, 5)).append(random.nextBoolean()
                            ? ", \"push\": { \"press\": \"" + macroName() + "\""
                                    + (random.nextBoolean() ? ", \"turns\": \"" + pick(numbers).name() + "\"" : "")
                                    + " }"
                            : "")
                    .append(" }");
        }
        json.append(" }, \"faders\": {");
        if (!numbers.isEmpty()) {
            json.append(" \"fader\": { \"label\": \"F\", \"input\": \"adc.0\", \"moves\": \"")
                    .append(pick(numbers).name()).append("\", \"pickUp\": ").append(random.nextBoolean()).append(" }");
        }
        json.append(" }, \"joysticks\": {");
        joysticks(json);
        json.append(" }, \"lamps\": {");
        for (int i = 0; i < 3; i++) {
            json.append(i == 0 ? " " : ", ").append("\"lamp-").append(i).append("\": { \"rules\": ").append(rules())
                    .append(" }");
        }
        json.append(" }, \"signs\": { \"failedFor\": \"").append(oneOf(1, 10)).append(" s\" } }");
        return json.toString();
    }

    private void joysticks(StringBuilder json) {
        List<Ref> speeds = refs.stream().filter(ref -> ref.property.speed).toList();
        if (speeds.isEmpty()) {
            return;
        }
        json.append(" \"stick\": { \"label\": \"J\", \"axes\": { \"x\": { \"input\": \"adc.1\", \"drives\": \"")
                .append(speeds.getFirst().name()).append("\", \"most\": ").append(oneOf(10, 5, -8)).append(" } } }");
        if (speeds.size() > 1) {
            json.append(", \"rocker\": { \"label\": \"R\", \"axes\": { \"y\": { \"contacts\": [5, 6], \"drives\": \"")
                    .append(speeds.get(1).name()).append("\" } } }");
        }
    }

    private String macroName() {
        return "macro-" + random.nextInt(macroCount);
    }

    private String button(int number) {
        StringBuilder json = new StringBuilder("\"button-").append(number).append("\": { \"label\": \"B\"");
        boolean press = random.nextInt(5) > 0;
        if (press && familySets != null && random.nextInt(5) == 0) {
            json.append(", \"press\": { \"run\": \"").append(FAMILY).append("\", \"with\": { \"level\": ")
                    .append(pick(familySets.property.values)).append(" } }");
        } else if (press) {
            json.append(", \"press\": \"macro-").append(number).append("\"");
        }
        if (!press || random.nextInt(4) == 0) {
            json.append(", \"hold\": { \"for\": \"").append(oneOf(400, 1500)).append(" ms\", \"run\": \"")
                    .append(macroName()).append("\" }");
        }
        if (random.nextInt(5) == 0) {
            json.append(", \"release\": \"").append(macroName()).append("\"");
        }
        if (random.nextInt(5) == 0) {
            json.append(", \"double\": { \"run\": \"").append(macroName()).append("\" }");
        }
        if (random.nextInt(6) == 0) {
            json.append(", \"steadyFor\": \"5 ms\"");
        }
        json.append(", \"lamp\": {").append(random.nextBoolean() ? " \"rules\": " + rules() : "").append(" }");
        return json.append(" }").toString();
    }

    private String rules() {
        List<String> rules = new ArrayList<>();
        for (int i = random.nextInt(1, 4); i > 0; i--) {
            rules.add("{ \"when\": " + condition(2, false, 0) + ", \"show\": \""
                    + oneOf("steady", "steady", "slow", "fast", "off") + "\""
                    + (random.nextBoolean() ? ", \"brightness\": 0.5" : "") + " }");
        }
        if (random.nextBoolean()) {
            rules.add("{ \"show\": \"" + oneOf("off", "steady") + "\" }");
        }
        return "[" + String.join(", ", rules) + "]";
    }

    @SafeVarargs
    private <T> T oneOf(T... of) {
        return of[random.nextInt(of.length)];
    }

    private <T> T pick(List<T> of) {
        return of.get(random.nextInt(of.size()));
    }
}
