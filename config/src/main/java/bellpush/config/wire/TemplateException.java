package bellpush.config.wire;

/** A template that makes no sense. The message is for people and names the cure. */
public final class TemplateException extends RuntimeException {
    private static final long serialVersionUID = 1L;
    private final int offset;

    public TemplateException(int offset, String message) {
        super(message);
        this.offset = offset;
    }

    /** Where in the template's text it begins, in UTF-16 units from 0; the template's length if something is missing at its end. */
    public int offset() {
        return offset;
    }
}
