#include "read/table.hpp"

#include <algorithm>
#include <limits>

#include "ranges.hpp"
#include "read/beside.hpp"

namespace offnominal::files {
namespace {

/// One cell more in a line of a table or log; in a table a number may be two words, `1 1/8`.
void add_cell(std::vector<Cell>& out, const Cell& cell, bool is_log, const Text& text, int line, Budget& budget) {
    const Limits& limits = budget.limits();
    const Limit columns = is_log ? &Limits::log_columns : &Limits::columns;
    if (out.size() >= (is_log ? 1 : 2) * (limits.*columns)) budget.refuse(columns, text.place(line, cell.byte));
    if (!budget.take(&Limits::cells, 1)) budget.refuse(&Limits::cells, text.place(line, cell.byte));
    out.push_back(cell);
}

/// Words of a line of a block, without its comment. `offset` is where they begin in line `number` of the file.
std::vector<Cell> words_of(std::string_view line, int offset, const Text& file, int number, Budget& budget) {
    std::vector<Cell> out;
    const std::string_view text = line.substr(0, line.find('#'));
    for (std::size_t at = 0; (at = text.find_first_not_of(" \t\r", at)) != std::string_view::npos;) {
        const std::size_t end = std::min(text.find_first_of(" \t\r", at), text.size());
        Cell cell;
        cell.text = text.substr(at, end - at);
        cell.byte = offset + static_cast<int>(at);
        add_cell(out, cell, false, file, number, budget);
        at = end;
    }
    return out;
}

std::vector<std::string_view> names_of(std::span<const Role> roles) {
    std::vector<std::string_view> out;
    for (const Role& role : roles) out.push_back(role.name);
    return out;
}

std::string counted(std::size_t n, const char* what) { return std::to_string(n) + " " + what + (n == 1 ? "" : "s"); }

/// All of a row, as typed.
std::string typed(const std::vector<Cell>& cells) {
    const char* const first = cells.front().text.data();
    const std::string_view last = cells.back().text;
    return shortened({first, static_cast<std::size_t>(last.data() + last.size() - first)});
}

}  // namespace

std::vector<Cell> csv_fields(const Text& text, int number, Budget& budget, bool is_log) {
    const std::string_view line = text.line(number);
    const auto refuse = [&](std::size_t at, const std::string& problem) {
        throw InputError(text.place(number, static_cast<int>(at)), problem, shortened(line.substr(at)),
                         "quotes around the whole of a value, or none");
    };
    std::vector<Cell> out;
    bool empty = true, more = true;
    for (std::size_t at = 0; more; ++at) {
        Cell cell;
        at = std::min(line.find_first_not_of(" \t", at), line.size());
        const bool quoted = at < line.size() && line[at] == '"';
        cell.byte = static_cast<int>(quoted ? at + 1 : at);
        if (quoted) {
            const std::size_t close = line.find('"', at + 1);
            if (close == std::string_view::npos) refuse(at, "a quote that is not closed");
            cell.text = line.substr(at + 1, close - at - 1);
            at = std::min(line.find_first_not_of(" \t", close + 1), line.size());
            if (at < line.size() && line[at] != ',' && (is_log || line[at] != '#'))
                refuse(at, "text behind a closing quote");
        } else {
            const std::size_t end = std::min(line.find_first_of(is_log ? "," : ",#", at), line.size());
            cell.text = trimmed(line.substr(at, end - at));
            at = end;
        }
        more = at < line.size() && line[at] == ',';
        empty = empty && cell.text.empty();
        add_cell(out, cell, is_log, text, number, budget);
    }
    if (empty) out.clear();
    return out;
}

Table Table::from_block(const Document& document, const Item& block, const std::string& where,
                        std::span<const Role> roles) {
    if (block.kind != Item::Kind::scalar)
        document.refuse(block, where + ": not a table", "a | block, or file: name.csv");
    Budget& budget = *document.budget;
    Table table(document.text, budget);
    table.head_ = document.place(block);
    if (!block.is_block) table.quoted_at_ = table.head_;
    std::vector<Row> lines;
    const std::string_view text = block.text;
    int n = block.line + 1;
    for (std::size_t at = 0; at < text.size(); ++n) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string_view line = text.substr(at, end - at), raw = document.text.line(n);
        // In the file the line is indented; what the indent is only the file knows.
        const std::size_t indent = block.is_block && raw.ends_with(line) ? raw.size() - line.size() : 0;
        if (Row row{n, words_of(line, static_cast<int>(indent), document.text, n, budget)}; !row.cells.empty())
            lines.push_back(std::move(row));
        at = end + 1;
    }
    table.read_lines(std::move(lines), where, roles);
    return table;
}

