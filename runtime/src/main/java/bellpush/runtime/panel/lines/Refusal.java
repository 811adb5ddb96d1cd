package bellpush.runtime.panel.lines;

import java.util.Map;

/** The kernel has refused a system call. */
final class Refusal extends Exception {
    private static final long serialVersionUID = 1L;

    // asm-generic/errno-base.h and errno.h; the same on every processor that boards with pins have.
    static final int EPERM = 1;
    static final int ENOENT = 2;
    static final int EINTR = 4;
    static final int EIO = 5;
    static final int ENXIO = 6;
    static final int EBADF = 9;
    static final int EACCES = 13;
    static final int EBUSY = 16;
    static final int ENODEV = 19;
    static final int EINVAL = 22;
    static final int EMFILE = 24;
    static final int ENOTTY = 25;

    private static final Map<Integer, String> WORDS = Map.of(EPERM, "not permitted", ENOENT, "not there", EIO,
            "it does not answer", ENXIO, "no such device or address", EACCES, "no permission", EBUSY, "in use", ENODEV,
            "it is gone", EINVAL, "not possible there", EMFILE, "too many open files", ENOTTY,
            "the kernel does not know this request");

    private final int errno;

    Refusal(String call, int errno) {
        super(WORDS.getOrDefault(errno, "error " + errno) + ", " + call);
        this.errno = errno;
    }

    /** The error's number in Linux. */
    int errno() {
        return errno;
    }

    /** @return what was returned, if it is no error */
    static long check(String call, long returned) throws Refusal {
        if (returned < 0) {
            throw new Refusal(call, (int) -returned);
        }
        return returned;
    }
}
