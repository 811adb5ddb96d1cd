/**
 * What is printed for the panel, at true size: label strips, the face plate, the card for the volunteer. A layout makes sheets of marks
 * in millimetres; two writers turn the same sheets into PDF and SVG.
 */
package bellpush.runtime.kit.print;
