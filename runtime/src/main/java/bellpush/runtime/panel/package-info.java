/** The box: contacts in, lamps out. Pi4J on a board, an edge trace from a file, or a panel drawn in the terminal. */
package bellpush.runtime.panel;
