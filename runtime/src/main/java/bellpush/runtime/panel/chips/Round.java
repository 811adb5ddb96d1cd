package bellpush.runtime.panel.chips;

/** Goes round chores: a {@link ChipsThread}, or a test by hand. */
public interface Round extends AutoCloseable {
    /** From any thread. */
    void add(Chore chore);

    /** From now on chores are run. */
    void start();

    /** A chore may be due earlier than it said. From any thread; cheap. */
    void wake();

    /** Waits until the chore that is running has ended. No chore runs after that. */
    @Override
    void close();
}
