package bellpush.config.model;

/**
 * A place in a file of the site. Lines and columns count from 1; column counts UTF-16 units. A value that no admin
 * wrote (a default) has {@link #NONE}.
 */
public record Source(String file, int line, int column) {
    public static final Source NONE = new Source("", 0, 0);

    @Override
    public String toString() {
        return line == 0 ? "(built in)" : file + ":" + line + ":" + column;
    }
}
