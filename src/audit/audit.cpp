#include "offnominal/audit.hpp"

#include "checks.hpp"
#include "printed_part.hpp"
#include "questions.hpp"
#include "ranking.hpp"

namespace offnominal {

Audit audit(const Basis& basis, const PrintedPage& page) {
    if (page.airflow_multiplied && page.airflow.size() > 1 && page.nodes.size() == PageShape(page).nodes()) {
        std::vector<std::size_t> from;
        Audit out = audit(basis, detail::printed_part(page, from));
        for (Suspect& s : out.suspects) {
            if (s.node) s.node = from[*s.node];
            if (s.source) s.source = from[*s.source];
        }
        for (LeaveOneOut& l : out.leave_one_out) l.at = from[l.at];
        return out;
    }
    detail::PageAuditor auditor(basis, page);
    auditor.run();
    Audit out;
    out.nodes = auditor.wet().size() + auditor.dry().size();
    out.suspects = detail::SuspectRanking(page, auditor).suspects();
    out.questions = detail::PageQuestions(basis, page, auditor).all();
    out.leave_one_out = detail::leave_one_out(page, auditor);
    return out;
}

}  // namespace offnominal
