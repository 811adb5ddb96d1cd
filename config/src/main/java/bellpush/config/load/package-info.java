/**
 * From a folder of JSON to a checked site. Start at {@link bellpush.config.load.SiteLoader}. Each file's shape is checked
 * first ({@code load.shape}); then readers make the model's records and complain about names, values and rules. A reader goes
 * on after a problem with a stand-in, so that all problems are found at once; a site with an error is never handed out.
 */
package bellpush.config.load;
