package bellpush.drivers.osc;

import bellpush.drivers.link.MalformedMessageException;
import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;

/**
 * Bytes to packets. Whatever the bytes are, the result is a packet or a {@link MalformedMessageException}: every length is
 * checked against what is left before anything is allocated or read, and depth and counts are limited ({@link OscLimits}),
 * so that memory stays in proportion to the packet. No state outlives a call; any thread.
 */
public final class OscDecoder {
    private static final VarHandle INTS = MethodHandles.byteArrayViewVarHandle(int[].class, ByteOrder.BIG_ENDIAN);
    private static final VarHandle LONGS = MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.BIG_ENDIAN);
    private static final HexFormat HEX = HexFormat.of();
    private static final String KNOWN_TAGS = "ifsbhtdScrmTFNI[]";

    private final byte[] b;
    private int at;
    /** Where the message being read ends. */
    private int end;
    /** Where the type tag to read next is. */
    private int tagAt;
    private int elements;

    private OscDecoder(byte[] packet) {
        this.b = packet;
    }

    /** The packet in these bytes, all of which must belong to it. */
    public static OscPacket decode(byte[] packet) throws MalformedMessageException {
        if (packet.length > OscLimits.PACKET_BYTES) {
            throw new MalformedMessageException("an OSC packet of " + packet.length + " bytes; at most "
                    + OscLimits.PACKET_BYTES + " are taken");
        }
        return new OscDecoder(packet).packet(0, packet.length, 0);
    }

    /** The packet in the rest of a buffer, which is read to its end. */
    public static OscPacket decode(ByteBuffer packet) throws MalformedMessageException {
        byte[] bytes = new byte[packet.remaining()];
        packet.get(bytes);
        return decode(bytes);
    }

    private OscPacket packet(int from, int to, int depth) throws MalformedMessageException {
        if (to == from) {
            throw new MalformedMessageException("an empty OSC packet");
        }
        if ((to - from & 3) != 0) {
            throw new MalformedMessageException(
                    "an OSC packet of " + (to - from) + " bytes; its size is always a multiple of 4");
        }
        return switch (b[from]) {
            case '/' -> message(from, to);
            case '#' -> bundle(from, to, depth + 1);
            default -> throw new MalformedMessageException(
                    "an OSC packet begins with / (2f) or # (23), not with the byte " + HEX.toHexDigits(b[from]));
        };
    }

    private OscBundle bundle(int from, int to, int depth) throws MalformedMessageException {
        if (depth > OscLimits.DEPTH) {
            throw new MalformedMessageException(
                    "OSC bundles inside bundles more than " + OscLimits.DEPTH + " deep");
        }
        if (to - from < 16 || (long) LONGS.get(b, from) != OscEncoder.BUNDLE_HEAD) {
            throw new MalformedMessageException("an OSC packet that begins with # but is no whole #bundle");
        }
        OscTimeTag timeTag = new OscTimeTag((long) LONGS.get(b, from + 8));
        List<OscPacket> packets = new ArrayList<>();
        int next = from + 16;
        while (next < to) {
            int size = (int) INTS.get(b, next); // 4 bytes are there: all sizes so far were multiples of 4
            next += 4;
            if (size < 0 || size > to - next) {
                throw new MalformedMessageException("an OSC bundle element says that it has " + size + " bytes where "
                        + (to - next) + " are left");
            }
            if (++elements > OscLimits.ELEMENTS) {
                throw new MalformedMessageException(
                        "more than " + OscLimits.ELEMENTS + " messages in one OSC bundle");
            }
            packets.add(packet(next, next + size, depth));
            next += size;
        }
        return new OscBundle(timeTag, packets);
    }

    private OscMessage message(int from, int to) throws MalformedMessageException {
        at = from;
        end = to;
        String address = address();
        if (at == end) {
            return new OscMessage(address, List.of()); // older senders leave the type tag string out
        }
        if (b[at] != ',') {
            return new OscMessage(address, List.of(new OscValue.Unreadable("", end - at)));
        }
        tagAt = at + 1;
        int tagEnd = skipString("type tag string");
        if (tagEnd - tagAt > OscLimits.ARGUMENTS) {
            throw new MalformedMessageException("an OSC message with more than " + OscLimits.ARGUMENTS + " arguments");
        }
        for (int i = tagAt; i < tagEnd; i++) {
            if (KNOWN_TAGS.indexOf(b[i]) < 0) {
                String tags = new String(b, tagAt, Math.min(tagEnd - tagAt, 40), StandardCharsets.ISO_8859_1);
                return new OscMessage(address, List.of(new OscValue.Unreadable(tags, end - at)));
            }
        }
        if (tagEnd == tagAt && at == end) {
            return new OscMessage(address, List.of());
        }
        List<OscValue> arguments = arguments(0);
        if (at != end) {
            throw new MalformedMessageException(
                    "an OSC message with " + (end - at) + " bytes more than its type tags account for");
        }
        return new OscMessage(address, arguments);
    }

    /** The arguments from {@link #tagAt} to the NUL, or inside an array to its closing bracket. */
    private List<OscValue> arguments(int depth) throws MalformedMessageException {
        if (depth > OscLimits.DEPTH) {
            throw new MalformedMessageException("OSC arrays inside arrays more than " + OscLimits.DEPTH + " deep");
        }
        List<OscValue> values = new ArrayList<>(4);
        while (true) {
            byte tag = b[tagAt++]; // the NUL that ends the tags is known to be there
            if (tag == 0 || tag == ']') {
                if (tag == 0 != (depth == 0)) {
                    throw new MalformedMessageException("an OSC type tag string whose brackets do not pair up");
                }
                return values;
            }
            values.add(tag == '[' ? new OscValue.Array(arguments(depth + 1)) : argument(tag));
        }
    }

    private OscValue argument(byte tag) throws MalformedMessageException {
        return switch (tag) {
            case 'i' -> new OscValue.Int32(int32());
            case 'f' -> new OscValue.Float32(Float.intBitsToFloat(int32()));
            case 's' -> new OscValue.Text(text());
            case 'b' -> new OscValue.Blob(blob());
            case 'h' -> new OscValue.Int64(int64());
            case 't' -> new OscValue.Time(new OscTimeTag(int64()));
            case 'd' -> new OscValue.Float64(Double.longBitsToDouble(int64()));
            case 'S' -> new OscValue.Symbol(text());
            case 'c' -> new OscValue.Char(int32());
            case 'r' -> new OscValue.Colour(int32());
            case 'm' -> new OscValue.Midi(int32());
            case 'T' -> OscValue.Flag.ON;
            case 'F' -> OscValue.Flag.OFF;
            case 'N' -> OscValue.Nil.NIL;
            default -> OscValue.Impulse.IMPULSE; // I: the tags were looked through before
        };
    }

    private int int32() throws MalformedMessageException {
        need(4);
        int number = (int) INTS.get(b, at);
        at += 4;
        return number;
    }

    private long int64() throws MalformedMessageException {
        need(8);
        long number = (long) LONGS.get(b, at);
        at += 8;
        return number;
    }

    private void need(int bytes) throws MalformedMessageException {
        if (end - at < bytes) {
            throw new MalformedMessageException("an OSC message that ends in the middle of an argument");
        }
    }

    private byte[] blob() throws MalformedMessageException {
        int size = int32();
        if (size < 0 || size > end - at) {
            throw new MalformedMessageException(
                    "an OSC blob that says it has " + size + " bytes where " + (end - at) + " are left");
        }
        byte[] bytes = Arrays.copyOfRange(b, at, at + size);
        int padding = -size & 3; // fits: the message's end is a multiple of 4 away, as is the blob's start
        checkPadding(at + size, at + size + padding, "blob");
        at += size + padding;
        return bytes;
    }

    private String text() throws MalformedMessageException {
        int from = at;
        int to = skipString("string");
        return new String(b, from, to - from, StandardCharsets.UTF_8);
    }

    private String address() throws MalformedMessageException {
        int from = at;
        int to = skipString("address");
        for (int i = from; i < to; i++) {
            if (b[i] < ' ' || b[i] > '~') {
                throw new MalformedMessageException("an OSC address with the byte " + HEX.toHexDigits(b[i])
                        + " in it; addresses are printable ASCII");
            }
        }
        return new String(b, from, to - from, StandardCharsets.ISO_8859_1);
    }

    /** Moves past the string at {@link #at} and its padding, and tells where its NUL is. */
    private int skipString(String what) throws MalformedMessageException {
        int nul = at;
        while (nul < end && b[nul] != 0) {
            nul++;
        }
        if (nul == end) {
            throw new MalformedMessageException("an OSC " + what + " without a NUL at its end");
        }
        int next = at + (nul - at + 4 & ~3);
        checkPadding(nul, next, what);
        at = next;
        return nul;
    }

    private void checkPadding(int from, int to, String what) throws MalformedMessageException {
        for (int i = from; i < to; i++) {
            if (b[i] != 0) {
                throw new MalformedMessageException("an OSC " + what + " that is not filled up with NULs");
            }
        }
    }
}
