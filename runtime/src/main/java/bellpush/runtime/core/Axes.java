package bellpush.runtime.core;

import bellpush.config.model.Device;
import bellpush.config.model.Joystick;
import bellpush.config.model.LinkState;
import bellpush.config.model.PropertyRef;
import bellpush.config.model.Site;
import bellpush.config.model.Source;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Outcome;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;

/**
 * The axes of the panel's joysticks, and that each of them stops. Standstill is sent at once when a stick is let go, when its
 * converter is lost, first thing when a link is up again, and at the end of the show; it is urgent, so nothing that waits comes
 * after it. One that is refused or lost is sent again, a few times; as a datagram, which may be lost or overtaken by an older one, it
 * is sent a few times anyway. A macro that fails leaves no speed behind. A stick that was deflected when
 * something went wrong moves nothing before it has been at its centre.
 */
final class Axes {
    static final int STOPS_MAX = 6;
    static final long STOP_AGAIN_NANOS = 250_000_000L;
    /**
     * After one standstill that has left as a datagram, the next ones, acknowledged or not: a speed that the network has doubled may come
     * after a standstill that the device has obeyed already. All within the time that a show keeps its links open at the end. Of packets
     * of which a third is lost, all four are lost once in 80 times.
     */
    private static final long[] REPEAT_AFTER_NANOS = {40_000_000L, 120_000_000L, 200_000_000L};

    /** Where speeds go. */
    interface Gear {
        /** @param stop whether it is a standstill, which goes before everything */
        void send(PropertyRef property, Value speed, boolean stop, String control);

        LinkState link(String device);

        /** Begins a gesture, to which what is recorded next belongs. */
        String newPress();
    }

    private final class Axis {
        final String name;
        final PropertyRef drives;
        final Stick stick;
        String press = "";
        /** The speed that was sent last, by whomever; NaN where nobody knows. */
        double last = Double.NaN;
        /** How many standstills are on their way, and how often in a row one was sent. */
        int stopping;
        int stops;
        /** Whether the link was lost while it moved, and no standstill has left since. */
        boolean adrift;
        long again;
        /** How many repeats of a standstill have been sent, and the timer of the next. */
        int repeats;
        long repeat;
        /** The run of a macro that set the present speed, or 0. */
        long run;
        long settle;
        boolean moving;
        double peak;

        Axis(String name, Joystick.Axis axis) {
            this.name = name;
            drives = axis.drives();
            stick = new Stick(axis, site.property(drives).type());
        }

        boolean down() {
            return gear.link(drives.device()) == LinkState.DOWN;
        }

        void follow() {
            double speed = ending || gear.link(drives.device()) != LinkState.UP ? 0 : stick.speed();
            if (speed == 0) {
                halt("");
            } else if (speed != last) {
                drive(speed);
            }
        }

        private void drive(double speed) {
            turn.stop(again);
            again = 0;
            stops = 0;
            noRepeat();
            run = 0;
            if (!moving) {
                moving = true;
                peak = 0;
                press = gear.newPress();
                turn.recordFor(press, "drive", "control", name, "property", drives.toString(), "speed", speed);
            }
            peak = Math.abs(speed) > Math.abs(peak) ? speed : peak;
            last = speed;
            send(speed, false);
        }

        /** Sends a standstill unless the last that was sent is one. */
        void halt(String why) {
            if (last != 0) {
                stop(why);
            } else {
                rested(why);
            }
        }

        void stop(String why) {
            turn.stop(again);
            again = 0;
            noRepeat();
            run = 0;
            if (!down()) {
                last = 0;
                stopping++;
                stops++;
                send(0, true);
            }
            rested(why);
        }

        /** The same for the present press, with all its tries. */
        void stopNow(String why) {
            press = turn.press();
            stops = 0;
            stop(why);
        }

        private void noRepeat() {
            turn.stop(repeat);
            repeat = 0;
            repeats = 0;
        }

