package bellpush.runtime.prove;

/**
 * How far to look. Where one is reached, nothing is claimed of that macro, and it is said.
 *
 * @param trials  ways through one macro, all starts and all presses before it together
 * @param befores different pasts of what no device tells
 */
public record Limits(int trials, int befores) {
    public static final Limits DEFAULT = new Limits(50_000, 500);
}
