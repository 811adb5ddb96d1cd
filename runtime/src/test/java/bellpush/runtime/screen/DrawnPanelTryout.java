package bellpush.runtime.screen;

import bellpush.config.model.LinkState;
import bellpush.config.model.Look;
import bellpush.config.model.Look.Pattern;
import bellpush.config.model.Site;
import bellpush.runtime.panel.PanelListener;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.TimeUnit;

/** A made-up panel to look at in a real terminal: {@code java -cp … bellpush.runtime.screen.DrawnPanelTryout}. */
final class DrawnPanelTryout {
    private DrawnPanelTryout() {}

    public static void main(String[] args) throws Exception {
        Site site = MadeUpSite.full().site("Village hall: talks and songs");
        CountDownLatch left = new CountDownLatch(1);
        Optional<DrawnPanel> found = DrawnPanel.onTerminal(site, "Rehearsal: simulated gear", left::countDown,
                why -> System.out.println("No panel: " + why));
        if (found.isEmpty()) {
            return;
        }
        try (DrawnPanel panel = found.get()) {
            panel.open(new PanelListener() {
                private int iris = 40;

                @Override
                public void contact(long atNanos, String contact, boolean closed) {
                    panel.line("12:00:00.000 " + contact + (closed ? " pressed" : " let go"));
                }

                @Override
                public void turned(long atNanos, String knob, int detents) {
                    iris += detents;
                    panel.knobValue(knob, iris + " %");
                    panel.line("12:00:00.000 " + knob + " turned by " + detents);
                }

                @Override
                public void noted(String text) {
                    panel.line(text);
                }
            });
            site.devices().keySet().forEach(device -> panel.link(device, LinkState.UP, ""));
            panel.link("projector", LinkState.DOWN, "connection refused by 192.168.40.14");
            panel.link("lights", LinkState.STALE, "no answer for 4 s");
            panel.running(List.of("Poem", "Rail home"));
            show(panel, "poem", Look.of(Pattern.STEADY), Optional.of("green"));
            show(panel, "air", Look.of(Pattern.STEADY), Optional.of("red"));
            show(panel, "welcome", Look.of(Pattern.STEADY), Optional.empty());
            show(panel, "hall", Look.of(Pattern.STEADY), Optional.of("blue"));
            show(panel, "near", new Look(Pattern.STEADY, 0.3, Optional.of("yellow")), Optional.of("yellow"));
            panel.meaning("rail", Look.of(Pattern.SLOW));
            panel.meaning("screen", Look.of(Pattern.PULSE));
            panel.knobValue("iris", "40 %");
            panel.line("12:00:00.000 the doors are open");
            for (int turn = 0; !left.await(1, TimeUnit.SECONDS); turn++) {
                panel.light("rail", turn % 2, Optional.empty());
            }
        }
        System.out.println("left");
    }

    private static void show(DrawnPanel panel, String lamp, Look look, Optional<String> colour) {
        panel.meaning(lamp, look);
        panel.light(lamp, look.brightness(), colour);
    }
}