Table Table::from_file(const Document& document, const Item& name, const std::string& where,
                       std::span<const Role> roles) {
    const std::string& file = name.text;  // of anything but a scalar it is empty
    Budget& budget = *document.budget;
    const Beside& beside = *document.beside;
    const std::string path = beside.path(file);
    if (path.empty())
        document.refuse(name, where + ": not the name of a file beside this one", "a name such as alder-low.csv");
    if (beside.none())
        document.refuse(name, where + ": a table in a file of its own, and this text has no folder",
                        "the table itself, under table: |");
    std::shared_ptr<const Text> text;
    try {
        text = std::make_shared<const Text>(beside.open(path, budget));
    } catch (const MissingFile& error) {
        throw MissingFile(document.place(name), error.file() + ": " + error.problem(), {}, error.accepted());
    } catch (const InputError& error) {
        if (error.line() > 0) throw;  // it was read, and shows the place itself
        throw InputError(document.place(name), error.file() + ": " + error.problem(), error.text(), error.accepted());
    }
    Table table(*text, budget);
    table.csv_ = std::move(text);
    table.head_ = table.text_->place(1, 0);
    std::vector<Row> lines;
    for (int n = 1; n <= table.text_->lines(); ++n)
        if (Row row{n, csv_fields(*table.text_, n, budget)}; !row.cells.empty()) lines.push_back(std::move(row));
    table.read_lines(std::move(lines), where, roles);
    return table;
}

void Table::read_lines(std::vector<Row> lines, const std::string& where, std::span<const Role> roles) {
    roles_ = names_of(roles);
    where_ = where;
    if (lines.size() < 3)
        throw InputError(head_, where + ": the table has no rows", {},
                         "a line of " + listed(roles_, {}) + "; a line of units; the rows");
    if (!budget_->take(&Limits::rows, lines.size() - 2)) budget_->refuse(&Limits::rows, head_);
    names_ = std::move(lines[0]);
    head_ = place(names_);
    read_head(lines[1], roles);
    rows_.reserve(lines.size() - 2);
    for (std::size_t i = 2; i < lines.size(); ++i) read_row(std::move(lines[i]));
}

void Table::read_head(const Row& units, std::span<const Role> roles) {
    for (const Cell& name : names_.cells) read_name(name, roles);
    for (const Role& role : roles)
        if (role.required) (void)need(role.name);

    const std::vector<Cell>& words = units.cells;
    if (words.size() != columns_.size())
        throw InputError(place(units.line, words.front()),
                         where_ + ": " + counted(words.size(), "unit") + " under " + counted(columns_.size(), "column"),
                         typed(words), "one unit under each column; 1 for a ratio");
    for (std::size_t c = 0; c < words.size(); ++c) {
        Column& column = columns_[c];
        if (const Complaint complaint = read_unit(words[c].text, column.role.dimension, column.role.other, column.unit))
            throw InputError(place(units.line, words[c]),
                             where_ + ": column '" + std::string(column.name) + "': " + complaint.problem,
                             shortened(words[c].text), complaint.accepted);
        const Column& first = columns_[static_cast<std::size_t>(this->column(column.role.name))];
        if (first.unit.name != column.unit.name)
            throw InputError(
                place(units.line, words[c]),
                where_ + ": '" + std::string(column.name) + "' in another unit than '" + std::string(first.name) + "'",
                shortened(words[c].text), std::string(first.unit.name));
    }
}

