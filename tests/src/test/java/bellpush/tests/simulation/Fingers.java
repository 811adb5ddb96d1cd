package bellpush.tests.simulation;

import bellpush.config.model.Fader;
import bellpush.config.model.Joystick;
import bellpush.config.model.Knob;
import bellpush.config.model.Panel;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/**
 * Fingers on a panel, and the panel's own faults: presses with bounce, double presses, holds, knobs turned edge by edge, faders, sticks
 * and rockers, contacts that chatter or jam, converters that cannot be read. An act puts its edges into the agenda, so that several go
 * on at once; a contact that is in use is left alone by other acts. Edges carry the time at which they happened.
 */
final class Fingers {
    private static final long MS = 1_000_000;
    private static final int[] GRAY = {0, 1, 3, 2};

    private static final class Contact {
        final String name;
        boolean closed;
        long busyUntil = Long.MIN_VALUE;

        Contact(String name) {
            this.name = name;
        }
    }

    private static final class Turned {
        final Knob knob;
        int phase;
        long busyUntil = Long.MIN_VALUE;

        Turned(Knob knob) {
            this.knob = knob;
        }
    }

    /** A fader, or an axis of a stick with its middle. */
    private static final class Slider {
        final String name;
        final double low;
        final double high;
        final double rest;
        final double play;
        final boolean springs;
        double at;
        long busyUntil = Long.MIN_VALUE;

        Slider(String name, Fader.Calibration calibration, boolean springs, double deadZone) {
            this.name = name;
            this.springs = springs;
            low = Math.min(calibration.low(), calibration.high());
            high = Math.max(calibration.low(), calibration.high());
            rest = springs ? calibration.centre() : low;
            play = springs ? deadZone * Math.min(high - rest, rest - low) / 2 : 0.01;
            at = rest;
        }
    }

    private final Gear.World world;
    private final Map<String, Contact> contacts = new LinkedHashMap<>();
    private final List<Contact> buttons = new ArrayList<>();
    private final List<Contact> switches = new ArrayList<>();
    private final List<Turned> knobs = new ArrayList<>();
    private final Map<String, Contact> pushOf = new HashMap<>();
    private final List<List<Contact>> rockers = new ArrayList<>();
    private final List<Slider> faders = new ArrayList<>();
    private final List<Slider> sticks = new ArrayList<>();
    private boolean gone;

    Fingers(Panel panel, Gear.World world) {
        this.world = world;
        panel.buttons().keySet().forEach(name -> buttons.add(contact(name)));
        panel.switches().keySet().forEach(name -> switches.add(contact(name)));
        panel.knobs().values().forEach(knob -> {
            knobs.add(new Turned(knob));
            contact(knob.name() + ".a");
            contact(knob.name() + ".b");
            knob.push().ifPresent(push -> {
                Contact contact = contact(push.button().name());
                pushOf.put(knob.name(), contact);
                buttons.add(contact);
            });
        });
        panel.faders().values().forEach(fader -> faders.add(new Slider(fader.name(), fader.calibration(), false, 0)));
        panel.joysticks().values().forEach(stick -> stick.axes().values().forEach(axis -> {
            String name = stick.name() + "." + axis.name();
            switch (axis.wire().orElse(null)) {
                case Joystick.Wire.Contacts _ -> rockers.add(List.of(contact(name + ".down"), contact(name + ".up")));
                case Joystick.Wire.Analogue wire ->
                    sticks.add(new Slider(name, wire.calibration(), true, wire.deadZone()));
                case null -> sticks.add(new Slider(name, Fader.Calibration.NONE, true, 0));
            }
        }));
    }

    /** The panel is another one from here on, with the same hands: what is held on both stays held. */
    Fingers onto(Panel panel) {
        gone = true;
        Fingers others = new Fingers(panel, world);
        others.contacts.forEach((name, contact) -> {
            if (contacts.get(name) instanceof Contact before) {
                contact.closed = before.closed;
            }
        });
        return others;
    }

    private void put(Input input) {
        if (!gone) {
            world.put(input);
        }
    }

    private Contact contact(String name) {
        Contact contact = new Contact(name);
        contacts.put(name, contact);
        return contact;
    }

    /** The panel is opened: how everything is found. */
    void found() {
        contacts.values().forEach(c -> put(new Input.Found(world.now(), c.name, c.closed)));
        faders.forEach(slider -> put(new Input.Moved(world.now(), slider.name, slider.at)));
        sticks.forEach(slider -> put(new Input.Moved(world.now(), slider.name, slider.at)));
    }

