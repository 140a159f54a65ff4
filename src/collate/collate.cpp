// Two systems held against each other, key by key and node by node.
#include <algorithm>
#include <cmath>

#include "collate/pages.hpp"
#include "offnominal/air.hpp"
#include "ranges.hpp"
#include "text/number.hpp"

namespace offnominal {
namespace files {
namespace {

using Kind = Difference::Kind;

std::optional<double> percent_of(double from, double to) {
    return from == 0.0 ? std::nullopt : std::optional(100.0 * (to - from) / from);
}

std::string with_unit(const std::string& text, std::string_view unit) {
    return text.empty() || unit == "1" ? text : text + " " + std::string(unit);
}

/// Facts that two transcriptions of one page need not share: their own name, who typed them, in which order.
bool is_of_print(const Fact& fact) {
    static constexpr std::string_view not_of_print[] = {"name", "source: transcriber", "source: checker", "matches",
                                                        "speed unit"};
    return ranges::find(not_of_print, fact.path) == std::end(not_of_print) && !fact.path.ends_with(": stages");
}

bool same(const Fact* a, const Fact* b, Sameness sameness) {
    const auto nothing = [](const Fact* fact) { return fact == nullptr || (!fact->si && fact->text.empty()); };
    if (nothing(a) || nothing(b)) return nothing(a) && nothing(b);
    if (!a->si || !b->si) return a->text == b->text;
    const double x = *a->si, y = *b->si;
    if (a->dimension != b->dimension) return false;
    return x == y || (sameness == Sameness::print && std::abs(x - y) <= 1e-9 * std::max(std::abs(x), std::abs(y)));
}

const Fact* find(const std::vector<Fact>& facts, const Fact& like, Sameness sameness) {
    const auto by = sameness == Sameness::bits ? &Fact::path : &Fact::key;
    const auto found = ranges::find(facts, like.*by, by);
    return found == facts.end() ? nullptr : &*found;
}

/// The same page in both.
class PagePair {
   public:
    PagePair(const PageColumns& first, const PageColumns& second, Sameness sameness, Collation& out)
        : pages_{&first, &second}, bits_(sameness == Sameness::bits), out_(out) {}

    void collate() {
        const PageColumns &a = *pages_[0], &b = *pages_[1];
        if (axes_of(a) != axes_of(b)) {
            differ(Kind::metadata, "axes", {}, axes_of(a), axes_of(b));
            out_.only_first += a.marks.size();
            out_.only_second += b.marks.size();
            return;
        }
        const Sameness sameness = bits_ ? Sameness::bits : Sameness::print;
        collate_facts(a.basis, b.basis, a.label(), sameness, out_.differences);
        const auto number = [](const std::optional<double>& x) { return x ? number_text(*x) : std::string(); };
        const auto flag = [](bool x) { return std::string(x ? "yes" : "no"); };
        if (a.speed != b.speed) differ(Kind::metadata, "speed", {}, number(a.speed), number(b.speed));
        if (a.infer != b.infer) differ(Kind::metadata, "infer", {}, flag(a.infer), flag(b.infer));
        if (a.points != b.points)
            differ(Kind::metadata, "indoor", {}, a.points ? "points" : "path", b.points ? "points" : "path");
        if (bits_ && a.multiplied != b.multiplied)
            differ(Kind::metadata, "factors", {}, flag(a.multiplied), flag(b.multiplied));
        for (const auto& column : a.columns)
            if (find(b, column.role) == nullptr) differ(Kind::column, {}, column.role, column.role, {});
        for (const auto& column : b.columns)
            if (find(a, column.role) == nullptr) differ(Kind::column, {}, column.role, {}, column.role);
        if (bits_) collate_steps();
        collate_nodes();
    }

