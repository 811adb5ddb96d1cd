package bellpush.runtime.screen;

import bellpush.runtime.screen.Keystroke.MouseDown;
import bellpush.runtime.screen.Keystroke.MouseUp;
import bellpush.runtime.screen.Keystroke.Name;
import bellpush.runtime.screen.Keystroke.Named;
import bellpush.runtime.screen.Keystroke.Typed;
import bellpush.runtime.screen.Keystroke.Wheel;
import java.util.function.Consumer;

/**
 * Bytes from a terminal in, keystrokes out. Takes any bytes: what it does not know it drops. Call {@link #pause} when nothing has
 * arrived for a while; whatever was unfinished then ends, so that no broken sequence can make it deaf.
 *
 * <p>
 * Sources: ECMA-48 for the shape of control sequences (5.4: parameter bytes 30–3F, intermediate bytes 20–2F, final byte 40–7E)
 * and control strings (5.6); the xterm documentation "XTerm Control Sequences" for mouse reports (SGR 1006, and the older
 * form with three bytes) and bracketed paste. Not thread-safe.
 */
final class KeyDecoder {
    /** A control sequence that is longer is dropped. */
    private static final int LONGEST_SEQUENCE = 32;
    /** A control string (an answer of the terminal that nobody asked for) that is longer ends. */
    private static final int LONGEST_STRING = 4_096;

    private enum State {
        GROUND, ESCAPE, SEQUENCE, SINGLE_SHIFT, OLD_MOUSE, STRING, STRING_ESCAPE, MULTIBYTE
    }

    private final Consumer<Keystroke> out;
    private final StringBuilder sequence = new StringBuilder();
    private State state = State.GROUND;
    private int stringLength;
    private int point;
    private int bytesLeft;
    private int leastPoint;
    private boolean pasting;

    KeyDecoder(Consumer<Keystroke> out) {
        this.out = out;
    }

    /** Nothing has arrived for a while: a lone escape byte was the Escape key, and anything else unfinished is dropped. */
    void pause() {
        boolean escape = state == State.ESCAPE && !pasting;
        state = State.GROUND;
        pasting = false;
        if (escape) {
            named(Name.ESCAPE);
        }
    }

    /** Whether {@link #pause} would change anything. */
    boolean unfinished() {
        return state != State.GROUND || pasting;
    }

    void accept(int octet) {
        int value = octet & 0xff;
        switch (state) {
            case GROUND -> ground(value);
            case ESCAPE -> escape(value);
            case SEQUENCE -> sequence(value);
            case SINGLE_SHIFT -> {
                state = State.GROUND;
                cursorKey(value);
            }
            case OLD_MOUSE -> oldMouse(value);
            case STRING, STRING_ESCAPE -> string(value);
            case MULTIBYTE -> multibyte(value);
        }
    }

    private void ground(int value) {
        switch (value) {
            case 0x1b -> state = State.ESCAPE;
            case 0x03 -> {
                if (!pasting) {
                    named(Name.INTERRUPT);
                }
            }
            case 0x09 -> named(Name.TAB);
            case 0x0a, 0x0d -> named(Name.ENTER);
            case 0x0c -> named(Name.REDRAW);
            default -> {
                if (value >= 0x20 && value < 0x7f) {
                    typed(value);
                } else if (value >= 0xc2 && value <= 0xf4) {
                    startMultibyte(value);
                }
            }
        }
    }

    private void startMultibyte(int value) {
        state = State.MULTIBYTE;
        if (value < 0xe0) {
            bytesLeft = 1;
            point = value & 0x1f;
            leastPoint = 0x80;
        } else if (value < 0xf0) {
            bytesLeft = 2;
            point = value & 0x0f;
            leastPoint = 0x800;
        } else {
            bytesLeft = 3;
            point = value & 0x07;
            leastPoint = 0x10000;
        }
    }

    private void multibyte(int value) {
        if ((value & 0xc0) != 0x80) {
            state = State.GROUND;
            ground(value);
            return;
        }
        point = point << 6 | value & 0x3f;
        if (--bytesLeft == 0) {
            state = State.GROUND;
            if (point >= leastPoint && Character.isValidCodePoint(point)
                    && Character.getType(point) != Character.SURROGATE && !Character.isISOControl(point)) {
                typed(point);
            }
        }
    }