    /** Something that a hand does, or that happens to the panel. */
    void act(SplittableRandom random) {
        int dice = random.nextInt(100);
        if (dice < 52) {
            one(buttons, random, contact -> press(contact, random));
        } else if (dice < 62) {
            one(knobs, random, knob -> turn(knob, random));
        } else if (dice < 70) {
            one(faders, random, fader -> slide(fader, random));
        } else if (dice < 80) {
            one(sticks, random, stick -> push(stick, random));
        } else if (dice < 88) {
            one(rockers, random, rocker -> rock(rocker, random));
        } else if (dice < 91) {
            one(switches, random, contact -> flip(contact, random));
        } else if (dice < 94) {
            storm(random);
        } else if (dice < 96) {
            one(List.copyOf(contacts.values()), random, contact -> chatter(contact, random));
        } else if (dice < 97) {
            one(buttons, random, contact -> hold(contact, random.nextLong(29_000, 40_000) * MS, random));
        } else if (dice < 99) {
            one(sticks, random, stick -> unread(stick, random));
        } else {
            one(List.copyOf(contacts.values()), random,
                    contact -> put(new Input.Found(world.now(), contact.name, contact.closed)));
        }
    }

    private interface Does<T> {
        void with(T one);
    }

    private static <T> void one(List<T> of, SplittableRandom random, Does<T> act) {
        if (!of.isEmpty()) {
            act.with(of.get(random.nextInt(of.size())));
        }
    }

    private boolean taken(long busyUntil) {
        return busyUntil > world.now();
    }

    private void press(Contact contact, SplittableRandom random) {
        switch (random.nextInt(6)) {
            case 0, 1, 2 -> hold(contact, random.nextLong(15, 250) * MS, random);
            case 3 -> hold(contact, random.nextLong(250, 2_600) * MS, random);
            default -> {
                if (!taken(contact.busyUntil)) {
                    long from = world.now();
                    for (int i = random.nextInt(2, 4); i > 0; i--) {
                        from = stroke(contact, from, random.nextLong(20, 120) * MS, random)
                                + random.nextLong(15, 320) * MS;
                    }
                    contact.busyUntil = from;
                }
            }
        }
    }

    private void hold(Contact contact, long nanos, SplittableRandom random) {
        if (!taken(contact.busyUntil)) {
            contact.busyUntil = stroke(contact, world.now(), nanos, random);
        }
    }

    /** Down and up again, with bounce. Returns when it is over. */
    private long stroke(Contact contact, long from, long nanos, SplittableRandom random) {
        long down = level(contact, from, true, random);
        return level(contact, Math.max(down, from + nanos), false, random);
    }

    /** Comes to a level, after bouncing for a few milliseconds at most. Returns when it rests. */
    private long level(Contact contact, long from, boolean closed, SplittableRandom random) {
        edge(contact, from, closed);
        long at = from;
        for (int i = random.nextInt(4) == 0 ? random.nextInt(1, 4) : 0; i > 0; i--) {
            at += random.nextLong(50_000, 900_000);
            edge(contact, at, !closed);
            at += random.nextLong(50_000, 900_000);
            edge(contact, at, closed);
        }
        return at + 1;
    }

    private void edge(Contact contact, long at, boolean closed) {
        world.at(at, due -> {
            if (contact.closed != closed) {
                contact.closed = closed;
                put(new Input.Contact(due, contact.name, closed));
            }
        });
    }

    private void flip(Contact contact, SplittableRandom random) {
        if (!taken(contact.busyUntil)) {
            contact.busyUntil = level(contact, world.now(), !contact.closed, random);
        }
    }

    private void chatter(Contact contact, SplittableRandom random) {
        if (taken(contact.busyUntil)) {
            return;
        }
        long at = world.now();
        for (int i = random.nextInt(40, 160); i > 0; i--) {
            edge(contact, at, i % 2 == 0);
            at += random.nextLong(2, 16) * MS;
        }
        edge(contact, at, false);
        contact.busyUntil = at + 1;
    }

    /** A row of presses faster than anybody should: a child, a sleeve, a test of patience. */
    private void storm(SplittableRandom random) {
        long at = world.now();
        Contact same = buttons.isEmpty() ? null : buttons.get(random.nextInt(buttons.size()));
        boolean all = random.nextBoolean();
        for (int i = buttons.isEmpty() ? 0 : random.nextInt(5, 25); i > 0; i--) {
            Contact contact = all ? buttons.get(random.nextInt(buttons.size())) : same;
            if (!taken(contact.busyUntil)) {
                contact.busyUntil = stroke(contact, Math.max(at, contact.busyUntil), random.nextLong(12, 40) * MS,
                        random);
            } else if (contact == same) {
                contact.busyUntil = stroke(contact, contact.busyUntil + 12 * MS, 20 * MS, random);
            }
            at += random.nextLong(1, 40) * MS;
        }
    }

