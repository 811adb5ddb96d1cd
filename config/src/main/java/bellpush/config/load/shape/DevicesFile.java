package bellpush.config.load.shape;

import static bellpush.config.load.shape.Words.*;

/** devices.json: the gear and its addresses. */
final class DevicesFile {
    private static final Shape DEVICE = object("a device")
            .may("label", LABEL, "What people call it. Without it: its name.")
            .need("kind", NAME.such("pjlink-projector"),
                    "How it is spoken to: the name of a file in the folder kinds, or of a built-in kind.")
            .need("address",
                    TextShape.of("^[^ \\u0000-\\u001f/]{1,253}$", "a host name or IP address", "192.168.40.11"),
                    "Its host name or IP address.")
            .may("port", whole(1, 65_535, 4000), "Its port, from 1 to 65535. Without it: the kind's.")
            .may("settings", settings(), "Free settings for the driver, laid over the kind's.");

    static final Shape SHAPE = file("the devices").entries(NAME, "device", DEVICE, "One piece of gear at one address.");

    private DevicesFile() {}

    static Shape settings() {
        return map("the settings", TextShape.of("^[^\\u0000]{1,200}$", "any text of up to 200 characters", "name"),
                "setting",
                FREE, "A setting for the driver.");
    }
}
