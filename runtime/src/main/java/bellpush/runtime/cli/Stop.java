package bellpush.runtime.cli;

import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/**
 * Waits until somebody wants the program to end: SIGINT, SIGTERM, or the key for it on the drawn panel. A signal makes the JVM
 * run its shutdown hooks; ours lets the command close everything first, and then ends the process with the command's own code:
 * 0 unless it says otherwise, since being told to stop is how a show is meant to end.
 */
final class Stop implements AutoCloseable {
    private static final long CLOSE_WAIT_S = 10;

    private final CountDownLatch wanted = new CountDownLatch(1);
    private volatile int code;
    private Thread interrupted;
    private final CountDownLatch finished = new CountDownLatch(1);
    private final Thread hook = new Thread(this::onSignal, "stop");

    Stop() {
        try {
            Runtime.getRuntime().addShutdownHook(hook);
        } catch (IllegalStateException endingAlready) {
            now(); // told to stop before there was anything to stop
        }
    }

    /** From any thread. */
    void now() {
        wanted.countDown();
        synchronized (this) {
            if (interrupted != null) {
                interrupted.interrupt();
            }
        }
    }

    /** Whoever is at work rather than in {@link #await}, to be interrupted; null for nobody any more. */
    synchronized void interrupting(Thread thread) {
        interrupted = thread;
        if (thread != null && wanted.getCount() == 0) {
            thread.interrupt();
        }
    }

    void await() throws InterruptedException {
        wanted.await();
    }

    /** The exit code if a signal ends the process. */
    void endWith(int exitCode) {
        code = exitCode;
    }

    private void onSignal() {
        now();
        try {
            if (finished.await(CLOSE_WAIT_S, TimeUnit.SECONDS)) {
                Runtime.getRuntime().halt(code); // the JVM would end with 128 and the signal's number
            }
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    /** Everything is closed; a signal that is waiting may end the process now. */
    @Override
    public void close() {
        try {
            Runtime.getRuntime().removeShutdownHook(hook);
        } catch (IllegalStateException e) {
            finished.countDown(); // the hook is running
        }
    }
}