        /** A standstill has left. A stream keeps it, and its place. */
        private void left() {
            if (datagrams() && repeats == 0) {
                armRepeat();
            }
        }

        private void armRepeat() {
            if (repeats < REPEAT_AFTER_NANOS.length) {
                repeat = turn.start(turn.now() + REPEAT_AFTER_NANOS[repeats++], new Wake.StopOnceMore(name));
            }
        }

        private boolean datagrams() {
            return site.devices().get(drives.device()).kind().datagrams();
        }

        private void repeatNow() {
            if (last == 0 && !down()) {
                stopping++;
                send(0, true);
            }
        }

        private void send(double speed, boolean stop) {
            String before = turn.press();
            turn.blame(press);
            gear.send(drives, Value.of(speed), stop, name);
            turn.blame(before);
        }

        private void rested(String why) {
            if (moving) {
                moving = false;
                if (why.isEmpty()) {
                    turn.recordFor(press, "rest", "control", name, "property", drives.toString(), "peak", peak);
                } else {
                    turn.recordFor(press, "rest", "control", name, "property", drives.toString(), "peak", peak, "why",
                            why);
                }
            }
        }

        void failed(String why) {
            last = Double.NaN;
            if (down()) {
                stops = 0; // it is the first thing that is sent once the link is up again
            } else if (stops < STOPS_MAX) {
                again = turn.start(turn.now() + STOP_AGAIN_NANOS, new Wake.StopAgain(name));
            } else {
                stops = 0;
                loud("could not be stopped: a standstill was sent " + STOPS_MAX + " times, and " + why);
            }
        }

        void loud(String what) {
            turn.record("error", "control", name, "text", drives + " " + what
                    + ". CAUTION: it may still be moving. Keep clear and use its own emergency stop, or cut its power");
        }
    }

    private final Turn turn;
    private final Site site;
    private final Gear gear;
    private final Map<String, Axis> axes = new LinkedHashMap<>();
    private final Map<String, Axis> downContacts = new HashMap<>();
    private final Map<String, Axis> upContacts = new HashMap<>();
    private boolean ending;

    Axes(Turn turn, Site site, Gear gear) {
        this.turn = turn;
        this.site = site;
        this.gear = gear;
        site.panel().joysticks().values().forEach(stick -> stick.axes().values().forEach(axis -> {
            Axis made = new Axis(stick.name() + "." + axis.name(), axis);
            axes.put(made.name, made);
            if (axis.wire().orElse(null) instanceof Joystick.Wire.Contacts) {
                downContacts.put(made.name + ".down", made);
                upContacts.put(made.name + ".up", made);
            }
        }));
        site.devices().values().forEach(this::unheld);
    }

    /** Speeds that no stick has, and that glides drive: they are stopped like any other. */
    private void unheld(Device device) {
        device.kind().properties().values().forEach(property -> property.speeds().ifPresent(speeds -> {
            PropertyRef speed = new PropertyRef(device.name(), speeds.by());
            if (driving(speed).isEmpty()) {
                // No control of a panel has a blank in its name.
                Axis made = new Axis("speed " + speed, new Joystick.Axis(speed.property(), Optional.empty(), speed, 0,
                        Source.NONE));
                axes.put(made.name, made);
            }
        }));
    }

    boolean has(String control) {
        return axes.containsKey(control);
    }

    /** Whether a stick moves it at this moment. */
    boolean moves(PropertyRef property) {
        return axes.values().stream().anyMatch(axis -> axis.moving && axis.drives.equals(property));
    }

    /** Whether it was one of a rocker's contacts. */
    boolean contact(String contact, boolean closed, boolean found) {
        boolean upper = upContacts.containsKey(contact);
        Axis axis = (upper ? upContacts : downContacts).get(contact);
        if (axis == null) {
            return false;
        }
        if (found) {
            axis.stick.found(upper, closed);
            noteIfUnarmed(axis);
        } else {
            long settle = axis.stick.edge(turn.now(), upper, closed);
            turn.stop(axis.settle);
            axis.settle = settle == 0 ? 0 : turn.start(settle, new Wake.RockerQuiet(axis.name));
        }
        axis.follow();
        return true;
    }

