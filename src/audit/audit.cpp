#include "offnominal/audit.hpp"

#include "apply.hpp"
#include "checks.hpp"
#include "heating_page.hpp"
#include "multiplier_rows.hpp"
#include "page_labels.hpp"
#include "page_units.hpp"
#include "printed_part.hpp"
#include "questions.hpp"
#include "ranking.hpp"

namespace offnominal {
namespace detail {
namespace {

/// The audit of a part of a page as one of the whole.
void renumber(Audit& audit, const std::vector<std::size_t>& from) {
    for (Suspect& s : audit.suspects) {
        if (s.node) s.node = from[*s.node];
        if (s.source) s.source = from[*s.source];
        for (std::size_t& n : s.block) n = from[n];
    }
    for (LeaveOneOut& l : audit.leave_one_out) l.at = from[l.at];
}

/// Whole columns in another unit, put right in `page` one after the other: the next is held against the last.
std::vector<Suspect> put_units_right(const Basis& basis, PageOf of, PrintedPage& page) {
    std::vector<Suspect> out;
    for (int round = 0; round < 3; ++round) {
        PageAuditor auditor(basis, page, of);
        auditor.run_units();
        if (auditor.slipped().empty()) break;
        for (Suspect& s : SuspectRanking(page, auditor).slipped()) {
            multiply_column(page, s.column, *s.implied / s.printed);
            out.push_back(std::move(s));
        }
    }
    if (const auto factor = of == PageOf::cooling ? airflow_factor(basis, page) : std::nullopt) {
        Suspect& s = out.emplace_back();
        LabelAxis axis;
        const PageShape shape(page);
        std::vector<std::size_t> index(shape.nodes());
        for (std::size_t n = 0; n < index.size(); ++n) index[n] = shape.index(n, PageAxis::airflow);
        add_labels(axis, page.typed, "airflow", page.airflow, index,
                   {Unit(units::scfm), Unit(units::L_s), Unit(units::m3_h)});
        s.column = "airflow";
        s.place = page.places.empty() ? InputError::Place{} : page.places.front();
        s.typed = axis.texts.front().front();
        s.unit = axis.units.front();
        s.printed = page.airflow.front();
        s.implied = page.airflow.front() * *factor;
        s.checks.add(Check::unit);
        s.slip = Slip::unit;
        s.score = 1000.0;
        if (const auto meant = unit_by_factor(s.unit, *factor)) {
            s.guess = meant->name;
            if (s.place.line > 0) s.edits.push_back({s.place.line, s.column, std::string(s.unit.name), s.guess, true});
        }
        for (double& flow : page.airflow) flow *= *factor;
        for (TypedColumn& column : page.typed)  // its texts no longer say its numbers
            if (column.role == "airflow") column.texts.clear();
    }
    return out;
}

/// Units first, then labels, then cells: each with what is wrong before it put right.
Audit audit_printed(const Basis& basis, const PrintedPage& page, PageOf of) {
    if (page.nodes.size() != PageShape(page).nodes())
        throw InputError({}, "the page has " + std::to_string(page.nodes.size()) + " nodes", {},
                         std::to_string(PageShape(page).nodes()) + " nodes, one for each combination of the axes");
    Audit out;
    PrintedPage in_units = page, right;
    out.suspects = put_units_right(basis, of, in_units);
    std::vector<std::size_t> from;
    PageLabels labels(basis, in_units, of);
    for (Suspect& s : labels.suspects(right, from)) out.suspects.push_back(std::move(s));
    PageAuditor auditor(basis, right, of, labels.roughness());
    auditor.run();
    for (const PrintedNode& node : page.nodes)
        out.nodes += node.mark == Mark::printed || node.mark == Mark::dry ? 1 : 0;
    Audit cells;
    cells.suspects = SuspectRanking(right, auditor).suspects();
    cells.leave_one_out = leave_one_out(right, auditor);
    renumber(cells, from);
    std::move(cells.suspects.begin(), cells.suspects.end(), std::back_inserter(out.suspects));
    out.leave_one_out = std::move(cells.leave_one_out);
    if (of == PageOf::cooling) out.questions = PageQuestions(basis, right, auditor).all();
    return out;
}

}  // namespace
}  // namespace detail

Audit audit(const Basis& basis, const PrintedPage& page) {
    if (!page.airflow_multiplied || page.airflow.size() < 2 || page.nodes.size() != PageShape(page).nodes())
        return detail::audit_printed(basis, page, detail::PageOf::cooling);
    std::vector<std::size_t> from;
    Audit out = detail::audit_printed(basis, detail::printed_part(page, from), detail::PageOf::cooling);
    detail::renumber(out, from);
    for (Suspect& s :
         detail::row_suspects("airflow", page.airflow, page.airflow_factors, detail::cooling_powers, page.typed))
        out.suspects.push_back(std::move(s));
    return out;
}

Audit audit(const HeatingBasis& basis, const HeatingPage& page, Frost frost) {
    Basis as_cooling;
    as_cooling.capacity = basis.capacity;
    as_cooling.fan = basis.fan;
    as_cooling.elevation = basis.elevation;
    std::vector<std::size_t> from;
    Audit out = detail::audit_printed(
        as_cooling, detail::as_printed_page(page, from),
        frost == Frost::instantaneous ? detail::PageOf::heating : detail::PageOf::heating_with_frost);
    detail::renumber(out, from);
    const auto rename = [](std::string& role) {
        if (role == "total") role = "capacity";
    };
    for (Suspect& s : out.suspects) {
        rename(s.column);
        for (Edit& edit : s.edits) rename(edit.column);
    }
    for (LeaveOneOut& l : out.leave_one_out) rename(l.column);
    for (Suspect& s :
         detail::row_suspects("airflow", page.airflow, page.airflow_factors, detail::heating_powers, page.typed))
        out.suspects.push_back(std::move(s));
    for (Suspect& s :
         detail::row_suspects("edb", page.entering_dry_bulb, page.edb_factors, detail::dry_bulb_slopes, page.typed))
        out.suspects.push_back(std::move(s));
    return out;
}

std::string Suspect::apply(std::string_view text) const {
    if (edits.empty()) throw InputError(place, "nobody can say what was meant", typed, "the number in print");
    detail::EditedText edited(text, place.file);
    for (const Edit& one : edits) edited.edit(one);
    return edited.text();
}

PrintedPage Suspect::apply(const PrintedPage& page) const {
    PrintedPage out = page;
    const PageShape shape(page);
    const auto unknown = [&]() -> InputError {
        return {place, "nobody can say what was meant", typed, "the number in print"};
    };
    const std::string role = column.substr(0, column.find('@'));
    if (!block.empty()) {
        if (!implied) throw unknown();
        for (const detail::NamedAxis& named : detail::named_axes) {
            if (role != named.role || shape.size(named.axis) < 2) continue;
            const std::size_t label = shape.index(block.front(), named.axis);
            if (named.axis == PageAxis::humidity && !page.pairs.empty()) continue;
            std::vector<double> labels = shape.breakpoints(named.axis);
            if (slip == Slip::exchanged_blocks)
                std::swap(labels[label], labels[shape.index(*source, named.axis)]);
            else
                labels[label] = *implied;
            std::vector<std::size_t> from(shape.nodes());
            detail::PageLabels::sort_axis(named.axis, labels, out, from);
            return out;
        }
        const std::size_t label = shape.index(block.front(), PageAxis::humidity);
        if (page.pairs.empty()) throw unknown();
        if (slip == Slip::exchanged_blocks)
            std::swap(out.pairs[label], out.pairs[shape.index(*source, PageAxis::humidity)]);
        else
            (role == "ewb" ? out.pairs[label].wet_bulb : out.pairs[label].dry_bulb) = *implied;
        return out;
    }
    const auto meant = detail::number_of(guess);
    double PrintedNode::*const member = detail::member_of(role);
    if (node && member != nullptr && meant) {
        out.nodes[*node].*member = unit.to_si(*meant);
        return out;
    }
    if (node || !implied || member == nullptr) throw unknown();
    detail::multiply_column(out, role, *implied / printed);
    return out;
}

}  // namespace offnominal
