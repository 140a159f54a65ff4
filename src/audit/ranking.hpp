/// @file
/// From judged cells to ranked suspects: rows that belong to a neighbour, the slip that explains a cell, places.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "auditor.hpp"
#include "page_units.hpp"
#include "slips.hpp"

namespace offnominal::detail {

class SuspectRanking {
   public:
    SuspectRanking(const PrintedPage& page, const PageAuditor& auditor)
        : page_(page), auditor_(auditor), shape_(auditor.shape()) {
        for (const AuditColumn& c : auditor_.columns())
            if (c.role == "total" || c.role == "sensible" || c.role == "power" || c.role == "bypass")
                outputs_.push_back(&c);
        find_typed_order();
    }

    /// The columns in another unit.
    [[nodiscard]] std::vector<Suspect> slipped() const {
        std::vector<Suspect> out;
        for (const auto& [c, factor] : auditor_.slipped()) out.push_back(slipped_column(*c, factor));
        return out;
    }
    [[nodiscard]] std::vector<Suspect> suspects() const {
        std::vector<Suspect> out = slipped();
        for (std::size_t n = 0; n < shape_.nodes(); ++n) {
            const auto row = row_suspect(n);
            if (row) out.push_back(*row);
            for (const AuditColumn& c : auditor_.columns()) {
                const bool part_of_row = row && std::find(outputs_.begin(), outputs_.end(), &c) != outputs_.end();
                if (!part_of_row && c.notable(n) && !c.same_as_row[n]) out.push_back(cell_suspect(c, n));
            }
        }
        std::stable_sort(out.begin(), out.end(), [](const Suspect& a, const Suspect& b) { return a.score > b.score; });
        return out;
    }

   private:
    /// The rows above and below each in the typed table; without places, in the order of the nodes.
    void find_typed_order() {
        std::vector<std::size_t> order(shape_.nodes());
        for (std::size_t n = 0; n < order.size(); ++n) order[n] = n;
        if (page_.places.size() == order.size())
            std::stable_sort(order.begin(), order.end(),
                             [&](std::size_t a, std::size_t b) { return page_.places[a].line < page_.places[b].line; });
        near_.resize(order.size());
        for (std::size_t i = 0; i + 1 < order.size(); ++i) {
            near_[order[i]].push_back(order[i + 1]);
            near_[order[i + 1]].push_back(order[i]);
        }
        for (std::size_t n = 0; n < order.size(); ++n)
            for (std::size_t a = 0; a < page_axes; ++a) {
                const auto axis = static_cast<PageAxis>(a);
                const std::size_t i = shape_.index(n, axis);
                if (i > 0) near_[n].push_back(shape_.moved(n, axis, i - 1));
                if (i + 1 < shape_.size(axis)) near_[n].push_back(shape_.moved(n, axis, i + 1));
            }
    }
    [[nodiscard]] InputError::Place place(std::size_t n) const {
        return n < page_.places.size() ? page_.places[n] : InputError::Place{};
    }
    [[nodiscard]] bool has(std::size_t n) const { return outputs_.front()->has(n); }

    [[nodiscard]] bool same_row(std::size_t a, std::size_t b) const {
        return has(b) && std::all_of(outputs_.begin(), outputs_.end(),
                                     [&](const AuditColumn* c) { return c->values[a] == c->values[b]; });
    }
    /// Whether what is printed at `a` is what a smooth page has at `b`, in every column, and at `a` is not.
    [[nodiscard]] bool belongs_to(std::size_t a, std::size_t b) const {
        int told_apart = 0;
        for (const AuditColumn* c : outputs_) {
            const Judged& j = c->judged[b];
            if (!has(b) || !j.known) return false;
            const double close = std::max(2.0 * c->step, 3.0 * j.spread);
            if (std::abs(c->values[a] - j.implied) > close) return false;
            told_apart += c->notable(a) ? 1 : 0;
        }
        return told_apart >= 2;
    }

