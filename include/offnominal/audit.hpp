/// @file
/// The audit of a printed page: what a tired typist got wrong, and what the page leaves open.
///
///     const Audit audit = offnominal::audit(stage.table);
///     for (const Suspect& s : audit.suspects) ...      // the most suspect first
///
/// It never corrects anything: it names the cell, what the rest of the page implies, and why, and the typist looks at
/// the print again. A page that `RatingTable` refuses can be audited all the same. May allocate and throw.
#pragma once

#include "offnominal/audit/checks.hpp"
#include "offnominal/audit/printed_part.hpp"
#include "offnominal/audit/questions.hpp"
#include "offnominal/audit/ranking.hpp"
#include "offnominal/audit/suspect.hpp"
#include "offnominal/ratings/rating_table.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// Audits a page. It takes milliseconds; of ten thousand nodes some seconds.
/// @throws InputError if the nodes do not fit the axes
[[nodiscard]] inline Audit audit(const Basis& basis, const PrintedPage& page) {
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

/// Audits the page of a table.
[[nodiscard]] inline Audit audit(const RatingTable& table) { return audit(table.basis(), table.page()); }

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
