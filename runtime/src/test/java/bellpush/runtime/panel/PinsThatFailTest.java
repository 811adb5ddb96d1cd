package bellpush.runtime.panel;

import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.mockito.ArgumentMatchers.any;
import static org.mockito.Mockito.doThrow;
import static org.mockito.Mockito.mock;
import static org.mockito.Mockito.verify;
import static org.mockito.Mockito.when;

import bellpush.runtime.panel.PinBank.In;
import bellpush.runtime.panel.PinBank.Out;
import bellpush.runtime.panel.PinBank.Pull;
import com.pi4j.context.Context;
import com.pi4j.context.ContextProperties;
import com.pi4j.exception.Pi4JException;
import com.pi4j.io.exception.IOException;
import com.pi4j.io.gpio.digital.DigitalInput;
import com.pi4j.io.gpio.digital.DigitalInputConfig;
import com.pi4j.io.gpio.digital.DigitalOutput;
import com.pi4j.io.gpio.digital.DigitalOutputConfig;
import com.pi4j.io.gpio.digital.DigitalState;
import java.util.List;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;

/** What no provider of Pi4J does on demand: pins that may not be used, and a chip that goes away while it is in use. */
class PinsThatFailTest {
    private final List<In> inputs = List.of(new In(5, Pull.UP, true));
    private final List<Out> outputs = List.of(new Out(6, false));
    private final Context pi4j = mock(Context.class);
    private final DigitalOutput lamp = mock(DigitalOutput.class);
    private final DigitalInput contact = mock(DigitalInput.class);

    @BeforeEach
    void pins() {
        when(pi4j.properties()).thenReturn(mock(ContextProperties.class));
        when(pi4j.create(any(DigitalOutputConfig.class))).thenReturn(lamp);
        when(pi4j.create(any(DigitalInputConfig.class))).thenReturn(contact);
        when(contact.state()).thenReturn(DigitalState.HIGH);
    }

    @Test
    void aPinThatMayNotBeUsedIsSaidWithTheCure() {
        when(pi4j.create(any(DigitalInputConfig.class)))
                .thenThrow(new Pi4JException("Failed to request line", new IllegalStateException("Permission denied")));
        Pi4JBank bank = new Pi4JBank(pi4j, "test board");
        assertThatThrownBy(() -> bank.open(inputs, outputs, mock(PinListener.class))).isInstanceOf(PanelException.class)
                .hasMessageContaining("Permission denied").hasMessageContaining("usermod -aG gpio")
                .hasMessageNotContaining("Exception");
    }

    @Test
    void aLampWhoseChipIsGoneDoesNotKeepThePinsFromBeingGivenBack() {
        Pi4JBank bank = new Pi4JBank(pi4j, "test board");
        bank.open(inputs, outputs, mock(PinListener.class));
        doThrow(new IOException("No such device")).when(lamp).state(any());
        bank.close();
        verify(pi4j).shutdown();
    }
}
