package bellpush.runtime.prove;

/** What is wrong with the gear in one trial. At most one device is in trouble. */
record Trouble(String device, Kind kind) {
    enum Kind {
        NONE,
        /** Its link is down from the start. */
        DOWN,
        /** Its link is up, and it neither does what it is sent nor says anything. */
        DEAF
    }

    static final Trouble NONE = new Trouble("", Kind.NONE);

    boolean deaf(String name) {
        return kind == Kind.DEAF && device.equals(name);
    }

    boolean down(String name) {
        return kind == Kind.DOWN && device.equals(name);
    }
}
