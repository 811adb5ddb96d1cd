package bellpush.config.load.shape;

/**
 * Where in a file a value stands, for sentences.
 *
 * @param name  begins a sentence: {@code "pin"}
 * @param about a sentence on what the value there is for
 */
public record Place(String name, String about) {}
