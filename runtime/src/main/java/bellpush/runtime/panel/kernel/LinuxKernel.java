package bellpush.runtime.panel.kernel;

import static java.lang.foreign.ValueLayout.ADDRESS;
import static java.lang.foreign.ValueLayout.JAVA_INT;
import static java.lang.foreign.ValueLayout.JAVA_LONG;

import java.lang.foreign.Arena;
import java.lang.foreign.FunctionDescriptor;
import java.lang.foreign.Linker;
import java.lang.foreign.MemoryLayout;
import java.lang.foreign.MemorySegment;
import java.lang.invoke.MethodHandle;

/** The C library's wrappers of the system calls. Making one takes some tenths of a second. */
public final class LinuxKernel implements Kernel {
    // asm-generic/fcntl.h, linux/eventfd.h, linux/time.h
    private static final int O_RDWR = 2;
    private static final int O_CLOEXEC = 0x80000;
    private static final int EFD_CLOEXEC = 0x80000;
    private static final int CLOCK_MONOTONIC = 1;

    private static final long ERRNO = Linker.Option.captureStateLayout()
            .byteOffset(MemoryLayout.PathElement.groupElement("errno"));

    private final Linker linker = Linker.nativeLinker();
    // open and ioctl take their last argument as "...", which is passed in another way on some processors.
    private final MethodHandle open = call("open", 2, FunctionDescriptor.of(JAVA_INT, ADDRESS, JAVA_INT));
    private final MethodHandle close = call("close", -1, FunctionDescriptor.of(JAVA_INT, JAVA_INT));
    private final MethodHandle ioctl = call("ioctl", 2, FunctionDescriptor.of(JAVA_INT, JAVA_INT, JAVA_LONG, ADDRESS));
    private final MethodHandle read = call("read", -1,
            FunctionDescriptor.of(JAVA_LONG, JAVA_INT, ADDRESS, JAVA_LONG));
    private final MethodHandle write = call("write", -1,
            FunctionDescriptor.of(JAVA_LONG, JAVA_INT, ADDRESS, JAVA_LONG));
    private final MethodHandle poll = call("poll", -1, FunctionDescriptor.of(JAVA_INT, ADDRESS, JAVA_LONG, JAVA_INT));
    private final MethodHandle eventfd = call("eventfd", -1, FunctionDescriptor.of(JAVA_INT, JAVA_INT, JAVA_INT));
    private final MethodHandle clock = call("clock_gettime", -1, FunctionDescriptor.of(JAVA_INT, JAVA_INT, ADDRESS));

    @SuppressWarnings("restricted") // the launcher allows native access; there is no other way to a system call
    private MethodHandle call(String name, int firstVariadic, FunctionDescriptor shape) {
        MemorySegment address = linker.defaultLookup().findOrThrow(name);
        Linker.Option errno = Linker.Option.captureCallState("errno");
        return firstVariadic < 0
                ? linker.downcallHandle(address, shape, errno)
                : linker.downcallHandle(address, shape, errno, Linker.Option.firstVariadicArg(firstVariadic));
    }

    @Override
    public int open(String path) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((int) open.invokeExact(errno, arena.allocateFrom(path), O_RDWR | O_CLOEXEC), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public int close(int descriptor) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((int) close.invokeExact(errno, descriptor), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public int ioctl(int descriptor, int request, MemorySegment argument) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((int) ioctl.invokeExact(errno, descriptor, Integer.toUnsignedLong(request), argument), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public long read(int descriptor, MemorySegment into) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((long) read.invokeExact(errno, descriptor, into, into.byteSize()), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public long write(int descriptor, MemorySegment from) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((long) write.invokeExact(errno, descriptor, from, from.byteSize()), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public int poll(MemorySegment descriptors, int timeoutMs) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((int) poll.invokeExact(errno, descriptors, descriptors.byteSize() / POLL_SIZE,
                    timeoutMs), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public int eventfd() {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            return result((int) eventfd.invokeExact(errno, 0, EFD_CLOEXEC), errno);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    @Override
    public long monotonicNanos() {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment errno = errno(arena);
            MemorySegment timespec = arena.allocate(16, 8);
            result((int) clock.invokeExact(errno, CLOCK_MONOTONIC, timespec), errno);
            return timespec.get(JAVA_LONG, 0) * 1_000_000_000L + timespec.get(JAVA_LONG, 8);
        } catch (Throwable e) {
            throw impossible(e);
        }
    }

    private static MemorySegment errno(Arena arena) {
        return arena.allocate(Linker.Option.captureStateLayout());
    }

    private static int result(int returned, MemorySegment errno) {
        return returned < 0 ? -errno.get(JAVA_INT, ERRNO) : returned;
    }

    private static long result(long returned, MemorySegment errno) {
        return returned < 0 ? -errno.get(JAVA_INT, ERRNO) : returned;
    }

    private static RuntimeException impossible(Throwable e) {
        return e instanceof RuntimeException known ? known : new IllegalStateException(e);
    }
}