/// A name of the head: a role, or `role@number`.
void Table::read_name(const Cell& name, std::span<const Role> roles) {
    const auto refuse = [&](const std::string& problem, const std::string& accepted) {
        throw InputError(place(names_.line, name), where_ + ": " + problem, shortened(name.text), accepted);
    };
    const std::size_t sign = name.text.find('@');
    const auto role = ranges::find(roles, name.text.substr(0, sign), &Role::name);
    if (role == roles.end()) refuse("unknown column", listed(roles_, name.text));
    Column column{*role, units::one, name.text, std::nullopt, 0};
    if (sign != std::string_view::npos) {
        Number number;
        if (!role->may_be_at) refuse("a column for one value of an axis", std::string(role->name));
        if (const Complaint c = read_number(name.text.substr(sign + 1), false, number))
            refuse("behind the @: " + c.problem,
                   std::string(role->name) + "@75, in the unit of the other temperatures");
        column.at = number.value;
    }
    if (columns_.size() == budget_->limits().columns)
        budget_->refuse(&Limits::columns, place(names_.line, name), shortened(name.text));
    for (const Column& other : columns_) {
        if (other.role.name != role->name) continue;
        if (other.at == column.at) refuse("a column given twice", "each column once");
        if (!other.at || !column.at)
            refuse("a column with @ beside one without", "one column, or one for each value: sensible@75  sensible@80");
    }
    columns_.push_back(column);
}

/// `1 1/8` is two words; where a row has one word too many and a length is due, they belong together.
void Table::join_fractions(std::vector<Cell>& words) const {
    const auto is_whole = [](std::string_view text) {
        return text.find_first_not_of("0123456789") == std::string_view::npos;
    };
    for (std::size_t c = 0; c < columns_.size() && c + 1 < words.size() && words.size() > columns_.size(); ++c) {
        if (columns_[c].role.dimension != Dimension::length) continue;
        const std::string_view whole = words[c].text, part = words[c + 1].text;
        if (!is_whole(whole) || part.find('/') == std::string_view::npos) continue;
        words[c].text = {whole.data(), static_cast<std::size_t>(part.data() + part.size() - whole.data())};
        words.erase(words.begin() + static_cast<std::ptrdiff_t>(c) + 1);
    }
}

void Table::read_row(Row row) {
    if (!csv_) join_fractions(row.cells);
    if (row.cells.size() != columns_.size()) {
        const bool comma = csv_ && row.cells.size() > columns_.size();
        throw InputError(place(row),
                         counted(row.cells.size(), "value") + " under " + counted(columns_.size(), "column"),
                         typed(row.cells),
                         comma ? "one value for each column, with a point before decimals, not a comma"
                               : "one value for each column; - for a printed blank");
    }
    // Outputs are blank together, but for those that may be blank alone; beside a blank nothing is printed at all.
    int blanks = 0, limits = 0, outputs = 0, numbers = 0;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
        const Role& role = columns_[c].role;
        Cell& cell = row.cells[c];
        read_cell(cell, static_cast<int>(c), row.line);
        if (role.kind != Role::Kind::output && role.kind != Role::Kind::extra) continue;
        const bool blank = cell.state == Cell::State::blank, limit = cell.state == Cell::State::beyond_limit;
        numbers += !blank && !limit;
        if (role.kind == Role::Kind::extra || role.may_be_blank) continue;
        ++outputs;
        blanks += blank;
        limits += limit;
    }
    if (blanks + limits > 0 && (numbers > 0 || (blanks != outputs && limits != outputs))) refuse_partly_blank(row);
    rows_.push_back(std::move(row));
}

void Table::read_cell(Cell& cell, int c, int line) {
    Column& column = columns_[static_cast<std::size_t>(c)];
    if (column.role.kind == Role::Kind::key && !cell.text.empty()) return;
    const bool is_output = column.role.kind == Role::Kind::output || column.role.kind == Role::Kind::extra;
    if (is_output && (cell.text == "-" || cell.text == "x")) {
        cell.state = cell.text == "-" ? Cell::State::blank : Cell::State::beyond_limit;
        return;
    }
    std::string_view text = cell.text;
    if (column.role.may_be_dry && text.size() > 1 && text.back() == 'd') {
        cell.state = Cell::State::dry;
        text.remove_suffix(1);
    }
    Number number;
    Complaint complaint = read_number(text, column.role.dimension == Dimension::length, number);
    if (!complaint) complaint = to_si(number, column.unit, cell.si);
    if (complaint) {
        if (complaint.problem == not_a_number) {  // perhaps it was meant to be something else
            if (cell.text.empty()) complaint.problem = "an empty cell";
            if (is_output) complaint.accepted += "; - for a printed blank; x past the operating limit";
            if (column.role.may_be_dry) complaint.accepted += "; 30.8d for a dry coil";
        }
        throw InputError(place(line, cell), "column '" + std::string(column.name) + "': " + complaint.problem,
                         shortened(cell.text), complaint.accepted);
    }
    column.decimals = std::max(column.decimals, number.decimals);
}

