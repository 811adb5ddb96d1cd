package bellpush.tests.simulation;

import bellpush.config.model.Panel;
import bellpush.config.model.Site;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Input;
import java.lang.reflect.Field;
import java.lang.reflect.Modifier;
import java.util.ArrayDeque;
import java.util.Collection;
import java.util.Collections;
import java.util.Deque;
import java.util.HashSet;
import java.util.IdentityHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;

/**
 * Nothing in the core grows without limit: neither the timers that it has asked for, nor any list, map or queue inside it. For the
 * latter it is taken apart now and then; by reflection, for a door into each of them would be a worse thing to have in the core, and one
 * would be forgotten.
 */
final class Bounded implements Invariant {
    /** The core keeps the last 512 requests; nothing else may be larger than the site makes it. */
    private static final int COLLECTION_MAX = 512;
    private static final int INPUTS_BETWEEN = 2_000;
    private static final ClassValue<List<Field>> FIELDS = new ClassValue<>() {
        @Override
        protected List<Field> computeValue(Class<?> type) {
            Deque<Field> fields = new ArrayDeque<>();
            for (Class<?> each = type; each != null && each != Object.class; each = each.getSuperclass()) {
                for (Field field : each.getDeclaredFields()) {
                    if (!Modifier.isStatic(field.getModifiers()) && !field.getType().isPrimitive()
                            && field.trySetAccessible()) {
                        fields.add(field);
                    }
                }
            }
            return List.copyOf(fields);
        }
    };

    private final Set<Long> timers = new HashSet<>();
    private final int timersMax;
    private final int collectionMax;
    private Machine machine;
    private int inputs;
    private int largest;
    private int timersMost;
    private String largestWhere = "";

    Bounded(Site site) {
        Panel panel = site.panel();
        int controls = panel.buttons().size() + panel.switches().size() + panel.knobs().size() + panel.faders().size()
                + panel.joysticks().values().stream().mapToInt(stick -> stick.axes().size()).sum();
        int properties = site.devices().values().stream().mapToInt(d -> d.kind().properties().size()).sum();
        // About five times as many as an evening ever needs: a button that is held and watched has three, a run and a device one or two,
        // and some properties are about to be asked for.
        timersMax = 3 * controls + 2 * site.limits().runs() + 4 * site.devices().size() + 2 * properties
                + site.macros().size() + 50;
        collectionMax = COLLECTION_MAX + 4 * controls + 2 * properties + site.macros().size();
    }

    /** The most that were ever seen, for setting the bounds. */
    String most() {
        return timersMost + " of " + timersMax + " timers; " + largest + " of " + collectionMax + " in " + largestWhere;
    }

    @Override
    public void begins(Machine with) {
        machine = with;
        timers.clear();
    }

    @Override
    public void before(Input input) {
        if (input instanceof Input.Due due) {
            timers.remove(due.timer());
        }
    }

    @Override
    public void effect(Effect effect, long now) {
        switch (effect) {
            case Effect.StartTimer start -> {
                if (!timers.add(start.timer())) {
                    throw new Broken("timers", "the timer " + start.timer() + " is started twice");
                }
                timersMost = Math.max(timersMost, timers.size());
                if (timers.size() > timersMax) {
                    throw new Broken("bounds", timers.size() + " timers are going");
                }
            }
            case Effect.StopTimer stop -> timers.remove(stop.timer());
            default -> {
            }
        }
    }

    @Override
    public void after(long now) {
        if (++inputs % INPUTS_BETWEEN == 0) {
            weigh();
        }
    }

    @Override
    public void calm(long now) {
        weigh();
    }

    private void weigh() {
        Set<Object> seen = Collections.newSetFromMap(new IdentityHashMap<>());
        Deque<Object> left = new ArrayDeque<>();
        left.add(machine.inside());
        while (!left.isEmpty()) {
            Object each = left.removeLast();
            if (!ours(each) || !seen.add(each)) {
                continue;
            }
            for (Field field : FIELDS.get(each.getClass())) {
                Object held = get(field, each);
                switch (held) {
                    case null -> {
                    }
                    case Map<?, ?> map -> {
                        size(field, map.size());
                        left.addAll(map.keySet());
                        left.addAll(map.values());
                    }
                    case Collection<?> collection -> {
                        size(field, collection.size());
                        left.addAll(collection);
                    }
                    default -> left.add(held);
                }
            }
        }
    }

    private static boolean ours(Object each) {
        String name = each.getClass().getName();
        return name.startsWith("bellpush.runtime.") || name.startsWith("bellpush.tests.");
    }

    private static Object get(Field field, Object of) {
        try {
            return field.get(of);
        } catch (IllegalAccessException e) {
            throw new IllegalStateException(e);
        }
    }

    private void size(Field field, int size) {
        if (size > largest) {
            largest = size;
            largestWhere = field.getDeclaringClass().getSimpleName() + "." + field.getName();
        }
        if (size > collectionMax) {
            throw new Broken("bounds", field.getDeclaringClass().getSimpleName() + "." + field.getName() + " holds "
                    + size);
        }
    }
}
