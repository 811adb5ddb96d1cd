package bellpush.runtime.panel.chips;

/** A thread that is never started: a test goes round its chores. */
record ByHand(ChipsThread thread) implements Round {
    @Override
    public void add(Chore chore) {
        thread.add(chore);
    }

    @Override
    public void start() {}

    @Override
    public void wake() {}

    @Override
    public void close() {
        thread.close();
    }
}