int Table::column(std::string_view role) const noexcept {
    for (std::size_t c = 0; c < columns_.size(); ++c)
        if (columns_[c].role.name == role) return static_cast<int>(c);
    return -1;
}

int Table::need(std::string_view role) const {
    const int found = column(role);
    if (found < 0)
        throw InputError(head_, where_ + ": no column '" + std::string(role) + "'", typed(names_.cells),
                         listed(roles_, {}));
    return found;
}

double Table::step(int c) const {
    const Column& column = columns_[static_cast<std::size_t>(c)];
    double places = 1.0;
    for (int d = 0; d < column.decimals; ++d) places *= 10.0;
    const double whole = column.decimals == 0 && column.unit.dimension == Dimension::power ? whole_step(c) : 1.0;
    return column.unit.times / column.unit.over / places * whole;
}

double Table::whole_step(int c) const {
    constexpr std::size_t enough = 4;
    std::vector<std::string_view> numbers;
    std::size_t zeros = 9;
    for (const Row& row : rows_) {
        const Cell& cell = row.cells[static_cast<std::size_t>(c)];
        std::string_view text = cell.text;
        if (cell.state == Cell::State::dry) text.remove_suffix(1);
        if (cell.si == 0.0) continue;  // blank, or zero, which says nothing
        if (text.find_first_not_of("-0123456789") != std::string_view::npos) return 1.0;
        numbers.push_back(text);
        zeros = std::min(zeros, text.size() - 1 - text.find_last_not_of('0'));
    }
    ranges::sort(numbers);
    if (static_cast<std::size_t>(std::unique(numbers.begin(), numbers.end()) - numbers.begin()) < enough) return 1.0;
    double out = 1.0;
    for (std::size_t z = 0; z < zeros; ++z) out *= 10.0;
    return out;
}

double Table::step_of(std::span<const int> columns) const {
    double least = std::numeric_limits<double>::infinity();
    for (const int c : columns)
        if (c >= 0) least = std::min(least, step(c));
    return least;
}

std::string Table::worded(const Cell& cell, int c) const {
    const std::string_view unit = columns_[static_cast<std::size_t>(c)].unit.name;
    return std::string(cell.text) + (unit == "1" ? std::string() : " " + std::string(unit));
}

InputError::Place Table::place(int line, const Cell& cell) const {
    return quoted_at_ ? *quoted_at_ : text_->place(line, cell.byte);
}

void Table::refuse(const Row& row, const std::string& problem, const std::string& accepted) const {
    throw InputError(place(row), problem, typed(row.cells), accepted);
}

void Table::refuse(const Row& row, int column, const std::string& problem, const std::string& accepted) const {
    const Cell& cell = row.cells[static_cast<std::size_t>(column)];
    throw InputError(place(row.line, cell), problem, shortened(cell.text), accepted);
}

void Table::refuse(int column, const std::string& problem, const std::string& accepted) const {
    refuse(names_, column, where_ + ": " + problem, accepted);
}

void Table::refuse_partly_blank(const Row& row) const {
    refuse(row, "a row that is blank in some columns only", "all of its outputs, or - (or x) for all of them");
}

Table read_table(const Fields& fields, const std::string& where, std::span<const Role> roles) {
    const Item *block = fields.find("table"), *file = fields.find("file");
    if (block != nullptr && file != nullptr)
        fields.refuse(*file, fields.path("file") + ": beside a table", "a table or a file");
    if (file != nullptr) return Table::from_file(fields.document(), *file, where, roles);
    if (block == nullptr) fields.missing("table", "table: | with the rows below it, or file: name.csv");
    return Table::from_block(fields.document(), *block, where, roles);
}

Table read_table(const Document& document, const Item& item, const std::string& where, std::span<const Role> roles) {
    if (item.kind != Item::Kind::map) return Table::from_block(document, item, where, roles);
    return read_table(Fields(document, item, where, {"table", "file"}), where, roles);
}

Mark mark_of(const Cell& cell) {
    switch (cell.state) {
        case Cell::State::blank:
            return Mark::blank;
        case Cell::State::beyond_limit:
            return Mark::beyond_limit;
        case Cell::State::dry:
            return Mark::dry;
        case Cell::State::number:
            break;
    }
    return Mark::printed;
}

}  // namespace offnominal::files
