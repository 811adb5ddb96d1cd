/**
 * The packaged program on a real kernel: what {@code tests/board/run} starts inside an emulated machine, where the kernel
 * simulates a GPIO chip. It stands outside the program: it closes contacts, plays the gear with sockets of its own, and looks at
 * outputs through the kernel. It uses nothing but the JDK, and no class of the program.
 */
package bellpush.tests.board;
