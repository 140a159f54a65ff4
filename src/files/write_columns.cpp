#include "write_columns.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace offnominal::files {
namespace {

[[noreturn]] void refuse(const std::string& stage, const std::string& problem, const std::string& text,
                         const std::string& accepted) {
    throw InputError({}, "stage '" + stage + "' cannot be written: " + problem, text, accepted);
}

/// The multiplier row of one axis: its factors give the nodes elsewhere on the axis from those where the page is
/// printed, bit for bit.
class MultiplierRow {
   public:
    /// @param nodes  those that the row makes
    MultiplierRow(const PageTable& page, const MultiplierAxis& axis, const std::vector<std::size_t>& nodes)
        : page_(page), axis_(axis), nodes_(nodes) {
        if (axis_.typed.empty())
            find();
        else
            take();
    }

    /// The nodes that are printed themselves.
    [[nodiscard]] std::vector<std::size_t> printed() const {
        std::vector<std::size_t> out;
        for (const std::size_t n : nodes_)
            if (index(n) == printed_) out.push_back(n);
        return out;
    }

    [[nodiscard]] TableText table() const {
        const OutColumn& values = column(axis_.role);
        TableText out{{axis_.role}, {std::string(values.text.unit.name)}};
        out.resize(axis_.size + 2);
        for (const std::size_t n : nodes_)
            if (std::vector<std::string>& row = out[index(n) + 2]; row.empty()) row.push_back(values.text.texts[n]);
        for (const OutColumn& factor : factors_) {
            out[0].push_back(factor.role);
            out[1].emplace_back(factor.text.unit.name);
            for (std::size_t a = 0; a < axis_.size; ++a) out[a + 2].push_back(factor.text.texts[a]);
        }
        return out;
    }

   private:
    [[nodiscard]] std::size_t index(std::size_t node) const { return node / axis_.stride % axis_.size; }
    [[nodiscard]] const OutColumn& column(std::string_view role) const {
        return *std::ranges::find(page_.columns, role, &OutColumn::role);
    }

    /// The factors as typed; the page is printed where its own texts stand.
    void take() {
        factors_ = typed_columns(axis_.typed, axis_.size);
        const std::vector<std::string>& texts = column(page_.outputs.front().role).text.texts;
        for (const std::size_t n : nodes_)
            if (texts[n] != "-") printed_ = index(n);
    }

    /// The factors that are shortest; that is how the value is found that the page is printed at.
    void find() {
        std::size_t least = none;
        for (std::size_t at = 0; at < axis_.size; ++at) {
            std::vector<OutColumn> tried;
            std::size_t size = 0;
            for (const FactorOutput& output : page_.outputs) {
                OutColumn& factor = tried.emplace_back(OutColumn{output.role, {units::one, {}}});
                for (std::size_t to = 0; to < axis_.size; ++to) {
                    const std::string& text =
                        factor.text.texts.emplace_back(to == at ? "1" : factor_text(output, at, to));
                    size = text.empty() || size == none ? none : size + text.size();
                }
            }
            if (size >= least) continue;
            least = size;
            printed_ = at;
            factors_ = std::move(tried);
        }
        if (factors_.empty())
            refuse(page_.stage, "no " + std::string(axis_.key) + " give its nodes", {},
                   "a page that such factors make");
    }

    [[nodiscard]] std::string factor_text(const FactorOutput& output, std::size_t at, std::size_t to) const {
        std::vector<std::pair<double, double>> products;
        double least = 1.0;
        for (const std::size_t n : nodes_) {
            if (index(n) != to) continue;
            const double from = output.values[n - to * axis_.stride + at * axis_.stride];
            if (std::isnan(from)) continue;
            if (!std::isnan(output.values[n]))
                products.emplace_back(from, output.values[n]);
            else if (!output.at_least.empty() && !std::isnan(output.at_least[n]))
                least = std::max(least, output.at_least[n] / from);
        }
        if (products.empty()) return number_text(std::ceil(least * 1000.0) / 1000.0);
        return number_text(products.front().second / products.front().first, [&](double factor) {
            return std::ranges::all_of(products, [&](const auto& p) { return p.first * factor == p.second; });
        });
    }

    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    const PageTable& page_;
    const MultiplierAxis& axis_;
    const std::vector<std::size_t>& nodes_;
    std::size_t printed_ = 0;
    std::vector<OutColumn> factors_;
};

}  // namespace

TableText table_of(const std::vector<OutColumn>& columns) {
    const std::size_t nodes = columns.front().text.texts.size();
    TableText rows(nodes + 2);
    for (const OutColumn& column : columns) {
        rows[0].push_back(column.role);
        rows[1].emplace_back(column.text.unit.name);
        for (std::size_t n = 0; n < nodes; ++n) rows[n + 2].push_back(column.text.texts[n]);
    }
    return rows;
}

std::vector<OutColumn> typed_columns(const std::vector<TypedColumn>& typed, std::size_t nodes) {
    std::vector<OutColumn> out;
    for (const TypedColumn& column : typed) {
        std::vector<std::string>& texts =
            out.emplace_back(OutColumn{column.role, {column.unit, column.texts}}).text.texts;
        texts.resize(nodes);
        for (std::string& text : texts)
            if (text.empty()) text = "-";
    }
    return out;
}

OutColumn made_column(const std::string& stage, const std::string& role, const std::vector<double>& si,
                      const std::vector<Unit>& units, double step) {
    OutColumn out{role, step > 0.0 ? column_text(si, units, step) : column_text(si, units)};
    if (out.text.texts.empty())
        refuse(stage, "column '" + role + "' is not in steps of what the page says is its last printed place",
               number_text(step), "numbers rounded to that, or 0 for a column that was never printed");
    return out;
}

void PageTable::write(YamlFile& file) && {
    std::vector<std::pair<const char*, TableText>> rows;
    std::vector<std::size_t> kept(nodes);
    for (std::size_t n = 0; n < nodes; ++n) kept[n] = n;
    for (auto axis = multiplied.rbegin(); axis != multiplied.rend(); ++axis) {
        const MultiplierRow row(*this, *axis, kept);
        rows.emplace_back(axis->key, row.table());
        kept = row.printed();
    }
    for (OutColumn& column : columns) {
        std::vector<std::string> texts;
        texts.reserve(kept.size());
        for (const std::size_t n : kept) texts.push_back(std::move(column.text.texts[n]));
        column.text.texts = std::move(texts);
    }
    for (const std::string_view role : may_be_one) {
        const auto column = std::ranges::find(columns, role, &OutColumn::role);
        if (column == columns.end()) continue;
        const std::vector<std::string>& texts = column->text.texts;
        if (std::ranges::any_of(texts, [&](const std::string& text) { return text != texts.front(); })) continue;
        if (texts.front() == "-") continue;
        const std::string_view unit = column->text.unit.name;
        file.pair(role, unit == "1" ? texts.front() : texts.front() + " " + std::string(unit));
        columns.erase(column);
    }
    for (auto row = rows.rbegin(); row != rows.rend(); ++row) file.table(row->first, row->second);
    file.table("table", table_of(columns));
}

}  // namespace offnominal::files