    private void escape(int value) {
        switch (value) {
            case '[' -> {
                sequence.setLength(0);
                state = State.SEQUENCE;
            }
            case 'O' -> state = State.SINGLE_SHIFT;
            // Device control, operating system command, privacy message, application command, start of string.
            case 'P', ']', '^', '_', 'X' -> {
                stringLength = 0;
                state = State.STRING;
            }
            case 0x1b -> named(Name.ESCAPE);
            case 0x03 -> {
                state = State.GROUND;
                ground(value);
            }
            // A letter with Alt means nothing here; it must not press the button of the bare letter.
            default -> state = State.GROUND;
        }
    }

    private void string(int value) {
        if (value == 0x03) {
            state = State.GROUND;
            ground(value);
        } else if (value == 0x07 || state == State.STRING_ESCAPE && value == '\\' || ++stringLength > LONGEST_STRING) {
            state = State.GROUND;
        } else {
            state = value == 0x1b ? State.STRING_ESCAPE : State.STRING;
        }
    }

    private void sequence(int value) {
        if (value >= 0x40 && value <= 0x7e) {
            state = State.GROUND;
            finish((char) value);
        } else if (value >= 0x20 && value <= 0x3f) {
            sequence.append((char) value);
            if (sequence.length() > LONGEST_SEQUENCE) {
                state = State.GROUND;
            }
        } else {
            state = State.GROUND;
            ground(value);
        }
    }

    private void finish(char last) {
        String parameters = sequence.toString();
        if (last == '~' && parameters.equals("200")) {
            pasting = true;
        } else if (last == '~' && parameters.equals("201")) {
            pasting = false;
        } else if ((last == 'M' || last == 'm') && parameters.startsWith("<")) {
            mouse(parameters.substring(1), last == 'm');
        } else if (last == 'M' && parameters.isEmpty()) {
            sequence.setLength(0);
            state = State.OLD_MOUSE;
        } else if (last == 'Z') {
            named(Name.BACK_TAB);
        } else {
            cursorKey(last);
        }
    }

    private void cursorKey(int last) {
        switch (last) {
            case 'A' -> named(Name.UP);
            case 'B' -> named(Name.DOWN);
            case 'C' -> named(Name.RIGHT);
            case 'D' -> named(Name.LEFT);
            case 'M' -> named(Name.ENTER);
            case 0x1b -> state = State.ESCAPE;
            case 0x03 -> named(Name.INTERRUPT);
            default -> {
            }
        }
    }

    private void mouse(String parameters, boolean up) {
        String[] fields = parameters.split(";", -1);
        if (fields.length != 3) {
            return;
        }
        int button = number(fields[0]);
        int x = number(fields[1]);
        int y = number(fields[2]);
        if (button >= 0 && x >= 1 && y >= 1) {
            mouse(button, x - 1, y - 1, up);
        }
    }

    private void oldMouse(int value) {
        if (value < 0x20) {
            state = State.GROUND;
            ground(value);
            return;
        }
        sequence.append((char) value);
        if (sequence.length() == 3) {
            state = State.GROUND;
            int button = sequence.charAt(0) - 32;
            int x = sequence.charAt(1) - 33;
            int y = sequence.charAt(2) - 33;
            if (button >= 0 && x >= 0 && y >= 0) {
                mouse(button, x, y, (button & 0xc3) == 3);
            }
        }
    }

    /** Bits 2 to 4 are Shift, Alt and Ctrl; bit 5 is motion; bit 6 marks the wheel. */
    private void mouse(int report, int x, int y, boolean up) {
        int button = report & 0xc3;
        boolean motion = (report & 0x20) != 0;
        if (up) {
            emit(new MouseUp());
        } else if (button == 0 && !motion) {
            emit(new MouseDown(x, y));
        } else if (button == 64 || button == 65) {
            emit(new Wheel(x, y, button == 64 ? 1 : -1));
        }
    }

    /** 0 to 65535, or -1 for anything else. */
    private static int number(String digits) {
        if (digits.isEmpty() || digits.length() > 5 || !digits.chars().allMatch(c -> c >= '0' && c <= '9')) {
            return -1;
        }
        int number = Integer.parseInt(digits);
        return number > 65_535 ? -1 : number;
    }

    private void typed(int typed) {
        emit(new Typed(typed));
    }

    private void named(Name name) {
        emit(new Named(name));
    }

    /** What is pasted into the window by mistake must not press buttons. */
    private void emit(Keystroke keystroke) {
        if (!pasting) {
            out.accept(keystroke);
        }
    }
}
