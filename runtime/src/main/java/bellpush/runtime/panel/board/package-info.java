/** The panel on a real board: which control and which lamp is which pin of the header, of a chip, of a strip. */
package bellpush.runtime.panel.board;
