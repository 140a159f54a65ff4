#include "offnominal/audit.hpp"

#include "checks.hpp"
#include "page_labels.hpp"
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
    if (page.nodes.size() != PageShape(page).nodes())
        throw InputError({}, "the page has " + std::to_string(page.nodes.size()) + " nodes", {},
                         std::to_string(PageShape(page).nodes()) + " nodes, one for each combination of the axes");
    Audit out;
    PrintedPage right;
    std::vector<std::size_t> from;
    detail::PageLabels labels(basis, page);
    out.suspects = labels.suspects(right, from);
    detail::PageAuditor auditor(basis, right, labels.roughness());
    auditor.run();
    for (const PrintedNode& node : page.nodes)
        out.nodes += node.mark == Mark::printed || node.mark == Mark::dry ? 1 : 0;
    for (Suspect& s : detail::SuspectRanking(right, auditor).suspects()) {
        if (s.node) s.node = from[*s.node];
        if (s.source) s.source = from[*s.source];
        out.suspects.push_back(std::move(s));
    }
    out.questions = detail::PageQuestions(basis, right, auditor).all();
    out.leave_one_out = detail::leave_one_out(right, auditor);
    for (LeaveOneOut& l : out.leave_one_out) l.at = from[l.at];
    return out;
}

}  // namespace offnominal
