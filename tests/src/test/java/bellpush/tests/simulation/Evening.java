package bellpush.tests.simulation;

import bellpush.config.model.Device;
import bellpush.config.model.Kind;
import bellpush.config.model.Property;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Input;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Deque;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.Iterator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.stream.IntStream;

/**
 * One random evening, from its seed. It is a row of acts, each with random numbers of its own, so that leaving some out changes the
 * others as little as can be; then everything is let go and comes to rest, and the show ends. After every input all invariants are
 * looked at. One thread; the same seed and acts give the same evening.
 */
final class Evening implements Gear.World {
    private static final long MS = 1_000_000;
    private static final long SECOND = 1_000 * MS;
    /** Acts of one evening, whatever its inputs. */
    private static final int ACTS_MAX = 100_000;
    /** The number of what comes after the last act. */
    static final int AT_THE_END = Integer.MAX_VALUE;
    private static final int BEFORE_THE_FIRST = -1;

    /**
     * What is played, and on what.
     *
     * @param sites what the world and the invariants go by: first the first; a show that begins again may play another of them, as
     *              when the site was changed meanwhile
     * @param maker makes what is tested
     * @param twice whether a second one of it is given the same inputs, by another clock, and must do the same
     */
    record Play(List<Site> sites, Machine.Maker maker, boolean twice) {
        Play(Site site, Machine.Maker maker, boolean twice) {
            this(List.of(site), maker, twice);
        }
    }

    /**
     * How it went.
     *
     * @param digest of all effects
     * @param broken what was broken, if anything
     * @param act    the act in which it was, or {@link #AT_THE_END}
     * @param acts   how many there were
     */
    record Result(long seed, long inputs, long virtualNanos, long runs, long digest, Optional<Broken> broken, int act,
            int acts) {}

    private final class Timer implements Agenda.Task {
        final long number;
        boolean stopped;

        Timer(long number) {
            this.number = number;
        }

        @Override
        public void run(long dueAt) {
            if (!stopped) {
                timers.remove(number);
                put(new Input.Due(now, number));
            }
        }
    }

    private final long seed;
    private final Play play;
    private final Weather weather;
    private final Agenda agenda = new Agenda();
    private final Map<Long, Timer> timers = new HashMap<>();
    private final Map<String, Gear> gear = new LinkedHashMap<>();
    private final Map<Kind, Told> told = new IdentityHashMap<>();
    private final List<Invariant> invariants = new ArrayList<>();
    private final List<Effect> effects = new ArrayList<>();
    private final List<Effect> twinEffects = new ArrayList<>();
    private final Digest digest = new Digest();
    private final long startedAt;
    private SplittableRandom random;
    private Site site;
    private List<Gear> gearInOrder;
    private List<String> macros;
    private Fingers fingers;
    private RunsEnd runsEnd;
    private AxesStand axesStand;
    private Bounded bounded;
    private Machine machine;
    private Machine twin;
    private OtherClock twinsClock;
    private long runsBefore;
    private long now;
    private long coreNow;
    private long inputs;
    private int acts;
    private boolean ending;
    /** The last inputs and effects, in words; null unless somebody wants to read them. */
    private Deque<String> lines;
    private int linesMax;

    Evening(long seed, Play play) {
        this.seed = seed;
        this.play = play;
        random = randomOf(-1);
        weather = Weather.of(random);
        startedAt = random.nextLong(SECOND, 1L << random.nextInt(31, 61));
        now = startedAt;
        open(play.sites().getFirst());
    }

    /** From here on this site is played, with the same gear as far as it has it. */
    private void open(Site opened) {
        fingers = site == null ? new Fingers(opened.panel(), this) : fingers.onto(opened.panel());
        runsBefore += site == null ? 0 : runsEnd.runs();
        site = opened;
        gear.values().stream().filter(each -> !site.devices().containsKey(each.device.name()))
                .forEach(Gear::isLeftAlone);
        for (Device device : site.devices().values()) {
            gear.computeIfAbsent(device.name(),
                    name -> new Gear(device, told.computeIfAbsent(device.kind(), Told::new), new WorldOf(name), weather,
                            site.limits().waitingSends()));
        }
        gearInOrder = site.devices().keySet().stream().map(gear::get).toList();
        macros = List.copyOf(site.macros().keySet());
        runsEnd = new RunsEnd(site, this::now);
        axesStand = new AxesStand(site, gear, now);
        Facts facts = new Facts(site);
        bounded = new Bounded(site);
        boolean sure = weather.lostShare() == 0 && !weather.overtaking();
        invariants.clear();
        invariants.addAll(List.of(facts, new LampsTellFacts(site, facts), runsEnd, new Paced(site), axesStand,
                bounded, new StoppedIsStopped(site, this::now), new GlidesArrive(site, gear, sure)));
        if (sure) {
            invariants.add(new BeliefsAreTrue(gearInOrder));
        }
    }

