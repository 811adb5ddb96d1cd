package bellpush.config.model;

import java.util.ArrayList;
import java.util.List;

/**
 * How fast a number property goes for each value of the property that is its speed. Between two entries it is taken to lie
 * evenly; 0 stands still; beyond the table nobody knows, so the last entry counts.
 *
 * @param by    the property of the same kind that is the speed
 * @param table at least one entry; speeds rise from one to the next, and {@code perSecond} rises, or falls, with them
 */
public record Speeds(String by, List<Entry> table) {
    /** @param perSecond in the unit of the property that moves; below 0 where that becomes less */
    public record Entry(double speed, double perSecond) {}

    /** With standstill in its place, and what is told of one direction only taken for the other too. */
    public static Speeds of(String by, List<Entry> written) {
        List<Entry> table = new ArrayList<>(written);
        boolean oneWay = written.stream().allMatch(e -> e.speed >= 0) || written.stream().allMatch(e -> e.speed <= 0);
        if (oneWay) {
            written.stream().filter(e -> e.speed != 0).forEach(e -> table.add(new Entry(-e.speed, -e.perSecond)));
        }
        if (table.stream().noneMatch(e -> e.speed == 0)) {
            table.add(new Entry(0, 0));
        }
        table.sort((a, b) -> Double.compare(a.speed, b.speed));
        return new Speeds(by, List.copyOf(table));
    }

    /** Units per second at a speed. */
    public double perSecond(double speed) {
        return between(speed, false);
    }

    /** The speed at which it goes so fast, or the nearest of the table. */
    public double speed(double perSecond) {
        return between(perSecond, true);
    }

    /** The fastest it goes towards greater values (above 0), or towards smaller ones (below 0), within the speeds given. */
    public double fastest(boolean up, PropertyType.Range speeds) {
        double one = perSecond(speeds.min());
        double other = perSecond(speeds.max());
        return up ? Math.max(0, Math.max(one, other)) : Math.min(0, Math.min(one, other));
    }

    private double between(double x, boolean back) {
        boolean falls = table.getFirst().perSecond > table.getLast().perSecond;
        List<Entry> rising = back && falls ? table.reversed() : table;
        if (x <= x(rising.getFirst(), back)) {
            return y(rising.getFirst(), back);
        }
        for (int i = 1; i < rising.size(); i++) {
            Entry low = rising.get(i - 1);
            Entry high = rising.get(i);
            if (x <= x(high, back)) {
                double share = (x - x(low, back)) / (x(high, back) - x(low, back));
                return y(low, back) + share * (y(high, back) - y(low, back));
            }
        }
        return y(rising.getLast(), back);
    }

    private static double x(Entry entry, boolean back) {
        return back ? entry.perSecond : entry.speed;
    }

    private static double y(Entry entry, boolean back) {
        return back ? entry.speed : entry.perSecond;
    }
}
