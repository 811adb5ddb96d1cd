package bellpush.config.model;

import java.nio.file.Path;
import java.util.Map;

/**
 * A venue's panel, gear and macros, checked. Maps keep the order written.
 *
 * @param folder where it was read from
 */
public record Site(Path folder, String name, FrameRate frameRate, Limits limits, Panel panel,
        Map<String, Device> devices, Map<String, Macro> macros) {

    /** The property a reference names. It exists: the site was checked. */
    public Property property(PropertyRef ref) {
        return devices.get(ref.device()).kind().properties().get(ref.property());
    }
}
