package bellpush.tests.simulation;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.TreeMap;

/**
 * A small site from a seed, written as an admin would write it: one to four devices of up to three kinds, a handful of macros that run
 * one another, wait, decide, remember and fail in all ways, and a panel with every control there is. Limits are small, so that they
 * are reached.
 */
final class RandomSite {
    private record Property(String name, String type, List<String> values, boolean told, boolean set, boolean speed) {}

    private record Kind(String name, String driver, List<Property> properties, Map<String, List<Property>> commands,
            String json) {}

    private record Ref(String device, Property property) {
        String name() {
            return device + "." + property.name;
        }
    }

    private final SplittableRandom random;
    private final List<Kind> kinds = new ArrayList<>();
    private final Map<String, Kind> devices = new LinkedHashMap<>();
    private final List<Ref> refs = new ArrayList<>();
    private final Map<String, String> files = new TreeMap<>();
    private int macroCount;
    private int switchCount;

    RandomSite(long seed) {
        random = new SplittableRandom(seed);
    }

    /** The files of the site, by name. */
    Map<String, String> files() {
        files.put("site.json", "{ \"name\": \"A hall at random\", \"limits\": { \"runs\": " + oneOf(3, 8, 32)
                + ", \"waitingSends\": " + oneOf(4, 16, 64) + ", \"stepsPerPress\": " + oneOf(20, 1000) + " } }");
        int kindCount = random.nextInt(1, 4);
        for (int i = 0; i < kindCount; i++) {
            Kind kind = kind("kind-" + i);
            kinds.add(kind);
            files.put("kinds/" + kind.name + ".json", kind.json);
        }
        StringBuilder json = new StringBuilder("{");
        int deviceCount = random.nextInt(1, 5);
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
        for (int i = 0; i < count; i++) {
            json.append(i == 0 ? " " : ", ").append(property("p" + i, i, properties));
        }
        int speeds = random.nextInt(0, 3);
        for (int i = 0; i < speeds; i++) {
            json.append(", ").append(speed("speed" + i, properties));
        }
        Map<String, List<Property>> commands = new LinkedHashMap<>();
        json.append(" }, \"commands\": {");
        int commandCount = random.nextInt(1, 4);
        for (int i = 0; i < commandCount; i++) {
            json.append(i == 0 ? " " : ", ").append(command("act" + i, properties, commands));
        }
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

    private String property(String name, int index, List<Property> into) {
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
        if (random.nextInt(3) == 0) {
            json.append(", \"takes\": \"").append(oneOf(50, 300, 900)).append(" ms\"");
        }
        into.add(new Property(name, shape < 2 ? "word" : "number", values, answers || reports, set, false));
        return json.append(" }").toString();
    }

    private String speed(String name, List<Property> into) {
        String unsettled = into.stream().filter(p -> p.told && !p.speed).map(Property::name).findFirst().orElse("");
        into.add(new Property(name, "number", List.of("0"), false, true, true));
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
        }
        json.append(", \"again\": \"").append(oneOf("ignore", "restart", "queue")).append("\"");
        json.append(", \"onFailure\": ").append(otherwise(number));
        json.append(", \"steps\": ").append(steps(number, 2));
        if (random.nextInt(3) > 0) {
            json.append(", \"promise\": ").append(condition(2, false, number));
            json.append(", \"promiseWithin\": \"").append(oneOf(200, 1000, 3000)).append(" ms\"");
        }
        return json.append(" }").toString();
    }

    private String otherwise(int number) {
        return switch (random.nextInt(4)) {
            case 0 -> "\"go on\"";
            case 1 -> number == 0 ? "\"stop\"" : "{ \"run\": \"macro-" + random.nextInt(number) + "\" }";
            default -> "\"stop\"";
        };
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
        switch (random.nextInt(9)) {
            case 0, 1, 2 -> into.add(refs.stream().anyMatch(ref -> ref.property.set)
                    ? "{ \"set\": { " + sets() + " } }"
                    : "{ \"say\": \"nothing to set\" }");
            case 3 -> {
                String device = pick(List.copyOf(devices.keySet()));
                into.add("{ \"do\": \"" + device + "." + pick(List.copyOf(devices.get(device).commands.keySet()))
                        + "\" }");
            }
            case 4 -> into.add("{ \"wait\": \"" + oneOf(10, 100, 400) + " ms\" }");
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
            case 7 -> {
                List<Ref> settable = refs.stream().filter(ref -> ref.property.set && !ref.property.speed).toList();
                if (settable.isEmpty()) {
                    into.add("{ \"say\": \"nothing to set\" }");
                } else {
                    Ref ref = pick(settable);
                    into.add("{ \"remember\": \"" + ref.name() + "\" }");
                    into.add("{ \"set\": { \"" + ref.name() + "\": " + pick(ref.property.values) + " } }");
                    into.add("{ \"wait\": \"" + oneOf(20, 200) + " ms\" }");
                    into.add("{ \"restore\": \"" + ref.name() + "\" }");
                }
            }
            default -> into.add(number == 0
                    ? "{ \"say\": \"nothing to run\" }"
                    : "{ \"run\": \"macro-" + random.nextInt(number) + "\" }");
        }
    }

    private String sets() {
        Map<String, String> sets = new LinkedHashMap<>();
        List<Ref> settable = refs.stream().filter(ref -> ref.property.set).toList();
        for (int i = random.nextInt(1, 4); i > 0; i--) {
            Ref ref = pick(settable);
            sets.put(ref.name(), pick(ref.property.values));
        }
        List<String> pairs = new ArrayList<>();
        sets.forEach((name, value) -> pairs.add("\"" + name + "\": " + value));
        return String.join(", ", pairs);
    }

    /** @param runs whether it may speak of running and failed macros */
    private String condition(int depth, boolean runs, int number) {
        return switch (random.nextInt(depth > 0 ? 8 : 5)) {
            case 0 -> "{ \"link\": { \"" + pick(List.copyOf(devices.keySet())) + "\": \"up\" } }";
            case 1 -> runs && number > 0
                    ? "{ \"" + oneOf("running", "failed") + "\": \"macro-" + random.nextInt(number) + "\" }"
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
        return "{ \"" + ref.name() + "\": " + (ref.property.type.equals("number") && random.nextBoolean()
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
                .filter(ref -> ref.property.set && ref.property.type.equals("number") && !ref.property.speed).toList();
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
        if (press) {
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
