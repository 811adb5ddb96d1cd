package bellpush.runtime.panel.lines;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/**
 * Sizes, offsets and request numbers. Source: include/uapi/linux/gpio.h of Linux 6.1 (the same since 5.10), and
 * include/uapi/asm-generic/ioctl.h for how a request's number is made.
 */
class UapiTest {
    private static final Path HEADER = Path.of("/usr/include/linux/gpio.h");

    @Test
    void requestNumbersAreThoseOfTheHeader() {
        // _IOR(0xB4, 0x01, 68 bytes): 2 << 30 | 68 << 16 | 0xB4 << 8 | 1, and _IOWR with 3 << 30, worked out by hand
        assertThat(Uapi.GET_CHIPINFO).isEqualTo(0x8044_B401);
        assertThat(Uapi.GET_LINEINFO).isEqualTo(0xC100_B405);
        assertThat(Uapi.GET_LINE).isEqualTo(0xC250_B407);
        assertThat(Uapi.GET_VALUES).isEqualTo(0xC010_B40E);
        assertThat(Uapi.SET_VALUES).isEqualTo(0xC010_B40F);
    }

    @Test
    void structuresAreLaidOutAsInTheHeaderOfThisMachine() throws IOException {
        assumeTrue(Files.exists(HEADER), "no kernel headers here");
        CHeader header = CHeader.of(Files.readString(HEADER));
        assertThat(header.size("gpiochip_info")).isEqualTo(Uapi.CHIP_SIZE);
        assertThat(header.offset("gpiochip_info", "label")).isEqualTo(Uapi.CHIP_LABEL);
        assertThat(header.offset("gpiochip_info", "lines")).isEqualTo(Uapi.CHIP_LINES);
        assertThat(header.size("gpio_v2_line_info")).isEqualTo(Uapi.INFO_SIZE);
        assertThat(header.offset("gpio_v2_line_info", "consumer")).isEqualTo(Uapi.INFO_CONSUMER);
        assertThat(header.offset("gpio_v2_line_info", "offset")).isEqualTo(Uapi.INFO_OFFSET);
        assertThat(header.offset("gpio_v2_line_info", "flags")).isEqualTo(Uapi.INFO_FLAGS);
        assertThat(header.size("gpio_v2_line_request")).isEqualTo(Uapi.REQUEST_SIZE);
        assertThat(header.offset("gpio_v2_line_request", "consumer")).isEqualTo(Uapi.REQUEST_CONSUMER);
        assertThat(header.offset("gpio_v2_line_request", "config")).isEqualTo(Uapi.REQUEST_CONFIG);
        assertThat(header.offset("gpio_v2_line_request", "num_lines")).isEqualTo(Uapi.REQUEST_LINES);
        assertThat(header.offset("gpio_v2_line_request", "event_buffer_size")).isEqualTo(Uapi.REQUEST_EVENTS);
        assertThat(header.offset("gpio_v2_line_request", "fd")).isEqualTo(Uapi.REQUEST_DESCRIPTOR);
        assertThat(header.size("gpio_v2_line_config")).isEqualTo(Uapi.CONFIG_SIZE);
        assertThat(header.offset("gpio_v2_line_config", "num_attrs")).isEqualTo(Uapi.CONFIG_ATTR_COUNT);
        assertThat(header.offset("gpio_v2_line_config", "attrs")).isEqualTo(Uapi.CONFIG_ATTRS);
        assertThat(header.size("gpio_v2_line_config_attribute")).isEqualTo(Uapi.ATTR_SIZE);
        assertThat(header.offset("gpio_v2_line_config_attribute", "mask")).isEqualTo(Uapi.ATTR_MASK);
        assertThat(header.size("gpio_v2_line_attribute")).isEqualTo(Uapi.ATTR_MASK);
        assertThat(header.size("gpio_v2_line_values")).isEqualTo(Uapi.VALUES_SIZE);
        assertThat(header.offset("gpio_v2_line_values", "mask")).isEqualTo(Uapi.VALUES_MASK);
        assertThat(header.size("gpio_v2_line_event")).isEqualTo(Uapi.EVENT_SIZE);
        assertThat(header.offset("gpio_v2_line_event", "id")).isEqualTo(Uapi.EVENT_ID);
        assertThat(header.offset("gpio_v2_line_event", "offset")).isEqualTo(Uapi.EVENT_OFFSET);
        assertThat(header.offset("gpio_v2_line_event", "seqno")).isEqualTo(Uapi.EVENT_SEQNO);
        assertThat(header.offset("gpio_v2_line_event", "line_seqno")).isEqualTo(Uapi.EVENT_LINE_SEQNO);
    }

