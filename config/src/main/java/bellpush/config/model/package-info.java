/**
 * The site as immutable values: what an admin wrote, after every check. Built by {@code bellpush.config.load};
 * read by drivers, core, simulators and checkers from any thread. Holds no sockets, pins, clocks or threads.
 */
package bellpush.config.model;
