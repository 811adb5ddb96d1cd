package bellpush.tests.board;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.io.OutputStream;
import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/**
 * The stage desk: a server of lines that keeps what it is told, says so, and counts chimes. {@code NAME?} asks and
 * {@code NAME value} sets.
 */
final class Desk implements AutoCloseable {
    static final int PORT = 9901;

    private final ServerSocket door;
    private final Map<String, String> values = new ConcurrentHashMap<>(Map.of("CURTAIN", "0", "ALARM", "0", "LEVEL",
            "0", "ZOOM", "0"));
    private final Map<String, Integer> heard = new ConcurrentHashMap<>();
    private final Thread thread;
    private volatile Socket caller;

    Desk() throws IOException {
        door = new ServerSocket();
        door.setReuseAddress(true);
        door.bind(new InetSocketAddress(InetAddress.getLoopbackAddress(), PORT));
        thread = Thread.ofPlatform().name("desk").daemon().start(this::serve);
    }

    private void serve() {
        while (!door.isClosed()) {
            try (Socket socket = door.accept()) {
                socket.setTcpNoDelay(true);
                caller = socket;
                BufferedReader in = new BufferedReader(
                        new InputStreamReader(socket.getInputStream(), StandardCharsets.US_ASCII));
                for (String line = in.readLine(); line != null; line = in.readLine()) {
                    hear(line);
                }
            } catch (IOException e) {
                // The caller or the door has gone; the next caller is waited for as long as there is a door.
            } finally {
                caller = null;
            }
        }
    }

    private void hear(String line) throws IOException {
        String[] words = line.split(" ");
        String name = words[0].replace("?", "");
        heard.merge(words[0], 1, Integer::sum);
        if (words.length == 2 && values.containsKey(name)) {
            values.put(name, words[1]);
        }
        if (values.containsKey(name)) {
            say(name + " " + values.get(name));
        }
    }

    private synchronized void say(String line) throws IOException {
        Socket to = caller;
        if (to != null) {
            OutputStream out = to.getOutputStream();
            out.write((line + "\n").getBytes(StandardCharsets.US_ASCII));
            out.flush();
        }
    }

    /** Somebody does this at the desk itself, and it says so. */
    void becomes(String name, String value) throws IOException {
        values.put(name, value);
        say(name + " " + value);
    }

    /** How often a line has come that begins with this word. */
    int heard(String word) {
        return heard.getOrDefault(word, 0);
    }

    String value(String name) {
        return values.get(name);
    }

    /** Whether all that it is asked for after a connect has been asked for. */
    boolean known() {
        return values.keySet().stream().allMatch(name -> heard(name + "?") > 0);
    }

    @Override
    public void close() throws IOException {
        door.close();
        Socket open = caller;
        if (open != null) {
            open.close();
        }
        Clock.ended(thread); // the port is free when nobody waits at it any more
    }
}
