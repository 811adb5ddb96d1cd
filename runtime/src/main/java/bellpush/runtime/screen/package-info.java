/**
 * The panel drawn in a terminal. What is shown is a {@link bellpush.runtime.screen.Scene}, painted on a canvas of cells by pure
 * code; what is typed or clicked is decoded by pure code; only {@code TerminalScreen} touches the terminal.
 */
package bellpush.runtime.screen;
