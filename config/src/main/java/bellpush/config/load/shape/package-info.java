/**
 * What each file of a site may look like, defined once: a shape checks a tree and also writes the JSON Schema (2020-12) that
 * editors use. Shapes know nothing of names, ranges and rules that span several places; those are checked while loading.
 */
package bellpush.config.load.shape;
