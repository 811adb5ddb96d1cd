package bellpush.tests.simulation;

import bellpush.runtime.core.Effect;
import bellpush.runtime.core.Event;
import bellpush.runtime.core.Input;

/**
 * The same inputs and effects by a monotonic clock that counts from elsewhere. Where such a clock begins is nobody's business: it may be
 * below 0, and is another after every start of the computer.
 */
final class OtherClock {
    private final long laterNanos;

    /** @param laterNanos how much more the other clock shows */
    OtherClock(long laterNanos) {
        this.laterNanos = laterNanos;
    }

    Input there(Input input) {
        long at = input.at() + laterNanos;
        return switch (input) {
            case Input.Started _ -> new Input.Started(at);
            case Input.Contact(_, var contact, var closed) -> new Input.Contact(at, contact, closed);
            case Input.Found(_, var contact, var closed) -> new Input.Found(at, contact, closed);
            case Input.Turned(_, var knob, var detents) -> new Input.Turned(at, knob, detents);
            case Input.Moved(_, var moved, var share) -> new Input.Moved(at, moved, share);
            case Input.Lost(_, var lost, var why) -> new Input.Lost(at, lost, why);
            case Input.Ending(_, var why) -> new Input.Ending(at, why);
            case Input.LinkChanged(_, var device, var state, var why) -> new Input.LinkChanged(at, device, state, why);
            case Input.Reported(_, var device, var values, var request) ->
                new Input.Reported(at, device, values, request);
            case Input.Finished(_, var device, var request, var outcome) ->
                new Input.Finished(at, device, request, outcome);
            case Input.Packet(_, var device, var sent, var shown, var request) ->
                new Input.Packet(at, device, sent, shown, request);
            case Input.Noted(_, var device, var text) -> new Input.Noted(at, device, text);
            case Input.Due(_, var timer) -> new Input.Due(at, timer);
            case Input.Asked(_, var macro) -> new Input.Asked(at, macro);
        };
    }

    Effect back(Effect effect) {
        return switch (effect) {
            case Effect.StartTimer(var timer, var dueAt) -> new Effect.StartTimer(timer, dueAt - laterNanos);
            case Effect.Record(Event(var at, var what, var press, var details)) ->
                new Effect.Record(new Event(at - laterNanos, what, press, details));
            case Effect.Send _,Effect.ShowLamp _,Effect.StopTimer _ -> effect;
        };
    }
}
