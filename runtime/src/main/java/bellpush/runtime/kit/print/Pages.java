package bellpush.runtime.kit.print;

import java.util.List;

/** What a layout has made. @param notes what the builder should know, in sentences */
record Pages(List<Sheet> sheets, List<String> notes) {
    Pages {
        sheets = List.copyOf(sheets);
        notes = List.copyOf(notes);
    }
}
