package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.fail;

import bellpush.drivers.link.MalformedMessageException;
import java.lang.management.ManagementFactory;
import org.junit.jupiter.api.Test;

/** A hundred thousand packets of a hostile or broken sender: each is a packet, or malformed with words for people. */
class HostilePacketTest {

    @Test
    void nothingButMalformedIsEverThrownAndMemoryStaysInProportion() {
        HostilePackets hostile = new HostilePackets(4_711);
        int malformed = 0; // memory counts after the first thousand: those load classes
        var threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        for (int n = 0; n < 101_000; n++) {
            byte[] packet = hostile.next();
            long before = threads.getCurrentThreadAllocatedBytes();
            OscPacket read = null;
            String why = null;
            try {
                read = OscDecoder.decode(packet);
            } catch (MalformedMessageException e) {
                why = e.getMessage();
            }
            long allocated = threads.getCurrentThreadAllocatedBytes() - before;
            if (n >= 1_000 && allocated > 20_000 + 64L * packet.length) {
                fail("%d bytes allocated for %d bytes received", allocated, packet.length);
            }
            if (why != null) {
                malformed++;
                checkWords(why, 200);
            } else if (read instanceof OscMessage message) {
                checkWords(OscText.shown(message, 400), 400);
            }
        }
        assertThat(malformed).isBetween(30_000, 99_000); // neither all nor none: some damage cannot be seen
    }

    /** Plain conditions: a fluent assertion for each packet would take most of the test's time. */
    private static void checkWords(String words, int longest) {
        if (words.isBlank() || words.length() > longest || words.chars().anyMatch(Character::isISOControl)) {
            fail("not for people: %s", words);
        }
    }

    /** What was read can be sent again, unless it holds what we would not send; then the bytes are the same. */
    @Test
    void whatCouldBeReadIsWrittenBackTheSame() throws Exception {
        HostilePackets hostile = new HostilePackets(815);
        int same = 0;
        for (int n = 0; n < 5_000; n++) {
            byte[] packet = hostile.next();
            try {
                OscPacket read = OscDecoder.decode(packet);
                byte[] again = OscEncoder.encode(read);
                assertThat(OscDecoder.decode(again).toString()).isEqualTo(read.toString());
                same++;
            } catch (MalformedMessageException | IllegalArgumentException _) {
                continue;
            }
        }
        assertThat(same).isGreaterThan(500);
    }
}
