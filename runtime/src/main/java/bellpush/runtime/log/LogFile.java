package bellpush.runtime.log;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.BasicFileAttributes;
import java.util.Objects;

/** A file that only grows, by whole lines. Not for use by more than one thread. */
interface LogFile extends AutoCloseable {
    /** Appends all of the bytes, or none as far as the disk lets us. */
    void append(byte[] bytes) throws IOException;

    /** Returns once what was appended is on the disk. Slow: an SD card may take a second. */
    void sync() throws IOException;

    /** Whether the file is still in its folder. A deleted file can be written without any error. */
    boolean isThere();

    @Override
    void close() throws IOException;

    /** Where log files come from. */
    interface Opener {
        /** Makes a new file; fails if there is one. Makes the folder where that is missing. */
        LogFile create(Path file) throws IOException;
    }

    static LogFile create(Path file) throws IOException {
        Path folder = file.toAbsolutePath().getParent();
        if (!Files.isDirectory(folder)) {
            Files.createDirectories(folder);
        }
        FileChannel channel = FileChannel.open(file, StandardOpenOption.CREATE_NEW, StandardOpenOption.WRITE);
        Object key = key(file);
        return new LogFile() {
            private long length;

            @Override
            public void append(byte[] bytes) throws IOException {
                ByteBuffer buffer = ByteBuffer.wrap(bytes);
                channel.truncate(length); // what a full disk has cut off must not stand before the next line
                long at = length;
                while (buffer.hasRemaining()) {
                    at += channel.write(buffer, at);
                }
                length = at;
            }

            @Override
            public void sync() throws IOException {
                channel.force(false);
            }

            @Override
            public boolean isThere() {
                try {
                    return Objects.equals(key, key(file));
                } catch (IOException e) {
                    return false;
                }
            }

            @Override
            public void close() throws IOException {
                channel.close();
            }
        };
    }

    private static Object key(Path file) throws IOException {
        return Files.readAttributes(file, BasicFileAttributes.class).fileKey();
    }
}