    /** Keeps so many of the last inputs and effects in words, for {@link #lines()}. */
    Evening noted(int most) {
        linesMax = most;
        lines = new ArrayDeque<>();
        return this;
    }

    /** Of an evening that was {@link #noted()}: the last inputs and effects. */
    List<String> lines() {
        return List.copyOf(lines);
    }

    /** How near it came to the bounds of what the core may hold. */
    String most() {
        return bounded.most();
    }

    private void note(Object what) {
        if (lines.size() == linesMax) {
            lines.removeFirst();
        }
        lines.add("%10.3f ms  %s".formatted((now - startedAt) / 1e6, what));
    }

    /** Plays acts from the first on until there have been so many inputs, then the end. */
    Result play(long inputsMax) {
        return play(IntStream.range(0, ACTS_MAX).iterator(), inputsMax);
    }

    /** Plays these acts, then the end. */
    Result play(List<Integer> chosen) {
        return play(chosen.iterator(), Long.MAX_VALUE);
    }

    private Result play(Iterator<Integer> chosen, long inputsMax) {
        int act = BEFORE_THE_FIRST;
        Broken what = null;
        try {
            begin();
            while (chosen.hasNext() && inputs < inputsMax) {
                act = chosen.next();
                acts++;
                act(act);
            }
            act = AT_THE_END;
            end();
        } catch (Broken broken) {
            what = broken;
        }
        return new Result(seed, inputs, now - startedAt, runsBefore + runsEnd.runs(), digest.value(),
                Optional.ofNullable(what), act,
                acts);
    }

    private SplittableRandom randomOf(int act) {
        return new SplittableRandom(seed * 0x9E3779B97F4A7C15L + act * 0xD1B54A32D192ED03L);
    }

    // ---- the world

    /** What a device has of it: once it is none of the site's any more, nobody hears it. */
    private final class WorldOf implements Gear.World {
        private final String device;

        WorldOf(String device) {
            this.device = device;
        }

        @Override
        public long now() {
            return now;
        }

        @Override
        public SplittableRandom random() {
            return random;
        }

        @Override
        public void at(long dueAt, Agenda.Task task) {
            agenda.add(dueAt, task);
        }

        @Override
        public void put(Input input) {
            if (site.devices().containsKey(device)) {
                Evening.this.put(input);
            }
        }
    }

    @Override
    public long now() {
        return now;
    }

    @Override
    public SplittableRandom random() {
        return random;
    }

    @Override
    public void at(long dueAt, Agenda.Task task) {
        agenda.add(dueAt, task);
    }

    @Override
    public void put(Input input) {
        inputs++;
        coreNow = Math.max(coreNow, input.at());
        for (Invariant each : invariants) {
            each.before(input);
        }
        effects.clear();
        accept(machine, input, effects);
        if (lines != null) {
            note(input);
            effects.forEach(effect -> note("      " + effect));
        }
        for (Effect effect : effects) {
            digest.add(effect);
            for (Invariant each : invariants) {
                each.effect(effect, coreNow);
            }
        }
        for (Invariant each : invariants) {
            each.after(coreNow);
        }
        if (twin != null) {
            twinEffects.clear();
            accept(twin, twinsClock.there(input), twinEffects);
            twinEffects.replaceAll(twinsClock::back);
            if (!effects.equals(twinEffects)) {
                throw new Broken("determinism", "the same inputs led to " + effects + " and to " + twinEffects);
            }
        }
        for (int i = 0; i < effects.size(); i++) {
            carryOut(effects.get(i));
        }
    }

    private static void accept(Machine machine, Input input, List<Effect> into) {
        try {
            machine.accept(input, into::add);
        } catch (RuntimeException | StackOverflowError | AssertionError e) {
            throw new Broken("crash", input + " led to " + e, e);
        }
    }

    private void carryOut(Effect effect) {
        switch (effect) {
            case Effect.Send send -> {
                if (ending && !(send.request() instanceof Request.SetProperty set && set.urgent()
                        && set.value().equals(Value.of(0)))) {
                    throw new Broken("ending", "after the end of the show something is sent: " + send);
                }
                gear.get(send.device()).send(send.request());
            }
            case Effect.StartTimer start -> {
                Timer timer = new Timer(start.timer());
                timers.put(start.timer(), timer);
                agenda.add(Math.max(now, start.dueAt()), timer);
            }
            case Effect.StopTimer stop -> {
                Timer timer = timers.remove(stop.timer());
                if (timer != null) {
                    timer.stopped = true;
                }
            }
            case Effect.ShowLamp _,Effect.Record _ -> {
            }
        }
    }

