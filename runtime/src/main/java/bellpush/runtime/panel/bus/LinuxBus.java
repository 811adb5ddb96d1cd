package bellpush.runtime.panel.bus;

/**
 * The device file of a bus: opened when it is first wanted, and anew after {@link #drop}, since a bus that was taken away comes
 * back under a new descriptor only. Guarded by the chip's own lock.
 */
abstract class LinuxBus implements AutoCloseable {
    final String file;
    private LinuxFile open;
    private boolean closed;

    LinuxBus(String file) {
        this.file = file;
    }

    /** Why the file could not be opened, in words. */
    abstract BusException notOpened(int errno);

    /** Makes a file that has just been opened ready. It is {@link #drop}ped first where that fails. */
    abstract void setUp(LinuxFile opened) throws BusException;

    final LinuxFile bus() throws BusException {
        if (closed) {
            throw new BusException("The bus " + file + " is closed.");
        }
        if (open == null) {
            LinuxFile.Opened opened = LinuxFile.open(file);
            if (opened.errno() != 0) {
                throw notOpened(opened.errno());
            }
            open = opened.file();
            setUp(open);
        }
        return open;
    }

    final void drop() {
        open.close();
        open = null;
    }

    @Override
    public final synchronized void close() {
        closed = true;
        if (open != null) {
            drop();
        }
    }
}
