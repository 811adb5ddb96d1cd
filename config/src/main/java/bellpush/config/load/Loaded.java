package bellpush.config.load;

import bellpush.config.model.Accepted;
import bellpush.config.model.Rehearsal;
import bellpush.config.model.Site;
import bellpush.config.problem.Problem;
import java.util.List;
import java.util.Optional;

/**
 * What came of loading a folder.
 *
 * @param site       present if there is no error; warnings do not keep it away
 * @param rehearsals by file name; empty if there is an error
 * @param accepted   what check may find without a fault; empty if there is an error
 * @param problems   by file, line and column
 * @param files      how many files were read
 */
public record Loaded(Optional<Site> site, List<Rehearsal> rehearsals, List<Accepted> accepted,
        List<Problem> problems, int files) {}
