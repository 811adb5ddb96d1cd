package bellpush.runtime.panel.chips;

/**
 * From what the eye sees to how much light it takes: CIE 1931 luminance Y for CIE 1976 lightness L*, both as shares from 0 to 1.
 * L* = 116 Y^(1/3) − 16, and L* = 903.3 Y where that is below 8. Source: CIE 15:2004 (formula; from memory: the clause).
 */
final class Lightness {
    private Lightness() {}

    static double luminance(double seen) {
        double lightness = Math.clamp(seen, 0, 1) * 100;
        return lightness <= 8 ? lightness / 903.3 : Math.pow((lightness + 16) / 116, 3);
    }
}
