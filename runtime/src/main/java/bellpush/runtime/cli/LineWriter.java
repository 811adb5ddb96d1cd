package bellpush.runtime.cli;

import java.io.Writer;
import java.util.function.Consumer;

/** Hands what is written on, line by line. */
final class LineWriter extends Writer {
    private final Consumer<String> lines;
    private final StringBuilder line = new StringBuilder();

    LineWriter(Consumer<String> lines) {
        this.lines = lines;
    }

    @Override
    public void write(char[] text, int from, int length) {
        synchronized (lock) {
            for (int i = from; i < from + length; i++) {
                if (text[i] == '\n') {
                    lines.accept(line.toString());
                    line.setLength(0);
                } else if (text[i] != '\r') {
                    line.append(text[i]);
                }
            }
        }
    }

    @Override
    public void flush() {}

    @Override
    public void close() {}
}
