/** The command line: what a person types, and what it answers. */
package bellpush.runtime.cli;