    /** Time goes by; everything comes when it is due. */
    private void pass(long nanos) {
        long end = now + nanos;
        while (agenda.next() <= end) {
            now = Math.max(now, agenda.next());
            agenda.runNext();
        }
        now = Math.max(now, end);
    }

    // ---- the evening

    private void begin() {
        ending = false;
        timers.values().forEach(timer -> timer.stopped = true);
        timers.clear();
        machine = play.maker().of(site);
        twin = play.twice() ? play.maker().of(site) : null;
        twinsClock = new OtherClock(random.nextBoolean() ? 0 : random.nextLong(-2 * startedAt, startedAt));
        for (Invariant each : invariants) {
            each.begins(machine);
        }
        put(new Input.Started(now));
        for (Gear each : gearInOrder) {
            each.reopens(random.nextLong(0, random.nextInt(8) == 0 ? 20 * SECOND : 2 * SECOND));
        }
        fingers.found();
    }

    private void act(int act) {
        random = randomOf(act);
        pass(random.nextInt(1000) < weather.hastePermille()
                ? random.nextLong(0, 50 * MS)
                : random.nextLong(0, random.nextInt(8) == 0 ? 5 * SECOND : 600 * MS));
        int dice = random.nextInt(100);
        if (dice < 72) {
            fingers.act(random);
        } else if (dice < 75) {
            if (!macros.isEmpty()) {
                put(new Input.Asked(now, macros.get(random.nextInt(macros.size()))));
            }
        } else if (dice < 84) {
            changeByHand();
        } else if (dice < 97) {
            trouble(gearInOrder.get(random.nextInt(gearInOrder.size())), dice);
        } else if (dice < 98) {
            stall();
        } else if (dice < 99) {
            calm();
        } else if (random.nextInt(3) == 0) {
            anotherShow();
        }
    }

    private void changeByHand() {
        Gear at = gearInOrder.get(random.nextInt(gearInOrder.size()));
        List<Property> told = at.device.kind().properties().values().stream().filter(Property::reported).toList();
        if (!told.isEmpty()) { // what is never told may be a speed, which then nobody can stop
            Property property = told.get(random.nextInt(told.size()));
            at.changedByHand(property.name(), RandomValues.of(property.type(), random));
        }
    }

    private void trouble(Gear at, int dice) {
        long length = random.nextInt(6) == 0 ? random.nextLong(5, 30) * SECOND : random.nextLong(50, 4_000) * MS;
        switch (dice) {
            case 84, 85, 86 -> at.refuses(length);
            case 87, 88 -> at.goesDeaf(length);
            case 89, 90 -> at.restarts(length);
            case 91, 92 -> at.drops("it was pulled out", length);
            case 93 -> {
                for (int i = 0; i < 4; i++) { // a plug that is loose
                    at.drops("it flaps", random.nextLong(MS, 300 * MS));
                    pass(random.nextLong(MS, 400 * MS));
                }
            }
            default -> at.goesStale(length);
        }
    }

    /** The program stands still: a busy board, or one that was put to sleep. Monotonic time goes on. */
    private void stall() {
        long nanos = random.nextInt(10) == 0 ? random.nextLong(10, 600) * SECOND : random.nextLong(10, 3_000) * MS;
        now += nanos;
        for (Invariant each : invariants) {
            each.stalled(now, nanos);
        }
    }

    /** Every finger off, all gear well and every link up, for a while. */
    private void calm() {
        pass(fingers.letGo(random));
        for (Gear each : gearInOrder) {
            each.worksAgain();
            each.comesUp("all is well");
        }
        pass(8 * SECOND);
    }

    /** The show ends, in the middle of everything, and another begins with the same gear, perhaps of a site that was changed. */
    private void anotherShow() {
        endShow();
        if (play.sites().size() > 1 && random.nextInt(3) > 0) {
            open(play.sites().get(random.nextInt(play.sites().size())));
        }
        begin();
    }

    private void endShow() {
        ending = true;
        long endedAt = now;
        put(new Input.Ending(now, "random"));
        pass(500 * MS);
        axesStand.ended(endedAt);
    }

    private void end() {
        random = randomOf(-2);
        if (random.nextInt(4) == 0) {
            endShow();
            return;
        }
        calm();
        for (int waited = 0; runsEnd.areGoing() || waited < 25; waited++) {
            pass(SECOND);
            runsEnd.after(now); // nothing else may come any more, and then nobody would look
        }
        for (Invariant each : invariants) {
            each.calm(coreNow);
        }
        endShow();
    }
}
