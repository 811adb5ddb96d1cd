package bellpush.runtime.kit.print;

import java.util.List;

/** One page, or one plate that is larger than a page. @param title for the file's own title, and for those who hear a page read */
record Sheet(String title, double widthMm, double heightMm, List<Mark> marks) {
    Sheet {
        marks = List.copyOf(marks);
    }
}
