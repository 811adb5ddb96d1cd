/** JSON as a tree in which every key and value knows its line and column. Comments and trailing commas are accepted. */
package bellpush.config.json;