    private void turn(Turned turned, SplittableRandom random) {
        if (taken(turned.busyUntil)) {
            return;
        }
        String name = turned.knob.name();
        if (random.nextInt(3) == 0) {
            put(new Input.Turned(world.now(), name, random.nextInt(-5, 6)));
            return;
        }
        long at = world.now();
        long end = at;
        Contact push = pushOf.get(name);
        int transitions = random.nextInt(1, 24) * turned.knob.perDetent();
        boolean up = random.nextBoolean();
        long pace = random.nextLong(300_000, 8 * MS);
        if (push != null && random.nextBoolean() && !taken(push.busyUntil)) {
            push.busyUntil = stroke(push, at, pace * transitions + 60 * MS, random);
            at += 30 * MS;
        }
        Contact a = contacts.get(name + ".a");
        Contact b = contacts.get(name + ".b");
        for (int i = 0; i < transitions; i++) {
            turned.phase = turned.phase + (up ? 1 : 3) & 3;
            int code = GRAY[turned.phase];
            edge(a, at, (code & 1) != 0);
            edge(b, at, (code & 2) != 0);
            end = at;
            at += pace;
        }
        turned.busyUntil = end + 1;
    }

    private void slide(Slider fader, SplittableRandom random) {
        if (taken(fader.busyUntil)) {
            return;
        }
        double to = fader.low + random.nextDouble() * (fader.high - fader.low);
        fader.busyUntil = move(fader, world.now(), to, random.nextInt(2, 20), random);
    }

    private long move(Slider slider, long from, double to, int readings, SplittableRandom random) {
        double start = slider.at;
        long at = from;
        for (int i = 1; i <= readings; i++) {
            double noise = i == readings ? 0 : (random.nextDouble() - 0.5) * 0.004;
            reading(slider, at, start + (to - start) * i / readings + noise);
            at += 20 * MS;
        }
        slider.at = to;
        return at;
    }

    private void reading(Slider slider, long at, double share) {
        world.at(at, _ -> put(new Input.Moved(world.now(), slider.name, Math.clamp(share, 0, 1))));
    }

    /** Pushed somewhere, perhaps elsewhere, and let go; or left where it is until the next act with it. */
    private void push(Slider stick, SplittableRandom random) {
        if (taken(stick.busyUntil)) {
            return;
        }
        long at = world.now();
        for (int i = random.nextInt(1, 4); i > 0; i--) {
            at = move(stick, at, stick.low + random.nextDouble() * (stick.high - stick.low), random.nextInt(1, 8),
                    random) + random.nextLong(0, 800) * MS;
        }
        if (random.nextInt(4) > 0) {
            at = move(stick, at, atRest(stick, random), random.nextInt(1, 3), random);
        }
        stick.busyUntil = at;
    }

    private static double atRest(Slider stick, SplittableRandom random) {
        return stick.rest + (random.nextDouble() - 0.5) * stick.play;
    }

    /** Its converter is pulled out, at times while it is pushed, and answers again after a while. */
    private void unread(Slider stick, SplittableRandom random) {
        if (taken(stick.busyUntil)) {
            return;
        }
        long at = world.now();
        if (random.nextBoolean()) {
            at = move(stick, at, stick.low + random.nextDouble() * (stick.high - stick.low), 3, random);
        }
        boolean odd = random.nextInt(4) == 0;
        world.at(at, _ -> put(odd
                ? new Input.Moved(world.now(), stick.name, Double.NaN)
                : new Input.Lost(world.now(), stick.name, "it was pulled out")));
        long readAgain = at + (random.nextBoolean() ? random.nextLong(20, 3_000) : random.nextLong(5_000, 15_000)) * MS;
        reading(stick, readAgain, stick.at);
        stick.busyUntil = readAgain;
    }

    private void rock(List<Contact> rocker, SplittableRandom random) {
        Contact one = rocker.get(random.nextInt(2));
        if (taken(one.busyUntil)) {
            return;
        }
        if (random.nextInt(4) == 0) {
            flip(one, random); // and stays until the next act with it
        } else {
            hold(one, random.nextLong(10, 1_500) * MS, random);
        }
    }

    /** Everything is let go: what goes on at this moment is over in a while, and nothing is left pushed. Returns how long that takes. */
    long letGo(SplittableRandom random) {
        long from = world.now();
        long last = from;
        for (Contact contact : contacts.values()) {
            last = Math.max(last, contact.busyUntil);
        }
        for (Slider stick : sticks) {
            last = Math.max(last, stick.busyUntil);
        }
        long at = last + MS;
        rockers.forEach(rocker -> rocker.forEach(contact -> edge(contact, at, false)));
        buttons.forEach(contact -> edge(contact, at, false));
        sticks.forEach(stick -> {
            stick.at = atRest(stick, random);
            reading(stick, at, stick.at);
        });
        return at + MS - from;
    }
}
