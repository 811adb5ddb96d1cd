package bellpush.tests.simulation;

import static org.assertj.core.api.Assertions.assertThat;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Site;
import bellpush.config.model.Value;
import bellpush.drivers.spi.Request;
import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Consumer;
import java.util.function.UnaryOperator;
import org.junit.jupiter.api.Test;

/**
 * A bug of each invariant's kind, planted on purpose: the simulation must find it, shrink the way to it, and break again in the same
 * place when it plays the short way. Most are what a real mistake in the core would do, made by giving the core another site than the
 * one that the invariants go by, or by standing between the core and the world.
 */
class PlantedBugsTest {
    private static final int SEEDS = 80;
    private static final long INPUTS = 3_000;
    private static final int SHRINK_TRIES_MAX = 12;

    private final Site hall = Halls.villageHall();

    private void isFound(String invariant, Site site, Machine.Maker maker) {
        isFound(invariant, new Evening.Play(site, maker, invariant.equals("determinism")));
    }

    /** Plays seeds until the bug is found. */
    private void isFound(String invariant, Evening.Play play) {
        for (long seed = 0; seed < SEEDS; seed++) {
            Evening.Result result = new Evening(seed, play).play(INPUTS);
            if (result.broken().isPresent()) {
                assertThat(result.broken().get().invariant).as(result.broken().get().getMessage()).isEqualTo(invariant);
                Shrinker.Short shortest = Shrinker.shrink(result, play, SHRINK_TRIES_MAX);
                assertThat(shortest.acts()).hasSizeLessThanOrEqualTo(result.acts());
                Evening.Result again = new Evening(seed, play).play(shortest.acts());
                assertThat(again.broken().orElseThrow().getMessage())
                        .isEqualTo(shortest.result().broken().orElseThrow().getMessage());
                return;
            }
        }
        throw new AssertionError("the planted bug was not found in " + SEEDS + " evenings");
    }

    /** The core plays the hall with something else in its files; world and invariants go by the hall as it is. */
    private void isFoundWhereTheCorePlays(String invariant, Map<String, UnaryOperator<String>> changes) {
        Site wrong = Halls.villageHall(changes);
        isFound(invariant, hall, _ -> Machine.core(wrong));
    }

    private static UnaryOperator<String> with(String old, String other) {
        return text -> text.replace(old, other);
    }

    /** Stands between the core and the world. */
    private static class Between extends CoreMachine {
        Between(Site site) {
            super(site);
        }

        @Override
        public void accept(Input input, Consumer<Effect> effects) {
            core.accept(input, effect -> {
                Effect changed = changed(effect);
                if (changed != null) {
                    effects.accept(changed);
                }
            });
        }

        /** Null: it is dropped. */
        Effect changed(Effect effect) {
            return effect;
        }

        @Override
        public Object inside() {
            return this;
        }
    }

    private static Machine.Maker changing(UnaryOperator<Effect> change) {
        return site -> new Between(site) {
            @Override
            Effect changed(Effect effect) {
                return change.apply(effect);
            }
        };
    }

    // ---- lamps

    @Test
    void aLampThatShowsWhatWasSentAsAFact() {
        // as if the core forgot that the mixer tells this: then what was sent is all that can be known
        isFoundWhereTheCorePlays("lamps", Map.of("kinds/hall-mixer.json",
                with(", \"ask\": \"GET KEY.AIR\", \"report\": \"KEY.AIR {value}\"", "")));
    }