   private:
    static std::string axes_of(const PageColumns& page) {
        std::string out;
        for (const PageColumns::Axis& axis : page.axes) out += (out.empty() ? "" : ", ") + axis.name;
        return out;
    }
    static const PageColumns::Column* find(const PageColumns& page, std::string_view role) {
        const auto found = ranges::find(page.columns, role, &PageColumns::Column::role);
        return found == page.columns.end() ? nullptr : &*found;
    }
    static const TypedColumn* typed(const PageColumns& page, std::string_view role) {
        const auto found = ranges::find(page.typed, role, &TypedColumn::role);
        return found == page.typed.end() ? nullptr : &*found;
    }
    /// The text of a cell without the mark of a dry coil, which is not part of its number.
    static std::string text(const PageColumns& page, std::string_view role, std::size_t node) {
        const TypedColumn* column = typed(page, role);
        if (column == nullptr) return {};
        const std::string& out = column->texts[node];
        return out.ends_with('d') ? out.substr(0, out.size() - 1) : out;
    }
    /// One unit in the last printed place of a typed axis, SI; nothing where it was not typed.
    static std::optional<double> typed_step(const PageColumns& page, std::string_view role) {
        const TypedColumn* column = typed(page, role);
        if (column == nullptr) return std::nullopt;
        int decimals = 0;
        Number number;
        for (const std::string& text : column->texts)
            if (!read_number(text, false, number)) decimals = std::max(decimals, number.decimals);
        const double step = column->unit.times / column->unit.over / std::pow(10.0, decimals);
        return column->unit.dimension == Dimension::mass_flow ? air::si::standard_from_dry_mass(step) : step;
    }

    [[nodiscard]] InputError::Place place(std::size_t which, std::size_t node) const {
        const auto& places = pages_[which]->places;
        return places.empty() ? InputError::Place{} : places[node];
    }
    /// `odb 95 degF, airflow 1000 scfm, ewb 63 degF`
    [[nodiscard]] std::string where(std::size_t which, std::size_t node) const {
        const PageColumns& page = *pages_[which];
        std::string out;
        for (std::size_t i = 0; i < page.axes.size(); ++i) {
            const PageColumns::Axis& axis = page.axes[i];
            for (std::size_t k = 0; k < axis.roles.size(); ++k) {
                const TypedColumn* column = typed(page, axis.roles[k]);
                const std::string told = column != nullptr
                                             ? with_unit(column->texts[node], column->unit.name)
                                             : quantity_text(axis.values[k][page.index(node, i)], axis.dimension);
                out += (out.empty() ? "" : ", ") + axis.roles[k] + " " + told;
            }
        }
        return out;
    }

    void differ(Kind kind, std::string where, std::string column, std::string first, std::string second) {
        out_.differences.push_back({kind,
                                    pages_[0]->label(),
                                    std::move(where),
                                    std::move(column),
                                    std::move(first),
                                    std::move(second),
                                    std::nullopt,
                                    {},
                                    {}});
    }
    void differ_at(Kind kind, std::size_t node, std::size_t other, const std::string& column, std::string first,
                   std::string second, std::optional<double> percent = std::nullopt) {
        out_.differences.push_back({kind, pages_[0]->label(), where(0, node), column, std::move(first),
                                    std::move(second), percent, place(0, node), place(1, other)});
    }
    void lonely(std::size_t which, std::size_t node) {
        ++(which == 0 ? out_.only_first : out_.only_second);
        const std::string at = where(which, node);
        const InputError::Place found = place(which, node);
        out_.differences.push_back({Kind::node,
                                    pages_[0]->label(),
                                    at,
                                    {},
                                    which == 0 ? at : std::string(),
                                    which == 1 ? at : std::string(),
                                    std::nullopt,
                                    which == 0 ? found : InputError::Place{},
                                    which == 1 ? found : InputError::Place{}});
    }
    void note_units(const std::string& role, const Unit& first, const Unit& second, bool first_is_coarser) {
        const Collation::Units noted{role, std::string(first.name), std::string(second.name), first_is_coarser};
        if (ranges::find(out_.units, noted) == out_.units.end()) out_.units.push_back(noted);
    }

    /// Last printed places: what a number was rounded to is a part of what is known of it.
    void collate_steps() {
        for (const auto& column : pages_[0]->columns) {
            const auto* other = find(*pages_[1], column.role);
            if (other == nullptr || std::abs(column.step - other->step) <= 1e-9 * column.step) continue;
            differ(Kind::digits, "last printed place", column.role, number_text(column.step), number_text(other->step));
        }
    }

