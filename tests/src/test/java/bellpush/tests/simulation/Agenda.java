package bellpush.tests.simulation;

import java.util.Arrays;

/** What is to happen, by virtual time; what is due at the same time happens in the order in which it was put down. */
final class Agenda {
    /** Something to do at {@code dueAt}, which may be past by the time it is done. */
    interface Task {
        void run(long dueAt);
    }

    private long[] dueAt = new long[64];
    private long[] order = new long[64];
    private Task[] tasks = new Task[64];
    private int size;
    private long last;

    boolean isEmpty() {
        return size == 0;
    }

    /** When the next is due; {@link Long#MAX_VALUE} if there is none. */
    long next() {
        return size == 0 ? Long.MAX_VALUE : dueAt[0];
    }

    void add(long at, Task task) {
        if (size == tasks.length) {
            dueAt = Arrays.copyOf(dueAt, size * 2);
            order = Arrays.copyOf(order, size * 2);
            tasks = Arrays.copyOf(tasks, size * 2);
        }
        int i = size++;
        long mine = ++last;
        while (i > 0) {
            int parent = (i - 1) / 2;
            if (dueAt[parent] <= at) {
                break; // of two that are due together the parent was there first
            }
            move(parent, i);
            i = parent;
        }
        set(i, at, mine, task);
    }

    /** Takes the next one off and does it. */
    void runNext() {
        long at = dueAt[0];
        Task task = tasks[0];
        int end = --size;
        long endAt = dueAt[end];
        long endOrder = order[end];
        Task endTask = tasks[end];
        tasks[end] = null;
        if (end > 0) {
            sink(endAt, endOrder, endTask);
        }
        task.run(at);
    }

    private void sink(long at, long mine, Task task) {
        int i = 0;
        while (true) {
            int child = 2 * i + 1;
            if (child >= size) {
                break;
            }
            if (child + 1 < size && before(child + 1, dueAt[child], order[child])) {
                child++;
            }
            if (!before(child, at, mine)) {
                break;
            }
            move(child, i);
            i = child;
        }
        set(i, at, mine, task);
    }

    private boolean before(int i, long at, long mine) {
        return dueAt[i] < at || dueAt[i] == at && order[i] < mine;
    }

    private void move(int from, int to) {
        set(to, dueAt[from], order[from], tasks[from]);
    }

    private void set(int i, long at, long mine, Task task) {
        dueAt[i] = at;
        order[i] = mine;
        tasks[i] = task;
    }
}