    [[nodiscard]] std::optional<Suspect> row_suspect(std::size_t n) const {
        if (!has(n) || outputs_.size() < 2) return std::nullopt;
        Suspect out;
        for (const AuditColumn* c : outputs_) {
            if (!c->notable(n) || c->same_as_row[n]) continue;
            out.score = std::max(out.score, c->score(n));
            out.checks.add(c->failed[n]);
        }
        if (out.checks.empty()) return std::nullopt;
        const auto same = std::find_if(near_[n].begin(), near_[n].end(), [&](std::size_t m) { return same_row(n, m); });
        const auto whose = same != near_[n].end() ? same
                                                  : std::find_if(near_[n].begin(), near_[n].end(),
                                                                 [&](std::size_t m) { return belongs_to(n, m); });
        if (whose == near_[n].end()) return std::nullopt;
        const AuditColumn& total = *outputs_.front();
        out.column = "row";
        out.node = n;
        out.place = place(n);
        out.cell = cell_name(page_, shape_, n);
        for (const AuditColumn* c : outputs_) {
            out.typed += (out.typed.empty() ? "" : " ") + c->text(n);
            const std::string meant = c->shown(auditor_.implied(*c, n));
            out.guess += (out.guess.empty() ? "" : " ") + meant;
            add_edit(out, c->role + at_dry_bulb(*c, n), c->text(n), meant);
        }
        out.unit = total.unit;
        out.printed = total.values[n];
        out.implied = auditor_.implied(total, n);
        out.spread = total.judged[n].spread;
        out.checks.add(Check::row);
        out.slip = same != near_[n].end() ? Slip::repeated_row : Slip::shifted_row;
        out.source = *whose;
        return out;
    }

    /// `@80`: which of a row's sensible columns, in the unit of the page's temperatures.
    [[nodiscard]] std::string at_dry_bulb(const AuditColumn& c, std::size_t n) const {
        if (c.role != "sensible" || !shape_.has(PageAxis::entering_dry_bulb)) return {};
        Unit unit = units::degC;
        for (const TypedColumn& typed : page_.typed)
            if (typed.unit.dimension == Dimension::temperature) unit = typed.unit;
        return "@" + brief(unit.from_si(shape_.value(n, PageAxis::entering_dry_bulb)), 4);
    }

    [[nodiscard]] Suspect cell_suspect(const AuditColumn& c, std::size_t n) const {
        Suspect out;
        out.column = c.role + at_dry_bulb(c, n);
        out.node = n;
        out.place = place(n);
        out.cell = cell_name(page_, shape_, n);
        out.typed = c.text(n);
        out.unit = c.unit;
        out.printed = c.values[n];
        out.checks = c.failed[n];
        out.score = c.score(n);
        const Judged& j = c.judged[n];
        if (j.known) {
            out.implied = j.implied;
            out.spread = j.spread;
            explain_slip(c, n, out);
        }
        if (c.values[n] == 0.0) out.slip = Slip::blank_as_zero;
        if (!out.guess.empty() && out.slip != Slip::blank_as_zero) add_edit(out, out.column, out.typed, out.guess);
        return out;
    }
    /// A dry sensible stays dry.
    static void add_edit(Suspect& out, const std::string& column, const std::string& typed, const std::string& meant) {
        if (out.place.line == 0) return;
        const bool dry = !typed.empty() && typed.back() == 'd';
        out.edits.push_back({out.place.line, column, typed, meant + (dry ? "d" : ""), false});
    }