    /// How far apart two breakpoints may be and still be the same: half the coarser of two printed steps where the
    /// units differ.
    double axis_tolerance(const std::string& role, const std::vector<double>& values) {
        if (bits_) return 0.0;
        double least = 1e-3;
        for (const double x : values) least = std::max(least, std::abs(x));
        least *= 1e-9;
        const TypedColumn *a = typed(*pages_[0], role), *b = typed(*pages_[1], role);
        if (a == nullptr || b == nullptr || a->unit.name == b->unit.name) return least;
        const double first = *typed_step(*pages_[0], role), second = *typed_step(*pages_[1], role);
        note_units(role, a->unit, b->unit, first >= second);
        return 0.5 * std::max(first, second) * (1.0 + 1e-9) + least;
    }

    /// For each breakpoint of the first page's axis the number of the same one of the second, or none.
    std::vector<std::size_t> matched(std::size_t axis) {
        const PageColumns::Axis &a = pages_[0]->axes[axis], &b = pages_[1]->axes[axis];
        std::vector<double> tolerance;
        for (std::size_t k = 0; k < a.roles.size(); ++k) tolerance.push_back(axis_tolerance(a.roles[k], a.values[k]));
        std::vector<std::size_t> out(a.size(), none);
        for (std::size_t i = 0; i < a.size(); ++i)
            for (std::size_t j = 0; j < b.size() && out[i] == none; ++j) {
                bool near = true;
                for (std::size_t k = 0; k < tolerance.size(); ++k)
                    near = near && std::abs(a.values[k][i] - b.values[k][j]) <= tolerance[k];
                if (near) out[i] = j;
            }
        return out;
    }

    void collate_nodes() {
        const PageColumns &a = *pages_[0], &b = *pages_[1];
        std::vector<std::vector<std::size_t>> to;
        for (std::size_t axis = 0; axis < a.axes.size(); ++axis) to.push_back(matched(axis));
        std::vector<bool> in_first(b.marks.size());
        for (std::size_t node = 0; node < a.marks.size(); ++node) {
            std::size_t other = 0;
            for (std::size_t axis = 0; axis < a.axes.size() && other != none; ++axis) {
                const std::size_t index = to[axis][a.index(node, axis)];
                other = index == none ? none : other * b.axes[axis].size() + index;
            }
            if (other == none) {
                lonely(0, node);
                continue;
            }
            in_first[other] = true;
            const std::size_t before = out_.differences.size();
            if (a.marks[node] != b.marks[other])
                differ_at(Kind::mark, node, other, {}, std::string(name(a.marks[node])),
                          std::string(name(b.marks[other])));
            for (const auto& column : a.columns)
                if (const auto* twin = find(b, column.role)) collate_cell(column, node, *twin, other);
            ++out_.nodes;
            out_.nodes_same += out_.differences.size() == before;
        }
        for (std::size_t node = 0; node < b.marks.size(); ++node)
            if (!in_first[node]) lonely(1, node);
    }

