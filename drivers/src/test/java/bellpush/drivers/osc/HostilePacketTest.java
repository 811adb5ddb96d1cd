package bellpush.drivers.osc;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.drivers.link.MalformedMessageException;
import java.lang.management.ManagementFactory;
import org.junit.jupiter.api.Test;

/** A hundred thousand packets of a hostile or broken sender: each is a packet, or malformed with words for people. */
class HostilePacketTest {

    @Test
    void nothingButMalformedIsEverThrownAndMemoryStaysInProportion() {
        HostilePackets hostile = new HostilePackets(4_711);
        int malformed = 0;
        var threads = (com.sun.management.ThreadMXBean) ManagementFactory.getThreadMXBean();
        for (int n = 0; n < 100_000; n++) {
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
            assertThat(allocated).as("bytes allocated for %d bytes received", packet.length)
                    .isLessThan(20_000 + 64L * packet.length);
            if (why != null) {
                malformed++;
                assertThat(why).isNotBlank().hasSizeLessThan(200).matches("\\P{Cntrl}*");
            } else if (read instanceof OscMessage message) {
                assertThat(OscText.shown(message, 400)).hasSizeLessThanOrEqualTo(400).matches("\\P{Cntrl}*");
            }
        }
        assertThat(malformed).isBetween(30_000, 99_000); // neither all nor none: some damage cannot be seen
    }

    /** What was read can be sent again, unless it holds what we would not send; then the bytes are the same. */
    @Test
    void whatCouldBeReadIsWrittenBackTheSame() throws Exception {
        HostilePackets hostile = new HostilePackets(815);
        int same = 0;
        for (int n = 0; n < 20_000; n++) {
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
        assertThat(same).isGreaterThan(1_000);
    }
}
