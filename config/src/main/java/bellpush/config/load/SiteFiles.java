package bellpush.config.load;

import bellpush.config.json.JsonFile;
import bellpush.config.json.Node;
import bellpush.config.load.shape.FileShape;
import bellpush.config.model.Source;
import bellpush.config.problem.Spot;
import java.io.IOException;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/** Finds and reads the files of one site and checks their shape. */
final class SiteFiles {
    /** In one folder; more is not a site but a mistake. */
    static final int MOST = 5_000;
    private static final String ENDING = ".json";

    private final Path folder;
    private final Reading reading;
    private int count;
    private final Set<String> unlisted = new HashSet<>();

    SiteFiles(Path folder, Reading reading) {
        this.folder = folder;
        this.reading = reading;
    }

    int count() {
        return count;
    }

    /** Whether the folder is there at all; if not, that is a problem. */
    boolean exists() {
        if (Files.isDirectory(folder) && Files.isReadable(folder)) {
            return true;
        }
        String found = Files.isDirectory(folder)
                ? "The folder " + folder + " may not be read."
                : Files.exists(folder, LinkOption.NOFOLLOW_LINKS)
                        ? folder + " is no folder."
                        : "There is no folder " + folder + ".";
        reading.problems.error(Spot.NONE, found,
                "A site is a folder with site.json, panel.json and devices.json in it.",
                "Give the path of the site's folder.");
        return false;
    }

    /** A file that every site has. */
    Optional<Node.Obj> required(String name, FileShape shape) {
        if (!Files.exists(folder.resolve(name), LinkOption.NOFOLLOW_LINKS)) {
            reading.problems.error(new Spot(new Source(name, 0, 0), 1), "The site has no " + name + ".",
                    "Every site needs site.json, panel.json and devices.json.",
                    "Write " + name + "; an empty one is { }" + (shape == FileShape.SITE ? " with a \"name\"." : "."));
            return Optional.empty();
        }
        count++;
        return read(name, shape);
    }

    private Optional<Node.Obj> read(String name, FileShape shape) {
        return JsonFile.read(folder, name, reading.problems).flatMap(root -> checked(root, shape));
    }

    /** The root of a file that was read, with its shape checked. */
    Optional<Node.Obj> checked(Node root, FileShape shape) {
        shape.check(root, reading.verdict);
        return root instanceof Node.Obj object ? Optional.of(object) : Optional.empty();
    }

    /** All files of a subfolder by their name without the ending, in alphabetical order; empty where one cannot be read. */
    Map<String, Optional<Node.Obj>> all(String subfolder, FileShape shape) {
        Map<String, Optional<Node.Obj>> files = new LinkedHashMap<>();
        for (String file : list(subfolder)) {
            String path = subfolder + "/" + file;
            Spot whole = new Spot(new Source(path, 0, 0), 1);
            if (!file.endsWith(ENDING)) {
                stray(file, whole);
                continue;
            }
            if (files.size() == MOST) {
                reading.problems.error(whole, "The folder " + subfolder + " has more than " + MOST + " files.",
                        "No site is that large, so this is probably another folder.",
                        "Remove what does not belong there.");
                break;
            }
            String name = file.substring(0, file.length() - ENDING.length());
            if (!FileShape.isName(name)) {
                reading.problems.error(whole, "\"" + name + "\" cannot be the name of a " + shape.word() + ".",
                        "The file's name is the name by which others speak of it: lower-case letters, digits and hyphens,"
                                + " beginning with a letter.",
                        "Rename the file" + renamed(name) + ".");
            }
            count++;
            files.put(name, read(path, shape));
        }
        return files;
    }

    private static String renamed(String name) {
        String better = name.replaceAll("([a-z0-9])([A-Z])", "$1-$2").toLowerCase(Locale.ROOT)
                .replaceAll("[^a-z0-9]+", "-")
                .replaceAll("^[^a-z]+", "");
        return FileShape.isName(better) ? ", for example to " + better + ENDING : "";
    }

    /** Notes and backups may lie about, but a file that was meant to be one of the site is easily missed. */
    private void stray(String file, Spot whole) {
        if (file.toLowerCase(Locale.ROOT).matches(".*\\.(json.|jsn|json5|jsonc|json\\.txt)$")
                || file.matches("(?i).*\\.json")) {
            reading.problems.warning(whole, "The file " + file + " is not read.", "Files of a site end with .json.",
                    "Rename it, or move it out of the folder.");
        }
    }

    /** Whether the subfolder, once asked for, could be listed or is not there. */
    boolean listed(String subfolder) {
        return !unlisted.contains(subfolder);
    }

    private TreeSet<String> list(String subfolder) {
        TreeSet<String> names = new TreeSet<>();
        Path path = folder.resolve(subfolder);
        if (!Files.exists(path, LinkOption.NOFOLLOW_LINKS)) {
            return names;
        }
        try (DirectoryStream<Path> entries = Files.newDirectoryStream(path)) {
            for (Path entry : entries) {
                String name = entry.getFileName().toString();
                if (!name.startsWith(".")) {
                    names.add(name);
                }
            }
        } catch (IOException | DirectoryIteratorException | SecurityException _) {
            unlisted.add(subfolder);
            reading.problems.error(new Spot(new Source(subfolder, 0, 0), 1),
                    Files.isDirectory(path)
                            ? "The folder " + subfolder + " may not be read."
                            : subfolder + " is no folder.",
                    "Everything in it is missing from the site.",
                    "Make it a folder that the user that runs this may read.");
        }
        return names;
    }
}
