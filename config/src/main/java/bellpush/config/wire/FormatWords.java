package bellpush.config.wire;

import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Reads the word after the colon of a field. */
final class FormatWords {
    private static final List<String> BINARY = List.of("u8", "u16", "u32", "u16le", "u32le", "s8", "s16", "s32",
            "s16le",
            "s32le", "f32", "f32le", "nibble");
    private static final List<String> COUNTED = List.of("nibbles", "snibbles", "bcd", "dec", "hex", "text");

    private static final Pattern SIZE = Pattern.compile("size(4|8|16)(?: or (\\d{1,5}))?");
    private static final Pattern WAY = Pattern
            .compile("way ([0-9a-fA-F]{1,4}) ([0-9a-fA-F]{1,4}) ([0-9a-fA-F]{1,4})");

    private FormatWords() {}

    static Format read(String word, boolean hexTemplate, int offset) {
        if (word.equals("text")) {
            return new Format.Plain();
        }
        if (hexTemplate && BINARY.contains(word)) {
            return binary(word);
        }
        if (hexTemplate && word.startsWith("size")) {
            return size(word, offset);
        }
        if (hexTemplate && (word.equals("way") || word.startsWith("way "))) {
            return way(word, offset);
        }
        int letters = 0;
        while (letters < word.length() && !Character.isDigit(word.charAt(letters))) {
            letters++;
        }
        String family = word.substring(0, letters);
        String count = word.substring(letters);
        if (COUNTED.contains(family) && !count.isEmpty() && count.chars().allMatch(c -> c >= '0' && c <= '9')
                && (hexTemplate || family.equals("dec") || family.equals("hex"))) {
            return counted(word, family, count.length() > 5 ? Integer.MAX_VALUE : Integer.parseInt(count), offset);
        }
        throw unknown(word, family, hexTemplate, offset);
    }

    private static Format size(String word, int offset) {
        Matcher parts = SIZE.matcher(word);
        if (!parts.matches()) {
            throw new TemplateException(offset,
                    "\"" + word + "\" is no size of 4, 8 or 16 bits; write for example size8, or "
                            + "\"size8 or 1\" for a device that wants 1 in place of 0");
        }
        int bits = Integer.parseInt(parts.group(1));
        int atRest = parts.group(2) == null ? 0 : Integer.parseInt(parts.group(2));
        if (atRest >= 1 << bits) {
            throw new TemplateException(offset, "\"" + word + "\": " + atRest + " does not fit " + bits
                    + " bits; the greatest that does is " + ((1 << bits) - 1));
        }
        return new Format.Size(bits, atRest);
    }

    private static Format way(String word, int offset) {
        Matcher parts = WAY.matcher(word);
        int digits = parts.matches() ? parts.group(1).length() : 0;
        if (digits == 0 || digits == 3 || parts.group(2).length() != digits || parts.group(3).length() != digits) {
            throw new TemplateException(offset,
                    "\"" + word + "\" needs three codes of 1, 2 or 4 hex digits each: below 0, "
                            + "at 0 and above 0; write for example \"way 01 03 02\"");
        }
        int below = Integer.parseInt(parts.group(1), 16);
        int rest = Integer.parseInt(parts.group(2), 16);
        int above = Integer.parseInt(parts.group(3), 16);
        if (below == rest || rest == above || above == below) {
            throw new TemplateException(offset,
                    "\"" + word + "\": two of the three codes are the same, so nobody could tell which way it goes; "
                            + "write three different ones");
        }
        return new Format.Way(digits, below, rest, above);
    }

    private static Format binary(String word) {
        boolean little = word.endsWith("le");
        if (word.startsWith("f")) {
            return new Format.Float32(little);
        }
        if (word.equals("nibble")) {
            return new Format.Nibble();
        }
        int bits = Integer.parseInt(word.substring(1, little ? word.length() - 2 : word.length()));
        return new Format.Int(bits / 8, word.startsWith("s"), little);
    }

