package bellpush.runtime.panel.chips;

import java.util.Optional;

/**
 * Light of a lamp of three colours, as shares of what each can give, 0 to 1. Proportions by eye: a green die of such a lamp is
 * brighter than the red one (common practice, no source).
 */
public record Rgb(double red, double green, double blue) {
    public static final Rgb DARK = new Rgb(0, 0, 0);

    /** @param level as the eye sees it, 0 to 1 @param colour a colour word of the panel; none: white */
    public static Rgb of(double level, Optional<String> colour) {
        double light = Lightness.luminance(level);
        Rgb full = switch (colour.orElse("white")) {
            case "red" -> new Rgb(1, 0, 0);
            case "yellow" -> new Rgb(1, 0.5, 0);
            case "green" -> new Rgb(0, 1, 0);
            case "blue" -> new Rgb(0, 0, 1);
            default -> new Rgb(1, 0.8, 0.8);
        };
        return full.times(light);
    }

    Rgb times(double share) {
        return new Rgb(red * share, green * share, blue * share);
    }

    double sum() {
        return red + green + blue;
    }

    double part(char colour) {
        return switch (colour) {
            case 'r' -> red;
            case 'g' -> green;
            case 'b' -> blue;
            default -> throw new IllegalArgumentException("colour " + colour);
        };
    }
}
