package bellpush.drivers.osc;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.util.List;

/**
 * Packets to bytes. Strict: what OSC 1.0 forbids is refused with an {@link IllegalArgumentException} whose message is for
 * people. A packet is measured (and checked) first and written second, so that one array of the right size is all that a
 * message costs. No state; any thread.
 */
public final class OscEncoder {
    private static final VarHandle INTS = MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.BIG_ENDIAN);
    private static final VarHandle LONGS = MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.BIG_ENDIAN);
    /** "#bundle" and its NUL. */
    static final long BUNDLE_HEAD = 0x2362_756e_646c_6500L;

    private static final byte PLAIN = 0;
    private static final byte COMMA = 1;
    private static final byte PATTERN = 2;
    private static final byte FORBIDDEN = 4;
    /** What each ASCII character is in an address: a table, since every message's address is looked through. */
    private static final byte[] SORTS = sorts();

    private OscEncoder() {}

    /** The bytes of a packet: a multiple of 4, at most 1 MiB. */
    public static byte[] encode(OscPacket packet) {
        byte[] bytes = new byte[size(packet)];
        write(packet, bytes, 0);
        return bytes;
    }

    /** As {@link #encode(OscPacket)}, into a buffer (whose byte order does not matter). */
    public static void encode(OscPacket packet, ByteBuffer into) {
        into.put(encode(packet));
    }

    /** How many bytes the packet takes. Also checks it: whatever this accepts can be written. */
    public static int size(OscPacket packet) {
        long size = switch (packet) {
            case OscMessage message -> size(message);
            case OscBundle bundle -> size(bundle, 1, new int[1]);
        };
        if (size > OscLimits.PACKET_BYTES) {
            throw new IllegalArgumentException("the OSC packet would be " + size + " bytes long; at most "
                    + OscLimits.PACKET_BYTES + " can be sent");
        }
        return (int) size;
    }

    private static long size(OscBundle bundle, int depth, int[] elements) {
        if (depth > OscLimits.DEPTH) {
            throw new IllegalArgumentException("bundles inside bundles more than " + OscLimits.DEPTH + " deep");
        }
        long size = 16;
        for (OscPacket element : bundle.elements()) {
            if (++elements[0] > OscLimits.ELEMENTS) {
                throw new IllegalArgumentException("more than " + OscLimits.ELEMENTS + " messages in one bundle");
            }
            size += 4 + switch (element) {
                case OscMessage message -> size(message);
                case OscBundle inner -> {
                    if (inner.timeTag().before(bundle.timeTag())) {
                        throw new IllegalArgumentException("the time tag " + inner.timeTag()
                                + " of a bundle is earlier than " + bundle.timeTag() + " of the bundle around it");
                    }
                    yield size(inner, depth + 1, elements);
                }
            };
        }
        return size;
    }

    private static long size(OscMessage message) {
        List<OscValue> arguments = message.arguments();
        checkAddress(message.address());
        int tags = 0;
        long data = 0;
        for (int n = 0; n < arguments.size(); n++) {
            OscValue argument = arguments.get(n);
            tags += tags(argument, 1);
            data += data(argument);
        }
        if (tags > OscLimits.ARGUMENTS) {
            throw new IllegalArgumentException(
                    "more than " + OscLimits.ARGUMENTS + " arguments in a message to " + message.address());
        }
        return padded(message.address().length() + 1L) + padded(tags + 2L) + data;
    }

    /** OSC 1.0, "OSC Address Spaces": printable ASCII; space, # and (outside of a pattern's braces) comma are reserved. */
    private static void checkAddress(String address) {
        int sorts = 0;
        for (int i = 0; i < address.length(); i++) {
            char c = address.charAt(i);
            sorts |= c < SORTS.length ? SORTS[c] : FORBIDDEN;
        }
        if (sorts != PLAIN || address.length() < 2 || address.charAt(0) != '/') {
            checkUnusualAddress(address, sorts);
        }
    }

    private static void checkUnusualAddress(String address, int sorts) {
        if ((sorts & FORBIDDEN) != 0) {
            String which = address.chars().filter(c -> c >= SORTS.length || SORTS[c] == FORBIDDEN)
                    .mapToObj(c -> OscText.shownChar((char) c)).findFirst().orElseThrow();
            throw new IllegalArgumentException("an OSC address holds only printable ASCII without space and #, not "
                    + which + " as in " + OscText.shown(address, 80));
        }
        if (address.length() < 2 || address.charAt(0) != '/') {
            throw new IllegalArgumentException(
                    "an OSC address begins with / and a name, unlike \"" + OscText.shown(address, 80) + "\"");
        }
        if ((sorts & PATTERN) == 0 || !OscAddressPattern.wellFormed(address)) {
            throw new IllegalArgumentException(
                    "in an OSC address , * ? [ ] { } may only stand for a pattern, unlike in "
                            + OscText.shown(address, 80));
        }
    }

    private static byte[] sorts() {
        byte[] sorts = new byte[128];
        for (char c = 0; c < sorts.length; c++) {
            sorts[c] = c <= ' ' || c > '~' || c == '#'
                    ? FORBIDDEN
                    : OscAddressPattern.special(c) ? PATTERN : c == ',' ? COMMA : PLAIN;
        }
        return sorts;
    }

    private static int tags(OscValue value, int depth) {
        if (!(value instanceof OscValue.Array(List<OscValue> elements))) {
            return 1;
        }
        if (depth > OscLimits.DEPTH) {
            throw new IllegalArgumentException("arrays inside arrays more than " + OscLimits.DEPTH + " deep");
        }
        int tags = 2;
        for (OscValue element : elements) {
            tags += tags(element, depth + 1);
        }
        return tags;
    }

    private static long data(OscValue value) {
        return switch (value) {
            case OscValue.Int32 _,OscValue.Float32 _,OscValue.Colour _,OscValue.Midi _ -> 4;
            case OscValue.Int64 _,OscValue.Float64 _,OscValue.Time _ -> 8;
            case OscValue.Flag _,OscValue.Nil _,OscValue.Impulse _ -> 0;
            case OscValue.Text(String text) -> padded(utf8Length(text) + 1);
            case OscValue.Symbol(String text) -> padded(utf8Length(text) + 1);
            case OscValue.Blob blob -> 4 + padded(blob.shared().length);
            case OscValue.Char(int code) -> {
                if (code < 0 || code > 127) {
                    throw new IllegalArgumentException("an OSC character is ASCII, 0 to 127, not " + code);
                }
                yield 4;
            }
            case OscValue.Array(List<OscValue> elements) -> {
                long size = 0;
                for (OscValue element : elements) {
                    size += data(element);
                }
                yield size;
            }
            case OscValue.Unreadable _ ->
                throw new IllegalArgumentException("arguments that could not be read cannot be sent on");
        };
    }

    private static long padded(long bytes) {
        return bytes + 3 & ~3L;
    }

    private static long utf8Length(String text) {
        long length = text.length();
        for (int i = 0; i < text.length(); i++) {
            char c = text.charAt(i);
            if (c == 0) {
                throw new IllegalArgumentException("a text for OSC cannot hold a NUL character");
            } else if (c >= 0x80) {
                if (c < 0x800) {
                    length += 1;
                } else if (!Character.isSurrogate(c)) {
                    length += 2;
                } else if (Character.isHighSurrogate(c) && i + 1 < text.length()
                        && Character.isLowSurrogate(text.charAt(i + 1))) {
                    length += 2; // four bytes for two units
                    i++;
                } else {
                    throw new IllegalArgumentException("a text for OSC holds half of a surrogate pair");
                }
            }
        }
        return length;
    }

    private static int write(OscPacket packet, byte[] b, int at) {
        return switch (packet) {
            case OscMessage message -> write(message, b, at);
            case OscBundle bundle -> write(bundle, b, at);
        };
    }

    private static int write(OscBundle bundle, byte[] b, int from) {
        LONGS.set(b, from, BUNDLE_HEAD);
        LONGS.set(b, from + 8, bundle.timeTag().raw());
        int at = from + 16;
        for (OscPacket element : bundle.elements()) {
            int end = write(element, b, at + 4);
            INTS.set(b, at, end - at - 4);
            at = end;
        }
        return at;
    }

    private static int write(OscMessage message, byte[] b, int from) {
        int at = write(message.address(), b, from);
        List<OscValue> arguments = message.arguments();
        int tagAt = at;
        b[tagAt++] = ',';
        for (int n = 0; n < arguments.size(); n++) {
            tagAt = writeTag(arguments.get(n), b, tagAt);
        }
        at += (int) padded(tagAt - at + 1L);
        for (int n = 0; n < arguments.size(); n++) {
            at = writeData(arguments.get(n), b, at);
        }
        return at;
    }

    private static int writeTag(OscValue value, byte[] b, int from) {
        int at = from;
        if (value instanceof OscValue.Array(List<OscValue> elements)) {
            b[at++] = '[';
            for (OscValue element : elements) {
                at = writeTag(element, b, at);
            }
            b[at++] = ']';
        } else {
            b[at++] = (byte) tag(value);
        }
        return at;
    }

    /** The type tag of a value that is no array. */
    static char tag(OscValue value) {
        return switch (value) {
            case OscValue.Int32 _ -> 'i';
            case OscValue.Float32 _ -> 'f';
            case OscValue.Text _ -> 's';
            case OscValue.Blob _ -> 'b';
            case OscValue.Int64 _ -> 'h';
            case OscValue.Time _ -> 't';
            case OscValue.Float64 _ -> 'd';
            case OscValue.Symbol _ -> 'S';
            case OscValue.Char _ -> 'c';
            case OscValue.Colour _ -> 'r';
            case OscValue.Midi _ -> 'm';
            case OscValue.Flag(boolean on) -> on ? 'T' : 'F';
            case OscValue.Nil _ -> 'N';
            case OscValue.Impulse _ -> 'I';
            case OscValue.Array _,OscValue.Unreadable _ -> throw new IllegalArgumentException("no single type tag");
        };
    }

    private static int writeData(OscValue value, byte[] b, int at) {
        return switch (value) {
            case OscValue.Int32(int number) -> write(number, b, at);
            case OscValue.Float32(float number) -> write(Float.floatToRawIntBits(number), b, at);
            case OscValue.Colour(int rgba) -> write(rgba, b, at);
            case OscValue.Midi(int bytes) -> write(bytes, b, at);
            case OscValue.Char(int code) -> write(code, b, at);
            case OscValue.Int64(long number) -> write(number, b, at);
            case OscValue.Float64(double number) -> write(Double.doubleToRawLongBits(number), b, at);
            case OscValue.Time(OscTimeTag tag) -> write(tag.raw(), b, at);
            case OscValue.Text(String text) -> write(text, b, at);
            case OscValue.Symbol(String text) -> write(text, b, at);
            case OscValue.Blob blob -> {
                byte[] bytes = blob.shared();
                write(bytes.length, b, at);
                System.arraycopy(bytes, 0, b, at + 4, bytes.length);
                yield at + 4 + (int) padded(bytes.length);
            }
            case OscValue.Array(List<OscValue> elements) -> {
                int next = at;
                for (OscValue element : elements) {
                    next = writeData(element, b, next);
                }
                yield next;
            }
            case OscValue.Flag _,OscValue.Nil _,OscValue.Impulse _,OscValue.Unreadable _ -> at;
        };
    }

    private static int write(int number, byte[] b, int at) {
        INTS.set(b, at, number);
        return at + 4;
    }

    private static int write(long number, byte[] b, int at) {
        LONGS.set(b, at, number);
        return at + 8;
    }

    /** The array is zero already, so NUL and padding need no writing. */
    private static int write(String text, byte[] b, int from) {
        int length = text.length();
        for (int i = 0; i < length; i++) {
            char c = text.charAt(i);
            if (c >= 0x80) {
                return writeUtf8(text, b, from);
            }
            b[from + i] = (byte) c;
        }
        return from + (int) padded(length + 1L);
    }

    private static int writeUtf8(String text, byte[] b, int from) {
        byte[] bytes = text.getBytes(java.nio.charset.StandardCharsets.UTF_8);
        System.arraycopy(bytes, 0, b, from, bytes.length);
        return from + (int) padded(bytes.length + 1L);
    }
}