    /// The slip that comes nearest to what is implied. A value that stands beside it in print is a better explanation
    /// than a digit that could be any.
    void explain_slip(const AuditColumn& c, std::size_t n, Suspect& out) const {
        const double in_unit = c.unit.over / c.unit.times;
        const double close = std::max(c.judged[n].spread, 0.5 * c.step) * in_unit;
        const Guess guess = SlipSearch(out.typed, c.unit.from_si(c.judged[n].implied), close, c.step * in_unit).best();
        out.slip = guess.slip;
        out.guess = guess.meant;
        const bool certain =
            guess.slip == Slip::sign || guess.slip == Slip::swapped_digits || guess.slip == Slip::decimal_point;
        if (certain) return;
        const auto neighbour =
            std::find_if(near_[n].begin(), near_[n].end(), [&](std::size_t m) { return c.values[m] == c.values[n]; });
        if (neighbour != near_[n].end() &&
            std::abs(c.judged[n].implied - c.values[n]) > Surface::notable_steps * c.step) {
            out.slip = Slip::neighbour;
            out.source = *neighbour;
            out.guess = c.shown(c.judged[n].implied);
        }
    }

    [[nodiscard]] Suspect slipped_column(const AuditColumn& c, double factor) const {
        Suspect out;
        out.column = c.role;
        for (std::size_t n = 0; n < c.values.size() && out.typed.empty(); ++n) {
            if (!c.has(n)) continue;
            out.place = place(n);
            out.typed = c.text(n);
            out.printed = c.values[n];
            out.implied = c.values[n] * factor;
        }
        out.unit = c.unit;
        if (const auto meant = unit_by_factor(c.unit, factor)) {
            out.guess = meant->name;
            if (out.place.line > 0)
                out.edits.push_back({out.place.line, c.role, std::string(c.unit.name), out.guess, true});
        }
        out.checks.add(Check::unit);
        out.slip = factor == 10.0 || factor == 0.1 ? Slip::decimal_point : Slip::unit;
        out.score = 1000.0;
        return out;
    }

    const PrintedPage& page_;
    const PageAuditor& auditor_;
    const PageShape& shape_;
    std::vector<const AuditColumn*> outputs_;
    std::vector<std::vector<std::size_t>> near_;  ///< of each node: neighbours in the typed table and along the axes
};

/// For each axis and column the distance of every wet node from the straight line between its neighbours.
[[nodiscard]] inline std::vector<LeaveOneOut> leave_one_out(const PrintedPage& page, const PageAuditor& auditor) {
    std::vector<LeaveOneOut> out;
    const PageShape& shape = auditor.shape();
    const auto wet = [&](std::size_t n) { return page.nodes[n].mark == Mark::printed; };
    for (std::size_t a = 0; a < page_axes; ++a) {
        const auto axis = static_cast<PageAxis>(a);
        const auto& x = shape.breakpoints(axis);
        if (x.size() < 3) continue;
        for (const AuditColumn& c : auditor.columns()) {
            LeaveOneOut one{axis, c.role, 0, 0.0, 0.0, 0};
            double squares = 0.0;
            for (std::size_t n = 0; n < shape.nodes(); ++n) {
                const std::size_t i = shape.index(n, axis);
                if (i == 0 || i + 1 == x.size()) continue;
                const std::size_t low = n - shape.stride(axis), high = n + shape.stride(axis);
                if (!wet(n) || !wet(low) || !wet(high) || !c.has(n) || !c.has(low) || !c.has(high) ||
                    c.values[n] == 0.0)
                    continue;
                if (c.notable(n) || c.notable(low) || c.notable(high)) continue;  // suspects are no interpolation error
                const double t = (x[i] - x[i - 1]) / (x[i + 1] - x[i - 1]);
                const double off = (c.values[low] + t * (c.values[high] - c.values[low])) / c.values[n] - 1.0;
                squares += off * off;
                ++one.nodes;
                if (std::abs(off) < std::abs(one.worst)) continue;
                one.worst = off;
                one.at = n;
            }
            if (one.nodes == 0) continue;
            one.rms = std::sqrt(squares / static_cast<double>(one.nodes));
            out.push_back(std::move(one));
        }
    }
    return out;
}

}  // namespace offnominal::detail