    @Test
    void aLampThatKeepsAFactWhenTheLinkIsLost() {
        isFound("lamps", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                boolean lost = input instanceof Input.LinkChanged change && change.state() != LinkState.UP;
                core.accept(input, effect -> {
                    boolean lamp = effect instanceof Effect.ShowLamp
                            || effect instanceof Effect.Record line && line.event().what().equals("lamp");
                    if (!(lost && lamp)) {
                        effects.accept(effect);
                    }
                });
            }
        });
    }

    @Test
    void aLampThatIsSteadyWhereItsSignWouldBeSlow() {
        isFound("lamps", hall, changing(effect -> switch (effect) {
            case Effect.ShowLamp(String lamp, Look look) when look.pattern() == Look.Pattern.SLOW ->
                new Effect.ShowLamp(lamp, Look.of(Look.Pattern.STEADY));
            default -> effect;
        }));
    }

    // ---- lanes, runs, limits

    @Test
    void macrosOfOneLaneThatInterleave() {
        isFoundWhereTheCorePlays("lanes", Map.of(
                "macros/key-off.json", with("\"lane\": \"keyer\",", ""),
                "macros/speaker.json", with("\"lane\": \"keyer\",", ""),
                "macros/clear.json", with("\"lane\": \"keyer\",", "")));
    }

    @Test
    void aRunThatOutlivesItsLimit() {
        isFoundWhereTheCorePlays("limits", Map.of(
                "macros/key-off.json", with("\"within\": \"3 s\"", "\"within\": \"60 s\""),
                "macros/end-stream.json", with("\"within\": \"5 s\"", "\"within\": \"60 s\""),
                "macros/slide-next.json", with("\"within\": \"3 s\"", "\"within\": \"60 s\"")));
    }

    @Test
    void aRunThatNeverEndsInTheLog() {
        isFound("limits", hall, changing(effect -> effect instanceof Effect.Record(Event event)
                && event.what().equals("failed") && event.details().get("run").equals(5L) ? null : effect));
    }

    @Test
    void aRunThatEndsTwice() {
        isFound("runs", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                core.accept(input, effect -> {
                    effects.accept(effect);
                    if (effect instanceof Effect.Record(Event event) && event.what().equals("done")) {
                        effects.accept(effect);
                    }
                });
            }
        });
    }

    @Test
    void aStepOfARunThatIsOver() {
        isFound("runs", hall, site -> new Between(site) {
            private Effect last;

            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                core.accept(input, effect -> {
                    last = effect instanceof Effect.Record(Event event) && event.what().equals("step") ? effect : last;
                    effects.accept(effect);
                    if (last != null && effect instanceof Effect.Record(Event event) && event.what().equals("done")
                            && event.details().get("run").equals(((Effect.Record) last).event().details().get("run"))) {
                        effects.accept(new Effect.Record(new Event(event.at(), "step", event.press(),
                                ((Effect.Record) last).event().details())));
                    }
                });
            }
        });
    }

    // ---- pace, links, the end

    @Test
    void aDeviceThatIsSentMoreThanItsKindStands() {
        isFoundWhereTheCorePlays("pace", Map.of("kinds/hall-mixer.json", with("\"fastest\": \"5 ms\",",
                "\"fastest\": \"4 ms\",")));
    }

    @Test
    void aPropertyThatIsSetFasterThanItsDeviceStands() {
        isFoundWhereTheCorePlays("pace", Map.of("kinds/hall-desk.json", with("\"fastest\": \"20 ms\"",
                "\"fastest\": \"10 ms\"")));
    }

    @Test
    void somethingThatIsSentToALinkThatIsDown() {
        isFound("links", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                // as if STALE and DOWN were the same to it
                super.accept(input instanceof Input.LinkChanged(long at, String device, LinkState state, String why)
                        && state == LinkState.DOWN
                                ? new Input.LinkChanged(at, device, LinkState.STALE, why)
                                : input,
                        effects);
            }
        });
    }

    @Test
    void somethingThatIsSentAfterTheEnd() {
        isFound("ending", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                if (input instanceof Input.Ending && core.link("encoder") == LinkState.UP) {
                    effects.accept(new Effect.Send("encoder", new Request.AskProperty(1L << 40, "title")));
                }
                super.accept(input, effects);
            }
        });
    }

    // ---- standstill

    private static boolean isStandstill(Effect effect) {
        return effect instanceof Effect.Send(String _, Request.SetProperty(_, _, Value value, boolean urgent, _))
                && urgent
                && value.equals(Value.of(0));
    }

    @Test
    void aStandstillThatIsNeverSent() {
        isFound("standstill", hall, changing(effect -> isStandstill(effect) ? null : effect));
    }

    @Test
    void aStandstillThatIsSentOnlyOnceOverANetworkThatLosesIt() {
        isFound("standstill", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                core.accept(input, effect -> {
                    if (!(input instanceof Input.Due && isStandstill(effect))) { // neither repeats nor what waited
                        effects.accept(effect);
                    }
                });
            }
        });
    }

    @Test
    void aStickThatGoesOnDrivingWhenItsConverterIsLost() {
        isFound("standstill", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                if (!(input instanceof Input.Lost) && !(input instanceof Input.Moved(_, _, double share)
                        && !Double.isFinite(share))) {
                    super.accept(input, effects);
                }
            }
        });
    }

    // ---- bounds

    @Test
    void aQueueThatGrowsWithoutLimit() {
        isFound("bounds", hall, site -> new Between(site) {
            private final List<Input> kept = new ArrayList<>();

            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                kept.add(input);
                super.accept(input, effects);
            }
        });
    }

    @Test
    void timersThatAreNeverStopped() {
        isFound("bounds", hall, site -> new Between(site) {
            private long made = 1L << 40;

            @Override
            Effect changed(Effect effect) {
                return effect instanceof Effect.StopTimer
                        ? new Effect.StartTimer(made++, Long.MAX_VALUE)
                        : effect;
            }
        });
    }

    // ---- determinism, beliefs, crashes

    @Test
    void anOrderThatDiffersFromTimeToTime() {
        int[] made = {0};
        isFound("determinism", hall, site -> new Between(site) {
            private final boolean odd = made[0]++ % 2 == 1;

            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                List<Effect> all = new ArrayList<>();
                core.accept(input, all::add);
                long lamps = all.stream().filter(Effect.ShowLamp.class::isInstance).count();
                if (odd && lamps > 1 && lamps == all.stream().filter(e -> !(e instanceof Effect.Record)).count()) {
                    List<Effect> shown = new ArrayList<>(all.subList(0, (int) lamps)).reversed();
                    shown.addAll(all.subList((int) lamps, all.size()));
                    all = shown;
                }
                all.forEach(effects);
            }
        });
    }

    @Test
    void aReportThatIsTakenForAnother() {
        isFound("beliefs", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                super.accept(input instanceof Input.Reported(long at, String device, Map<String, Value> values, long id)
                        && values.get("zoom") instanceof Value.Num(double zoom)
                                ? new Input.Reported(at, device, Map.of("zoom", Value.of(zoom + 1)), id)
                                : input,
                        effects);
            }
        });
    }

    @Test
    void anExceptionInTheCore() {
        isFound("crash", hall, site -> new Between(site) {
            private int holds;

            @Override
            Effect changed(Effect effect) {
                if (effect instanceof Effect.Record(Event event) && event.what().equals("held") && ++holds == 1) {
                    throw new IllegalStateException("planted");
                }
                return effect;
            }
        });
    }

    @Test
    void aLogThatDoesNotSayWhatWasShown() {
        isFound("lamps", hall, changing(effect -> effect instanceof Effect.Record(Event event)
                && event.what().equals("lamp") && event.details().get("lamp").equals("poem") ? null : effect));
    }

    @Test
    void aLogWhoseTimeRunsBack() {
        isFound("log", hall, changing(effect -> effect instanceof Effect.Record(Event event)
                && event.what().equals("say")
                        ? new Effect.Record(new Event(event.at() - 1_000_000_000L, event.what(), event.press(),
                                event.details()))
                        : effect));
    }

    // ---- taking over, stopping, gliding, waiting

    /** The room lights take over from one another, and one of them drives the rail besides, which nobody else does by a stick alone. */
    private static Site takingOver() {
        return Halls.villageHall(Map.of(
                "macros/lights-low.json", with("\"lane\": \"lights\",", "\"lane\": \"lights\", \"takesOver\": true,"),
                "macros/lights-up.json", with("\"steps\": [", "\"steps\": [{ \"set\": {"
                        + " \"rail-camera.slide.speed\": 20 } }, { \"wait\": \"3 s\" },")));
    }

    @Test
    void aMacroThatGoesOnSendingWhenItWasTakenOver() {
        isFound("stopped", takingOver(), site -> new Between(site) {
            private String press;

            @Override
            Effect changed(Effect effect) {
                if (effect instanceof Effect.Record(Event event) && event.what().equals("stopped")
                        && ((String) event.details().get("why")).startsWith("taken over")) {
                    press = event.press();
                } else if (press != null && effect instanceof Effect.Record(Event event)
                        && event.what().equals("send") && event.details().containsKey("set")) {
                    return new Effect.Record(new Event(event.at(), event.what(), press, event.details()));
                }
                return effect;
            }
        });
    }

    @Test
    void aSpeedThatIsLeftByWhatWasTakenOver() {
        isFound("left", takingOver(), changing(
                effect -> isStandstill(effect) && ((Effect.Send) effect).device().equals("rail-camera")
                        ? null
                        : effect));
    }

    @Test
    void aGlideThatEndsBesideItsTarget() {
        isFound("glides", hall, changing(
                effect -> effect instanceof Effect.Send(String device, Request.SetProperty(long id, String property, Value value, boolean urgent, var over))
                        && property.equals("music.fader") && value.equals(Value.of(-40))
                                ? new Effect.Send(device,
                                        new Request.SetProperty(id, property, Value.of(-39.5), urgent, over))
                                : effect));
    }

    @Test
    void aPressThatWaitsForEverToRunAMacroOnceMore() {
        isFound("runs", hall, site -> new Between(site) {
            @Override
            public void accept(Input input, Consumer<Effect> effects) {
                core.accept(input, effect -> {
                    effects.accept(effect);
                    if (effect instanceof Effect.Record(Event event) && event.what().equals("queued")) {
                        effects.accept(effect);
                    }
                });
            }
        });
    }

    // ---- other clocks, other sites

    @Test
    void somethingThatRestsOnWhereMonotonicTimeBegins() {
        isFound("determinism", hall, changing(effect -> effect instanceof Effect.StartTimer(long timer, long dueAt)
                ? new Effect.StartTimer(timer, dueAt / 1_000_000 * 1_000_000)
                : effect));
    }

    @Test
    void aShowThatBeginsAgainWithTheSiteAsItWas() {
        Site changed = Halls.villageHall(Map.of("kinds/hall-mixer.json", with("\"fastest\": \"5 ms\",",
                "\"fastest\": \"8 ms\",")));
        isFound("pace", new Evening.Play(List.of(hall, changed), _ -> Machine.core(hall), false));
    }
}
