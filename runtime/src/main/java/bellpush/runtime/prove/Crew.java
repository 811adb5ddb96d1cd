package bellpush.runtime.prove;

import java.util.ArrayList;
import java.util.Collection;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.ThreadFactory;
import java.util.function.Function;

/** As many threads as there are processors, four at most: macros are proved each by itself. */
final class Crew implements AutoCloseable {
    private static final int MOST = 4;
    private static final ThreadFactory THREADS = Thread.ofPlatform().name("prove-", 1).daemon().factory();

    private final ExecutorService threads = Executors
            .newFixedThreadPool(Math.min(MOST, Runtime.getRuntime().availableProcessors()), THREADS);

    /** Does the work for each, and gives the results in the order of what was given. */
    <A, B> List<B> all(Collection<A> each, Function<A, B> work) {
        List<Future<B>> futures = new ArrayList<>();
        each.forEach(one -> futures.add(threads.submit(() -> work.apply(one))));
        List<B> results = new ArrayList<>();
        for (Future<B> future : futures) {
            try {
                results.add(future.get());
            } catch (InterruptedException e) {
                Thread.currentThread().interrupt();
                throw new IllegalStateException("interrupted while proving", e);
            } catch (ExecutionException e) {
                throw new IllegalStateException(e.getCause());
            }
        }
        return results;
    }

    @Override
    public void close() {
        threads.shutdownNow();
    }
}
