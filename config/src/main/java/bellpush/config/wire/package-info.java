/**
 * Text and hex templates of a kind: compiled once when a site is loaded, then encoding and matching messages without
 * further checks of their own spelling. Compiled templates are immutable and may be used from any thread.
 */
package bellpush.config.wire;
