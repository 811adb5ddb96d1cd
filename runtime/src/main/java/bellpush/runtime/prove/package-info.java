/**
 * Proves what a site promises before the doors open, or tells how it is broken.
 *
 * <p>The macros are run by the core itself, in virtual time, on gear that does what its kind declares. What anything stands at
 * before a press is not decided until a macro asks for it, and then each answer is tried that makes a difference; what it never
 * asks for can be anything. So a few ways through a macro stand for every state that it can be started in. Start at
 * {@link bellpush.runtime.prove.Prover}; one way is a {@link bellpush.runtime.prove.Trial} in a
 * {@link bellpush.runtime.prove.World}.
 *
 * <p>What is taken for granted: a device needs the whole of the time that is declared for it, takes messages in the order in which
 * they were sent, and refuses and loses none, except in the trials in which it is in trouble.
 */
package bellpush.runtime.prove;
