package bellpush.runtime.panel.lines;

import static java.lang.foreign.ValueLayout.JAVA_LONG;
import static org.assertj.core.api.Assertions.assertThat;

import bellpush.runtime.panel.kernel.Kernel;
import bellpush.runtime.panel.kernel.LinuxKernel;
import java.lang.foreign.Arena;
import java.lang.foreign.MemorySegment;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;

/** The real kernel, as far as it can be asked on any computer. */
@EnabledOnOs(OS.LINUX)
class LinuxKernelTest {
    private final Kernel kernel = new LinuxKernel();

    @Test
    void anErrorComesBackAsItsNumber() {
        assertThat(kernel.open("/dev/no-such-gpiochip")).isEqualTo(-Refusal.ENOENT);
        assertThat(kernel.close(-1)).isEqualTo(-Refusal.EBADF);
        int file = kernel.open("/dev/null");
        try (Arena arena = Arena.ofConfined()) {
            assertThat(kernel.ioctl(file, Uapi.GET_CHIPINFO, arena.allocate(Uapi.CHIP_SIZE)))
                    .isEqualTo(-Refusal.ENOTTY);
        }
        assertThat(kernel.close(file)).isZero();
    }

    @Test
    void aCounterWakesAPoll() {
        int counter = kernel.eventfd();
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment polled = arena.allocate(Uapi.POLL_SIZE, 8);
            MemorySegment number = arena.allocateFrom(JAVA_LONG, 3);
            Uapi.pollIn(polled, 0, counter);
            assertThat(kernel.poll(polled, 0)).isZero();
            assertThat(kernel.write(counter, number)).isEqualTo(8);
            assertThat(kernel.poll(polled, -1)).isEqualTo(1);
            assertThat(Uapi.polled(polled, 0)).isEqualTo(Uapi.POLLIN);
            number.set(JAVA_LONG, 0, 0);
            assertThat(kernel.read(counter, number)).isEqualTo(8);
            assertThat(number.get(JAVA_LONG, 0)).isEqualTo(3);
        }
        kernel.close(counter);
    }

    /** HotSpot's os::javaTimeNanos (os_posix.cpp) is clock_gettime(CLOCK_MONOTONIC); here it is seen to be. */
    @Test
    void theKernelsEventClockIsTheOneOfNanoTime() {
        for (int i = 0; i < 1_000; i++) {
            long before = System.nanoTime();
            long kernels = kernel.monotonicNanos();
            assertThat(kernels).isBetween(before, System.nanoTime());
        }
    }
}
