package bellpush.runtime.panel.bus;

import java.lang.foreign.Arena;
import java.lang.foreign.FunctionDescriptor;
import java.lang.foreign.Linker;
import java.lang.foreign.MemoryLayout;
import java.lang.foreign.MemorySegment;
import java.lang.foreign.StructLayout;
import java.lang.foreign.ValueLayout;
import java.lang.invoke.MethodHandle;
import java.lang.invoke.VarHandle;

/**
 * A device file of Linux: open, ioctl, close, with the error number. Results below 0 are negated error numbers, as the kernel
 * itself returns them.
 */
final class LinuxFile {
    private static final int O_RDWR = 2;
    private static final int O_CLOEXEC = 0x80000; // asm-generic; so do x86, ARM and RISC-V
    private static final StructLayout STATE = Linker.Option.captureStateLayout();
    private static final VarHandle ERRNO = STATE.varHandle(MemoryLayout.PathElement.groupElement("errno"));
    private static final Linker.Option CAPTURE = Linker.Option.captureCallState("errno");
    private static final MethodHandle OPEN = handle("open",
            FunctionDescriptor.of(ValueLayout.JAVA_INT, ValueLayout.ADDRESS, ValueLayout.JAVA_INT),
            CAPTURE, Linker.Option.firstVariadicArg(2));
    private static final MethodHandle IOCTL = handle("ioctl",
            FunctionDescriptor.of(ValueLayout.JAVA_INT, ValueLayout.JAVA_INT, ValueLayout.JAVA_LONG,
                    ValueLayout.JAVA_LONG),
            CAPTURE, Linker.Option.firstVariadicArg(2));
    private static final MethodHandle CLOSE = handle("close",
            FunctionDescriptor.of(ValueLayout.JAVA_INT, ValueLayout.JAVA_INT));

    private final int descriptor;

    private LinuxFile(int descriptor) {
        this.descriptor = descriptor;
    }

    @SuppressWarnings("restricted")
    private static MethodHandle handle(String name, FunctionDescriptor type, Linker.Option... options) {
        Linker linker = Linker.nativeLinker();
        return linker.downcallHandle(linker.defaultLookup().findOrThrow(name), type, options);
    }

    /** A file, or why not. @param errno 0 if it is open */
    record Opened(LinuxFile file, int errno) {}

    static Opened open(String path) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment state = arena.allocate(STATE);
            int result = (int) OPEN.invokeExact(state, arena.allocateFrom(path), O_RDWR | O_CLOEXEC);
            return result < 0 ? new Opened(null, (int) ERRNO.get(state, 0L)) : new Opened(new LinuxFile(result), 0);
        } catch (Throwable e) {
            throw new IllegalStateException("open", e);
        }
    }

    /** @return 0 or more, or the negated error number */
    int ioctl(long request, MemorySegment argument) {
        return ioctl(request, argument.address());
    }

    /** @return 0 or more, or the negated error number */
    int ioctl(long request, long argument) {
        try (Arena arena = Arena.ofConfined()) {
            MemorySegment state = arena.allocate(STATE);
            int result = (int) IOCTL.invokeExact(state, descriptor, request, argument);
            return result < 0 ? -(int) ERRNO.get(state, 0L) : result;
        } catch (Throwable e) {
            throw new IllegalStateException("ioctl", e);
        }
    }

    void close() {
        try {
            int _ = (int) CLOSE.invokeExact(descriptor);
        } catch (Throwable e) {
            throw new IllegalStateException("close", e);
        }
    }
}
