package bellpush.config.load.shape;

import bellpush.config.json.Node;
import java.util.LinkedHashMap;
import java.util.Map;

/** The six kinds of file in a site, each with the one definition of what may stand in it. */
public enum FileShape {
    SITE("site", "The venue and its limits", SiteFile.SHAPE), PANEL("panel",
            "What is wired where, and what a gesture does",
            PanelFile.SHAPE), DEVICES("devices", "The gear and its addresses", DevicesFile.SHAPE), KIND("kind",
                    "How one model of device is spoken to", KindFile.SHAPE), MACRO("macro", "A chain of steps",
                            MacroFile.SHAPE), REHEARSAL("rehearsal", "A scripted evening", RehearsalFile.SHAPE);

    private final String word;
    private final String title;
    private final Shape shape;

    FileShape(String word, String title, Shape shape) {
        this.word = word;
        this.title = title;
        this.shape = shape;
    }

    /** The name of its schema without {@code .json}. */
    public String word() {
        return word;
    }

    /** Adds a problem for everything in the file that does not belong there. */
    public void check(Node root, Verdict verdict) {
        shape.check(root, new Place("The file", title + "."), verdict);
    }

    /** Its JSON Schema (2020-12) as text. */
    public String schema() {
        Definitions definitions = new Definitions();
        Map<String, Object> body = shape.schema(definitions);
        Map<String, Object> schema = new LinkedHashMap<>();
        schema.put("$schema", "https://json-schema.org/draft/2020-12/schema");
        schema.put("$id", "urn:bellpush:schema:" + word);
        schema.put("title", title);
        schema.putAll(body);
        if (!definitions.all().isEmpty()) {
            schema.put("$defs", definitions.all());
        }
        return JsonText.of(schema);
    }

    /** The name a macro, kind or rehearsal takes from its file must be one that can be referred to. */
    public static boolean isName(String name) {
        return Words.NAME.fits(name);
    }

    /** A device's name, a dot, and a name of its kind. */
    public static boolean isReference(String text) {
        return Words.REFERENCE.fits(text);
    }

    /** The name of a property or command inside its kind. */
    public static boolean isPropertyName(String text) {
        return Words.PROPERTY.fits(text);
    }
}
