package bellpush.config.json;

import bellpush.config.model.Source;
import bellpush.config.problem.Problems;
import bellpush.config.problem.Spot;
import java.io.IOException;
import java.io.InputStream;
import java.nio.ByteBuffer;
import java.nio.CharBuffer;
import java.nio.charset.CharsetDecoder;
import java.nio.charset.CoderResult;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;

/** Reads a file of the site into a tree. What goes wrong becomes problems; nothing is thrown. */
public final class JsonFile {
    /** In bytes. */
    public static final int LARGEST = 4 * 1024 * 1024;

    private JsonFile() {}

    /**
     * @param name path within the folder, with slashes, as problems name it
     * @return the tree, or empty; then the problem has been added
     */
    public static Optional<Node> read(Path folder, String name, Problems problems) {
        Path path = folder.resolve(name);
        Spot whole = new Spot(new Source(name, 0, 0), 1);
        if (Files.isDirectory(path)) {
            problems.error(whole, name + " is a folder.", "A file of that name is expected.",
                    "Rename the folder and write the file.");
            return Optional.empty();
        }
        try (InputStream in = Files.newInputStream(path)) {
            return read(name, in.readNBytes(LARGEST + 1), problems);
        } catch (AccessDeniedException _) {
            problems.error(whole, name + " may not be read.", "Everything in it is missing from the site.",
                    "Give the user that runs this the right to read it, for example with chmod a+r.");
        } catch (IOException | SecurityException _) {
            problems.error(whole, name + " cannot be read.", "Everything in it is missing from the site.",
                    "See whether the file, its disk and a link that it may be are in order.");
        }
        return Optional.empty();
    }

    /** The same for bytes that are already here. */
    public static Optional<Node> read(String name, byte[] bytes, Problems problems) {
        if (bytes.length > LARGEST) {
            problems.error(new Spot(new Source(name, 0, 0), 1), name + " is larger than 4 MB.",
                    "No file of a site comes near that size, so this is probably something else.",
                    "Put the right file in its place.");
            return Optional.empty();
        }
        return decode(name, bytes, problems).flatMap(text -> TreeReader.read(name, text, problems));
    }

    private static Optional<String> decode(String name, byte[] bytes, Problems problems) {
        CharsetDecoder decoder = StandardCharsets.UTF_8.newDecoder(); // it reports, where new String would replace
        ByteBuffer in = ByteBuffer.wrap(bytes);
        CharBuffer out = CharBuffer.allocate(bytes.length + 1);
        CoderResult result = decoder.decode(in, out, true);
        String text = out.flip().toString();
        text = text.startsWith("\uFEFF") ? text.substring(1) : text; // RFC 8259 §8.1: a reader may ignore the mark
        if (result.isError()) {
            problems.error(new SourceText(name, text).spot(text.length(), 1),
                    "A byte here (hexadecimal " + String.format("%02x", in.get(in.position()) & 0xff)
                            + ") is not UTF-8 text.",
                    "The file cannot be read beyond this place, so nothing in it was checked.",
                    "Save the file as UTF-8 in the editor.");
            return Optional.empty();
        }
        return Optional.of(text);
    }
}
