package bellpush.runtime.kit;

import java.util.List;

/**
 * What is wired to one chip.
 *
 * @param part    such as {@code MCP23017, 16 pins}
 * @param bus     with the address, where it has one; empty for a matrix
 * @param supply  what it needs to work, and its bus
 * @param pins    the panel's controls and lamps on it
 * @param advice  sentences
 */
record ChipTable(String name, String part, String bus, List<Row> supply, List<Row> pins, List<String> advice) {}
