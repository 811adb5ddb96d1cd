package bellpush.config.model;

import java.util.Map;

/**
 * The front of the panel, for drawing labels and a drilling plan. Millimetres, from the upper left corner.
 *
 * @param places where the middle of each control and lamp is; what is not in it is placed by its row
 */
public record Face(double widthMm, double heightMm, Map<String, Place> places) {
    public record Place(double xMm, double yMm) {}
}