    void collate_cell(const PageColumns::Column& first, std::size_t node, const PageColumns::Column& second,
                      std::size_t other) {
        const PageColumns &a = *pages_[0], &b = *pages_[1];
        const double x = first.values[node], y = second.values[other];
        if (x == y && bits_) return;
        const std::string texts[] = {text(a, first.role, node), text(b, first.role, other)};
        const TypedColumn *typed_a = typed(a, first.role), *typed_b = typed(b, first.role);
        const Unit &unit_a = typed_a == nullptr ? first.unit : typed_a->unit,
                   &unit_b = typed_b == nullptr ? second.unit : typed_b->unit;
        const auto worded = [](const std::string& typed, double number, const Unit& unit) {
            return with_unit(typed.empty() ? rounded_text(number, 7) : typed, unit.name);
        };
        const std::string told_a = worded(texts[0], x, unit_a), told_b = worded(texts[1], y, unit_b);
        const bool both_typed = !texts[0].empty() && !texts[1].empty(), one_unit = unit_a.name == unit_b.name;
        const double apart = std::abs(x - y), tiny = 1e-9 * std::abs(x);
        const auto is_number = [](const std::string& typed) { return !typed.empty() && typed != "-" && typed != "x"; };
        if (std::isnan(x) && std::isnan(y)) {
            // Blank in both, but a total may be typed where sensible is blank.
            if (!bits_ && is_number(texts[0]) && is_number(texts[1]) && one_unit && texts[0] != texts[1])
                differ_at(Kind::value, node, other, first.role, told_a, told_b);
        } else if (std::isnan(x) || std::isnan(y)) {
            if (a.marks[node] == b.marks[other])
                differ_at(Kind::value, node, other, first.role, std::isnan(x) ? "" : told_a,
                          std::isnan(y) ? "" : told_b);
        } else if (!bits_ && !one_unit && apart <= 0.5 * std::max(first.step, second.step) * (1.0 + 1e-9) + tiny) {
            note_units(first.role, unit_a, unit_b, first.step >= second.step);
        } else if (one_unit && x == y) {
            if (both_typed && texts[0] != texts[1]) differ_at(Kind::digits, node, other, first.role, told_a, told_b);
        } else if (bits_ || both_typed || apart > tiny) {  // rounded differently where one was never typed
            differ_at(Kind::value, node, other, first.role, told_a, told_b, percent_of(x, y));
        }
    }

    static constexpr std::size_t none = static_cast<std::size_t>(-1);

    const PageColumns* pages_[2];
    bool bits_;
    Collation& out_;
};

}  // namespace

void collate_facts(const std::vector<Fact>& first, const std::vector<Fact>& second, const std::string& page,
                   Sameness sameness, std::vector<Difference>& out) {
    const auto compare = [&](const Fact& told, const Fact* a, const Fact* b) {
        if ((sameness == Sameness::print && !is_of_print(told)) || same(a, b, sameness)) return;
        const bool numbers = a != nullptr && b != nullptr && a->si && b->si;
        out.push_back({Kind::metadata,
                       page,
                       told.path,
                       {},
                       a == nullptr ? std::string() : a->text,
                       b == nullptr ? std::string() : b->text,
                       numbers ? percent_of(*a->si, *b->si) : std::nullopt,
                       {},
                       {}});
    };
    for (const Fact& fact : first) compare(fact, &fact, find(second, fact, sameness));
    for (const Fact& fact : second)
        if (find(first, fact, sameness) == nullptr) compare(fact, nullptr, &fact);
}

void collate_pages(const PageColumns& first, const PageColumns& second, Sameness sameness, Collation& out) {
    PagePair(first, second, sameness, out).collate();
}

std::string shown(const Difference& difference) {
    std::string out;
    for (const std::string& part : {difference.page, difference.where, difference.column})
        if (!part.empty()) out += (out.empty() ? "" : ": ") + part;
    return out;
}

}  // namespace files

Collation collate(const System& first, const System& second, Sameness sameness) {
    Collation out;
    files::collate_facts(facts(first), facts(second), {}, sameness, out.differences);
    const std::vector<PageColumns> pages = page_columns(first), others = page_columns(second);
    const auto like = [](const PageColumns& page) {
        return [&page](const PageColumns& other) {
            return page.frost == other.frost && page.match == other.match && page.stage == other.stage;
        };
    };
    for (const PageColumns& page : pages) {
        if (const auto other = ranges::find_if(others, like(page)); other != others.end()) {
            files::collate_pages(page, *other, sameness, out);
            continue;
        }
        out.differences.push_back({files::Kind::page, page.label(), {}, {}, page.label(), {}, std::nullopt, {}, {}});
        out.only_first += page.marks.size();
    }
    for (const PageColumns& page : others) {
        if (ranges::any_of(pages, like(page))) continue;
        out.differences.push_back({files::Kind::page, page.label(), {}, {}, {}, page.label(), std::nullopt, {}, {}});
        out.only_second += page.marks.size();
    }
    return out;
}

std::vector<Difference> differences(const System& first, const System& second, Sameness sameness) {
    return collate(first, second, sameness).differences;
}

bool operator==(const System& first, const System& second) {
    return differences(first, second, Sameness::bits).empty();
}

}  // namespace offnominal
