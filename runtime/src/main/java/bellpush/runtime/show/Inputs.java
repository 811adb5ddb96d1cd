package bellpush.runtime.show;

import bellpush.runtime.core.Input;

/** What the shell needs to know about inputs in general. */
final class Inputs {
    private Inputs() {}

    /**
     * The input, no earlier than {@code at}. An edge carries the time at which it happened, on a thread of its own, and may
     * reach the core behind something later; the core's time never runs backwards.
     */
    static Input notBefore(long at, Input input) {
        if (input.at() - at >= 0) {
            return input;
        }
        return switch (input) {
            case Input.Started ignored -> new Input.Started(at);
            case Input.Contact i -> i; // the core tells bounce by when it happened, and minds its time itself
            case Input.Found i -> new Input.Found(at, i.contact(), i.closed());
            case Input.Turned i -> new Input.Turned(at, i.knob(), i.detents());
            case Input.Moved i -> new Input.Moved(at, i.input(), i.share());
            case Input.Lost i -> new Input.Lost(at, i.input(), i.why());
            case Input.Ending i -> new Input.Ending(at, i.why());
            case Input.LinkChanged i -> new Input.LinkChanged(at, i.device(), i.state(), i.why());
            case Input.Reported i -> new Input.Reported(at, i.device(), i.values(), i.request());
            case Input.Finished i -> new Input.Finished(at, i.device(), i.request(), i.outcome());
            case Input.Packet i -> new Input.Packet(at, i.device(), i.sent(), i.shown(), i.request());
            case Input.Noted i -> new Input.Noted(at, i.device(), i.text());
            case Input.Due i -> new Input.Due(at, i.timer());
            case Input.Asked i -> new Input.Asked(at, i.macro());
        };
    }

    /** For messages: what kind of input it is. */
    static String name(Input input) {
        return switch (input) {
            case Input.Started ignored -> "the start";
            case Input.Contact i -> "the contact \"" + i.contact() + "\"";
            case Input.Found i -> "the contact \"" + i.contact() + "\" as it was found";
            case Input.Turned i -> "a turn of \"" + i.knob() + "\"";
            case Input.Moved i -> "a move of \"" + i.input() + "\"";
            case Input.Lost i -> "the loss of \"" + i.input() + "\"";
            case Input.Ending ignored -> "the end";
            case Input.LinkChanged i -> "a change of the link to \"" + i.device() + "\"";
            case Input.Reported i -> "a report of \"" + i.device() + "\"";
            case Input.Finished i -> "an outcome of \"" + i.device() + "\"";
            case Input.Packet i -> "a packet of \"" + i.device() + "\"";
            case Input.Noted i -> "a note of \"" + i.device() + "\"";
            case Input.Due ignored -> "a timer";
            case Input.Asked i -> "the request for \"" + i.macro() + "\"";
        };
    }
}
