package bellpush.runtime.panel.chips;

/** Something that the thread {@code chips} or {@code strips} does again and again. */
public interface Chore {
    /** The chore waits for something to happen, and wakes the thread by itself. */
    long NEVER = Long.MAX_VALUE;
    /** Before everything else. */
    long AT_ONCE = Long.MIN_VALUE;

    /** How long until {@link #run} is due; 0 or less: it is due. Called on that thread; does not wait. */
    long waitNanos(long nowNanos);

    /** On {@code chips}: waits for nobody, and takes no longer than a short transfer or two, so that the others get their turn. Throws nothing. */
    void run(long nowNanos);
}
