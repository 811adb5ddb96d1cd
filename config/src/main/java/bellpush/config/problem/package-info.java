/** What is wrong with a site, in words for the person who will mend it: found, where, why it matters, the cure. */
package bellpush.config.problem;