    void settled(String name) {
        Axis axis = axes.get(name);
        axis.settle = 0;
        axis.stick.settle(turn.now());
        axis.follow();
    }

    boolean moved(String name, double share) {
        Axis axis = axes.get(name);
        if (axis == null) {
            return false;
        }
        if (!Double.isFinite(share)) {
            return !axis.stick.known() || lost(name, "what was read is no number");
        }
        double before = axis.stick.speed();
        boolean known = axis.stick.known();
        axis.stick.read(share);
        if (!known) {
            noteIfUnarmed(axis);
        }
        if (axis.stick.speed() != before) {
            axis.follow(); // where nothing has changed, what others have set since is left alone
        }
        return true;
    }

    private void noteIfUnarmed(Axis axis) {
        if (!axis.stick.armed()) {
            turn.record("note", "control", axis.name, "text",
                    "is deflected; it moves nothing until it was let go once");
        }
    }

    boolean lost(String name, String why) {
        Axis axis = axes.get(name);
        if (axis == null) {
            return false;
        }
        axis.stick.lost();
        axis.halt("it cannot be read any more");
        turn.record("note", "control", name, "text",
                "cannot be read any more, so " + axis.drives + " is stopped: " + why);
        return true;
    }

    /** A run of a macro has set what an axis drives, and is to leave no speed behind if it fails. */
    void setBy(long run, PropertyRef property) {
        driving(property).forEach(axis -> axis.run = run);
    }

    /**
     * A macro has failed or was stopped, perhaps before the step in which it would have stopped what it had set in motion.
     *
     * @param how what has become of it: {@code failed}
     */
    void runBroken(long run, String macro, String how) {
        for (Axis axis : axes.values()) {
            if (axis.run == run && axis.last != 0) {
                turn.record("note", "control", axis.name, "text",
                        "stops " + axis.drives + ", which " + macro + " had set and left when it " + how);
                axis.stopNow("");
            }
        }
    }

    /** Somebody has asked for a standstill of everything. A stick that is deflected moves nothing before it was let go. */
    void haltAll() {
        Set<PropertyRef> halted = new HashSet<>();
        for (Axis axis : axes.values()) {
            axis.stick.disarm();
            if (halted.add(axis.drives)) {
                axis.stopNow("everything is stopped");
            } else {
                axis.last = 0;
                axis.rested("everything is stopped");
            }
        }
    }

    /** Brings a speed to 0, unless its link is down, for the present press. */
    void halt(PropertyRef speed) {
        driving(speed).forEach(axis -> axis.stopNow(""));
    }

    void link(String device, LinkState state) {
        for (Axis axis : of(device)) {
            axis.stick.disarm();
            switch (state) {
                case UP -> {
                    axis.stops = 0;
                    axis.stop("the link was lost");
                    axis.follow();
                }
                case STALE -> axis.halt("the link is stale");
                case DOWN -> {
                    if (axis.last != 0 && !Double.isNaN(axis.last)) {
                        axis.adrift = true;
                        axis.loud("cannot be stopped before its link is up again");
                    }
                    axis.last = Double.NaN;
                    axis.stopping = 0;
                    axis.noRepeat();
                    axis.run = 0;
                    turn.stop(axis.again);
                    axis.again = 0;
                    axis.halt("the link is down");
                }
            }
        }
    }

    /** A macro, a knob or a command has set what an axis drives. NaN: nobody knows to what. The stick waits for its turn. */
    void setElsewhere(PropertyRef property, double speed) {
        for (Axis axis : driving(property)) {
            axis.last = speed;
            axis.noRepeat();
            axis.run = 0;
            axis.stick.disarm();
            axis.rested("something else drives it");
        }
    }

