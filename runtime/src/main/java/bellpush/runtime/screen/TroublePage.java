package bellpush.runtime.screen;

import bellpush.config.model.Device;
import bellpush.config.model.Site;
import java.util.List;
import java.util.Set;

/** The list that lies over the panel when somebody wants to practise trouble: a line for each device, with its key. */
final class TroublePage {
    /** A device's key is its place in here. */
    static final String KEYS = "abcdefghijklmnopqrstuvwxyz";

    private static final int MOST_COLUMNS = 76;
    private static final String HINT = "a letter: off, or on again; its capital: somebody changes something at it";

    private final Marks marks;
    private final List<Device> devices;

    TroublePage(Site site, Marks marks) {
        this.marks = marks;
        devices = site.devices().values().stream().limit(KEYS.length()).toList();
    }

    void paint(Canvas canvas, Scene scene) {
        int width = Math.min(MOST_COLUMNS, canvas.width);
        int inner = width - 4;
        if (inner < 1 || canvas.height < 3) {
            return;
        }
        List<String> hint = PlainText.wrapped(HINT, inner, marks.more());
        int height = Math.min(canvas.height, devices.size() + hint.size() + 3);
        int x = (canvas.width - width) / 2;
        int y = (canvas.height - height) / 2;
        canvas.frame(x, y, width, height, marks.pressedCorners(), marks.pressedLine(), marks.pressedSide(), Ink.PLAIN);
        canvas.fill(x + 1, y + 1, width - 2, height - 2, ' ', Ink.PLAIN);
        canvas.text(x + 2, y, inner, " Trouble, to practise ", Ink.BOLD);
        canvas.text(x + 2, y + height - 1, inner, " Esc goes back ", Ink.PLAIN);
        for (int i = 0; i < Math.min(devices.size(), height - 2); i++) {
            Device device = devices.get(i);
            boolean off = scene.off().orElse(Set.of()).contains(device.name());
            String words = KEYS.charAt(i) + "  " + (off ? "SWITCHED OFF" : "works       ") + "  "
                    + marks.text(device.label());
            canvas.text(x + 2, y + 1 + i, inner, marks.cut(words, inner), off ? Ink.FAULT : Ink.PLAIN);
        }
        for (int i = 0; i < hint.size(); i++) {
            int line = devices.size() + 1 + i;
            if (line < height - 2) {
                canvas.text(x + 2, y + 1 + line, inner, hint.get(i), Ink.PLAIN);
            }
        }
    }
}
