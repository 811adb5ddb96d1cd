package bellpush.config.load;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.json.Node;
import bellpush.config.json.TreeReader;
import bellpush.config.load.shape.FileShape;
import bellpush.config.load.shape.Verdict;
import bellpush.config.problem.Problems;
import com.networknt.schema.InputFormat;
import com.networknt.schema.Schema;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SchemaRegistry;
import com.networknt.schema.SpecificationVersion;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;
import tools.jackson.databind.JsonNode;

/**
 * The schemas that editors use, held together with the shapes that the loader checks. The judge is an independent validator
 * of JSON Schema 2020-12 (networknt), and the meta-schema of json-schema.org that comes with it.
 */
class SchemasTest {
    private static final SchemaRegistry REGISTRY = SchemaRegistry
            .withDefaultDialect(SpecificationVersion.DRAFT_2020_12);
    private static final int CASES = 6_000;

    @ParameterizedTest
    @EnumSource(FileShape.class)
    void theShippedSchemaIsWhatTheDefinitionsSay(FileShape file) throws IOException {
        Path shipped = Path.of(System.getProperty("bellpush.house", ".."),
                "config/src/main/resources/bellpush/schema/" + file.word() + ".json");

        assertThat(Files.readString(shipped)).as("run bellpush.config.load.shape.WriteSchemas and commit")
                .isEqualTo(file.schema());
    }

    @ParameterizedTest
    @EnumSource(FileShape.class)
    void theSchemaIsOneOfDraft202012(FileShape file) {
        Schema meta = REGISTRY.getSchema(SchemaLocation.of("https://json-schema.org/draft/2020-12/schema"));

        assertThat(meta.validate(file.schema(), InputFormat.JSON)).isEmpty();
        assertThat(meta.validate(file.schema().replace("\"type\": \"object\"", "\"type\": \"thing\"")
                .replace("\"type\" : \"object\"", "\"type\" : \"thing\""), InputFormat.JSON)).isNotEmpty();
    }

    @Test
    void aValidSiteIsValidForBoth() {
        TestSite.hall().files().forEach((name, bytes) -> {
            String json = Mutations.MAPPER.readTree(new String(bytes, StandardCharsets.UTF_8)).toString();
            FileShape file = shapeOf(name);

            assertThat(schema(file).validate(json, InputFormat.JSON)).as(name).isEmpty();
            assertThat(shapeTakes(file, json)).as(name).isTrue();
        });
    }

    @Test
    void schemaAndLoaderAgreeOnThousandsOfRandomChanges() {
        Map<String, JsonNode> trees = new java.util.TreeMap<>();
        TestSite.hall().files().forEach(
                (name, bytes) -> trees.put(name, Mutations.MAPPER.readTree(new String(bytes, StandardCharsets.UTF_8))));
        List<String> names = new ArrayList<>(trees.keySet());
        Map<FileShape, Schema> schemas = new EnumMap<>(FileShape.class);
        Random random = new Random(20261125);
        Mutations mutations = new Mutations(random, List.copyOf(trees.values()));
        int valid = 0;
        for (int i = 0; i < CASES; i++) {
            String name = names.get(random.nextInt(names.size()));
            FileShape file = shapeOf(name);
            String json = mutations.mutate(trees.get(name)).toString();
            boolean bySchema = schemas.computeIfAbsent(file, SchemasTest::schema).validate(json, InputFormat.JSON)
                    .isEmpty();

            assertThat(shapeTakes(file, json)).as("case %s of %s: %s", i, name, json).isEqualTo(bySchema);
            valid += bySchema ? 1 : 0;
        }
        assertThat(valid).as("both verdicts must occur often").isBetween(CASES / 20, CASES * 19 / 20);
    }

    private static Schema schema(FileShape file) {
        return REGISTRY.getSchema(file.schema(), InputFormat.JSON);
    }

    private static boolean shapeTakes(FileShape file, String json) {
        Problems problems = new Problems();
        Node root = TreeReader.read("x.json", json, problems).orElseThrow();
        Verdict verdict = new Verdict(problems);
        file.check(root, verdict);
        assertThat(verdict.count() > 0).isEqualTo(problems.hasErrors());
        return verdict.count() == 0;
    }

    static FileShape shapeOf(String name) {
        return name.startsWith("kinds/")
                ? FileShape.KIND
                : name.startsWith("macros/")
                        ? FileShape.MACRO
                        : name.startsWith("rehearsals/")
                                ? FileShape.REHEARSAL
                                : FileShape.valueOf(name.replace(".json", "").toUpperCase(java.util.Locale.ROOT));
    }
}