    @Test
    void flagsAndAttributesAreThoseOfTheHeaderOfThisMachine() throws IOException {
        assumeTrue(Files.exists(HEADER), "no kernel headers here");
        CHeader header = CHeader.of(Files.readString(HEADER));
        assertThat(header.constant("GPIO_V2_LINE_FLAG_USED")).isEqualTo(Uapi.FLAG_USED);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_ACTIVE_LOW")).isEqualTo(Uapi.FLAG_ACTIVE_LOW);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_INPUT")).isEqualTo(Uapi.FLAG_INPUT);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_OUTPUT")).isEqualTo(Uapi.FLAG_OUTPUT);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_EDGE_RISING")).isEqualTo(Uapi.FLAG_EDGE_RISING);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_EDGE_FALLING")).isEqualTo(Uapi.FLAG_EDGE_FALLING);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_BIAS_PULL_UP")).isEqualTo(Uapi.FLAG_PULL_UP);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_BIAS_PULL_DOWN")).isEqualTo(Uapi.FLAG_PULL_DOWN);
        assertThat(header.constant("GPIO_V2_LINE_FLAG_BIAS_DISABLED")).isEqualTo(Uapi.FLAG_NO_PULL);
        assertThat(header.constant("GPIO_V2_LINE_ATTR_ID_FLAGS")).isEqualTo(Uapi.ATTR_FLAGS);
        assertThat(header.constant("GPIO_V2_LINE_ATTR_ID_OUTPUT_VALUES")).isEqualTo(Uapi.ATTR_OUTPUT_VALUES);
        assertThat(header.constant("GPIO_V2_LINE_ATTR_ID_DEBOUNCE")).isEqualTo(Uapi.ATTR_DEBOUNCE);
        assertThat(header.constant("GPIO_V2_LINE_EVENT_RISING_EDGE")).isEqualTo(Uapi.EVENT_RISING);
        assertThat(header.constant("GPIO_MAX_NAME_SIZE")).isEqualTo(Uapi.NAME_SIZE);
        assertThat(header.constant("GPIO_V2_LINES_MAX")).isEqualTo(Uapi.LINES_MAX);
        assertThat(header.constant("GPIO_V2_LINE_NUM_ATTRS_MAX")).isEqualTo(Uapi.ATTRS_MAX);
    }

    /** As much of C as that header is written in. Every member is aligned to its own size, as on 64-bit machines. */
    private static final class CHeader {
        private static final Pattern STRUCT = Pattern.compile("struct (\\w+) \\{(.*?)\\n\\};", Pattern.DOTALL);
        private static final Pattern MEMBER = Pattern.compile("(struct \\w+|\\w+) (\\w+)(?:\\[(\\w+)])?;");
        private static final Pattern CONSTANT = Pattern
                .compile("(?:#define )?(GPIO\\w+)\\s+(?:= )?(?:_BITULL\\((\\d+)\\)|(\\d+)),?\\s*\\n");

        private record Struct(int size, int alignment, Map<String, Integer> offsets) {}

        private final Map<String, Long> constants = new HashMap<>();
        private final Map<String, Struct> structs = new LinkedHashMap<>();

        static CHeader of(String text) {
            CHeader header = new CHeader();
            String code = Pattern.compile("/\\*.*?\\*/", Pattern.DOTALL).matcher(text).replaceAll("");
            Matcher constant = CONSTANT.matcher(code);
            while (constant.find()) {
                header.constants.put(constant.group(1), constant.group(2) != null
                        ? 1L << Integer.parseInt(constant.group(2))
                        : Long.parseLong(constant.group(3)));
            }
            Matcher struct = STRUCT.matcher(code);
            while (struct.find()) {
                header.structs.put(struct.group(1), header.struct(struct.group(2)));
            }
            return header;
        }

        private Struct struct(String body) {
            Map<String, Integer> offsets = new HashMap<>();
            // The one union of the header holds members of at most 8 bytes: it is laid out as its first.
            String plain = Pattern.compile("union \\{\\s*(.*?;).*?\\};", Pattern.DOTALL).matcher(body).replaceAll("$1");
            int end = 0;
            int widest = 1;
            Matcher member = MEMBER.matcher(plain);
            while (member.find()) {
                Struct type = type(member.group(1));
                int count = member.group(3) == null ? 1 : number(member.group(3));
                end = (end + type.alignment() - 1) / type.alignment() * type.alignment();
                offsets.put(member.group(2), end);
                end += type.size() * count;
                widest = Math.max(widest, type.alignment());
            }
            return new Struct((end + widest - 1) / widest * widest, widest, offsets);
        }

        private int number(String written) {
            return Character.isDigit(written.charAt(0))
                    ? Integer.parseInt(written)
                    : Math.toIntExact(constants.get(written));
        }

        private Struct type(String name) {
            return switch (name) {
                case "char", "__u8" -> new Struct(1, 1, Map.of());
                case "__u32", "__s32", "int" -> new Struct(4, 4, Map.of());
                case "__aligned_u64", "__u64" -> new Struct(8, 8, Map.of());
                default -> structs.get(name.substring("struct ".length()));
            };
        }

        int size(String struct) {
            return structs.get(struct).size();
        }

        int offset(String struct, String member) {
            return structs.get(struct).offsets().get(member);
        }

        long constant(String name) {
            return constants.get(name);
        }
    }
}