    /**
     * What somebody else has sent was refused or lost, perhaps a stop: unless the stick drives it again, it is stopped, for
     * nobody knows how fast it is.
     */
    void inDoubt(PropertyRef property) {
        for (Axis axis : driving(property)) {
            if (axis.stick.speed() == 0) {
                axis.last = Double.NaN;
                axis.stops = 0;
                axis.stop("");
            }
        }
    }

    /** A standstill of a macro, a knob or a command has left. It may be lost on its way like any other. */
    void leftElsewhere(PropertyRef property) {
        for (Axis axis : driving(property)) {
            if (axis.last == 0) {
                axis.left();
            }
        }
    }

    /** What has become of a speed that was sent. */
    void finished(String name, Value speed, Outcome outcome) {
        Axis axis = axes.get(name);
        boolean stop = speed.equals(Value.of(0));
        if (stop) {
            axis.stopping = Math.max(0, axis.stopping - 1);
        }
        switch (outcome) {
            case Outcome.Sent _,Outcome.Done _ -> {
                if (stop && axis.last == 0) {
                    axis.stops = 0;
                    axis.adrift = false;
                    axis.left();
                } else if (!stop && axis.last == 0) {
                    overtaken(axis);
                }
            }
            case Outcome.Replaced _ -> {
            }
            case Outcome.Refused(String why) -> failed(axis, stop, speed, "the device refused it: " + why);
            case Outcome.Failed(String why) -> failed(axis, stop, speed, why);
        }
    }

    /**
     * Only now is it known what became of a speed that was on its way when the standstill left. A datagram may come after one that was
     * sent later, and then the device has begun to move again.
     */
    private void overtaken(Axis axis) {
        if (axis.datagrams()) {
            axis.repeatNow();
        }
    }

    private void failed(Axis axis, boolean stop, Value speed, String why) {
        if (stop && axis.last == 0) {
            axis.failed(why);
        } else if (!stop && axis.last == 0) {
            overtaken(axis);
        } else if (speed instanceof Value.Num(double sent) && sent == axis.last) {
            axis.last = Double.NaN; // so that letting go sends a standstill, whatever has become of this
        }
    }

    void stopAgain(String name) {
        Axis axis = axes.get(name);
        axis.again = 0;
        if (!(axis.last == 0) && axis.stick.speed() == 0 || ending) {
            axis.stop("");
        }
    }

    void stopOnceMore(String name) {
        Axis axis = axes.get(name);
        axis.repeat = 0;
        axis.repeatNow();
        axis.armRepeat(); // counted from here: an answer that takes long must not hold it up
    }

    /**
     * From here on nothing moves.
     *
     * @param standing properties that are known for certain to stand
     */
    void end(Set<PropertyRef> standing) {
        ending = true;
        for (Axis axis : axes.values()) {
            if (axis.down()) {
                if (axis.adrift) {
                    axis.loud("could not be stopped at the end: the link to " + axis.drives.device() + " is down");
                }
            } else if (axis.last != 0 || !standing.contains(axis.drives)) {
                axis.stops = 0;
                axis.stop("the show ends");
            }
        }
    }

    /** Whether no standstill is on its way any more, nor to be sent once more. */
    boolean atRest() {
        return axes.values().stream().noneMatch(axis -> axis.stopping > 0 || axis.again != 0 || axis.repeat != 0);
    }

    /** For the last line of the log: what has not confirmed its standstill. */
    List<String> notStopped() {
        return axes.values().stream().filter(axis -> axis.stopping > 0 || axis.again != 0)
                .map(axis -> axis.drives.toString()).distinct().toList();
    }

    private List<Axis> of(String device) {
        return axes.values().stream().filter(axis -> axis.drives.device().equals(device)).toList();
    }

    private List<Axis> driving(PropertyRef property) {
        return axes.values().stream().filter(axis -> axis.drives.equals(property)).toList();
    }
}
