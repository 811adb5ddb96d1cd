package bellpush.config.load;

import bellpush.config.load.shape.FileShape;

/** Whether a text can be a reference to a property or command at all. The shape complains where it cannot. */
final class Written {
    private Written() {}

    static boolean isReference(String text) {
        return FileShape.isReference(text) || FileShape.isPropertyName(text);
    }
}