    private static Format counted(String word, String family, int n, int offset) {
        int most = switch (family) {
            case "nibbles", "snibbles", "hex" -> 13; // 52 bits: every whole number up to there is exact in a double
            case "bcd" -> 14;
            case "dec" -> 15;
            default -> 1024;
        };
        if (n < 1 || n > most) {
            throw new TemplateException(offset, "\"" + word + "\": the number after " + family + " must be 1 to " + most
                    + "; write for example " + family + (family.equals("text") ? 8 : 4));
        }
        if (family.equals("bcd") && n % 2 != 0) {
            throw new TemplateException(offset,
                    "\"" + word + "\" would end in half a byte: bcd takes an even number of digits; "
                            + "write bcd" + (n + 1));
        }
        return switch (family) {
            case "nibbles" -> new Format.Nibbles(n, false);
            case "snibbles" -> new Format.Nibbles(n, true);
            case "bcd" -> new Format.Bcd(n);
            case "dec" -> new Format.Dec(n);
            case "hex" -> new Format.Hex(n);
            default -> new Format.TextFixed(n);
        };
    }

    private static TemplateException unknown(String word, String family, boolean hexTemplate, int offset) {
        if (COUNTED.contains(word)) {
            return new TemplateException(offset,
                    "\"" + word + "\" needs its number of digits; write for example " + word
                            + (hexTemplate || word.equals("dec") || word.equals("hex") ? "4" : "8"));
        }
        if (!hexTemplate && (BINARY.contains(word) || COUNTED.contains(family) || family.equals("size")
                || family.startsWith("way "))) {
            return new TemplateException(offset,
                    "\"" + word + "\" is a format of hex templates; in a text template write "
                            + "no format for plain decimal or words, decN for N digits, or hexN for N hex digits");
        }
        List<String> known = new ArrayList<>();
        if (hexTemplate) {
            known.addAll(BINARY);
            List.of("nibbles4", "snibbles4", "bcd2", "dec4", "hex4", "size8", "way 01 03 02", "text", "text8")
                    .forEach(known::add);
        } else {
            known.addAll(List.of("dec4", "hex4", "text"));
        }
        String near = Near.to(word, known);
        return new TemplateException(offset, "there is no format \"" + word + "\""
                + (near.isEmpty()
                        ? "; the formats here are " + String.join(", ", known)
                        : "; did you mean " + near + "?"));
    }

    /** The algorithm of a {@code check} field, such as {@code xor@1.hex}. */
    static Format.Check check(String word, boolean hexTemplate, int offset) {
        boolean hex = word.endsWith(".hex");
        String rest = hex ? word.substring(0, word.length() - 4) : word;
        int at = rest.indexOf('@');
        int from = 0;
        if (at >= 0) {
            String count = rest.substring(at + 1);
            if (count.isEmpty() || count.length() > 4 || !count.chars().allMatch(c -> c >= '0' && c <= '9')) {
                throw new TemplateException(offset,
                        "\"" + word + "\": after @ stands the number of the byte, counted from 0, at "
                                + "which the checksum begins; write for example " + rest.substring(0, at) + "@1"
                                + (hex ? ".hex" : ""));
            }
            from = Integer.parseInt(count);
            rest = rest.substring(0, at);
        }
        for (Checksum kind : Checksum.values()) {
            if (kind.word().equals(rest)) {
                if (!hexTemplate && !hex) {
                    throw new TemplateException(offset,
                            "a checksum in a text template is written in hex digits; write {check:"
                                    + word + ".hex}");
                }
                return new Format.Check(kind, from, hex);
            }
        }
        List<String> known = new ArrayList<>();
        for (Checksum kind : Checksum.values()) {
            known.add(kind.word());
        }
        String near = Near.to(rest, known);
        throw new TemplateException(offset, (rest.isEmpty()
                ? "check needs the name of its checksum"
                : "there is no checksum \"" + rest + "\"")
                + (near.isEmpty() ? "; known are " + String.join(", ", known) : "; did you mean " + near + "?"));
    }
}
