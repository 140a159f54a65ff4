#include "table.hpp"

#include <algorithm>

namespace offnominal::files {
namespace {

/// Words of one line, without its comment. `offset` is where `line` begins in the line of the file.
std::vector<Cell> words_of(std::string_view line, int offset) {
    std::vector<Cell> out;
    const std::string_view text = line.substr(0, line.find('#'));
    for (std::size_t at = 0; (at = text.find_first_not_of(" \t\r", at)) != std::string_view::npos;) {
        const std::size_t end = std::min(text.find_first_of(" \t\r", at), text.size());
        Cell cell;
        cell.text = text.substr(at, end - at);
        cell.byte = offset + static_cast<int>(at);
        out.push_back(cell);
        at = end;
    }
    return out;
}

/// Fields of one line of a CSV file, without its comment and the quotes around them. A line of empty fields has none.
std::vector<Cell> fields_of(std::string_view line) {
    std::vector<Cell> out;
    const std::string_view text = line.substr(0, line.find('#'));
    bool empty = true;
    for (std::size_t at = 0; at <= text.size();) {
        const std::size_t first = std::min(text.find_first_not_of(" \t", at), text.size());
        const bool quoted = first < text.size() && text[first] == '"';
        const std::size_t quote = quoted ? std::min(text.find('"', first + 1), text.size()) : first;
        const std::size_t end = std::min(text.find(',', quote), text.size());
        Cell cell;
        cell.text = quoted ? text.substr(first + 1, quote - first - 1) : trimmed(text.substr(at, end - at));
        cell.byte = static_cast<int>(quoted ? first + 1 : first);
        empty = empty && cell.text.empty();
        out.push_back(cell);
        at = end + 1;
    }
    if (empty) out.clear();
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

Table Table::from_block(const Document& document, const Item& block, const std::string& where,
                        std::span<const Role> roles) {
    if (block.kind != Item::Kind::scalar)
        document.refuse(block, where + ": not a table", "a | block, or file: name.csv");
    Table table(document.text);
    table.head_ = document.place(block);
    if (!block.is_block) table.string_ = table.head_;
    std::vector<Row> lines;
    const std::string_view text = block.text;
    int n = block.line + 1;
    for (std::size_t at = 0; at < text.size(); ++n) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        const std::string_view line = text.substr(at, end - at), raw = document.text.line(n);
        // In the file the line is indented; what the indent is only the file knows.
        const std::size_t indent = block.is_block && raw.ends_with(line) ? raw.size() - line.size() : 0;
        if (Row row{n, words_of(line, static_cast<int>(indent))}; !row.cells.empty()) lines.push_back(std::move(row));
        at = end + 1;
    }
    table.read_lines(lines, where, roles);
    return table;
}

Table Table::from_file(const Document& document, const Item& name, const std::string& folder, const std::string& where,
                       std::span<const Role> roles) {
    const std::string& file = name.text;  // of anything but a scalar it is empty
    if (file.empty() || file.front() == '/' || file.find("..") != std::string::npos ||
        file.find('\\') != std::string::npos)
        document.refuse(name, where + ": not the name of a file beside this one", "a name such as alder-low.csv");
    std::shared_ptr<const Text> text;
    try {
        text = std::make_shared<const Text>(Text::from_file(folder.empty() ? file : folder + "/" + file));
    } catch (const InputError& error) {
        if (error.line() > 0) throw;  // it was read, and shows the place itself
        throw InputError(document.place(name), error.file() + ": " + error.problem(), error.text(), error.accepted());
    }
    Table table(*text);
    table.csv_ = std::move(text);
    table.head_ = table.text_->place(1, 0);
    std::vector<Row> lines;
    for (int n = 1; n <= table.text_->lines(); ++n)
        if (Row row{n, fields_of(table.text_->line(n))}; !row.cells.empty()) lines.push_back(std::move(row));
    table.read_lines(lines, where, roles);
    return table;
}

void Table::read_lines(std::span<const Row> lines, const std::string& where, std::span<const Role> roles) {
    if (lines.size() < 3)
        throw InputError(head_, where + ": the table has no rows", {},
                         "a line of " + listed(names_of(roles), {}) + "; a line of units; the rows");
    head_ = place(lines[0].line, lines[0].cells.front());
    read_head(lines[0], lines[1], where, roles);
    rows_.reserve(lines.size() - 2);
    for (const Row& row : lines.subspan(2)) read_row(row);
}

void Table::read_head(const Row& names, const Row& units, const std::string& where, std::span<const Role> roles) {
    for (const Cell& name : names.cells) {
        const auto role = std::ranges::find(roles, name.text, &Role::name);
        if (role == roles.end())
            throw InputError(place(names.line, name), where + ": unknown column", shortened(name.text),
                             listed(names_of(roles), name.text));
        if (column(name.text) >= 0)
            throw InputError(place(names.line, name), where + ": a column given twice", shortened(name.text),
                             "each column once");
        columns_.push_back({*role, units::one, 0});
    }
    for (const Role& role : roles)
        if (role.required && column(role.name) < 0)
            throw InputError(place(names.line, names.cells.front()),
                             where + ": no column '" + std::string(role.name) + "'", typed(names.cells),
                             listed(names_of(roles), {}));

    const std::vector<Cell>& words = units.cells;
    if (words.size() != columns_.size())
        throw InputError(place(units.line, words.front()),
                         where + ": " + counted(words.size(), "unit") + " under " + counted(columns_.size(), "column"),
                         typed(words), "one unit under each column; 1 for a ratio");
    for (std::size_t c = 0; c < words.size(); ++c) {
        Column& column = columns_[c];
        if (const Complaint complaint = read_unit(words[c].text, column.role.dimension, column.unit))
            throw InputError(place(units.line, words[c]),
                             where + ": column '" + std::string(column.role.name) + "': " + complaint.problem,
                             shortened(words[c].text), complaint.accepted);
    }
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
    int blanks = 0, limits = 0, outputs = 0;
    for (std::size_t c = 0; c < columns_.size(); ++c) {
        Cell& cell = row.cells[c];
        read_cell(cell, static_cast<int>(c), row.line);
        if (columns_[c].role.kind != Role::Kind::output) continue;
        ++outputs;
        blanks += cell.state == Cell::State::blank;
        limits += cell.state == Cell::State::beyond_limit;
    }
    if (blanks + limits > 0 && blanks != outputs && limits != outputs)
        throw InputError(place(row), "a row that is blank in some columns only", typed(row.cells),
                         "all of its outputs, or - (or x) for all of them");
    rows_.push_back(std::move(row));
}

void Table::read_cell(Cell& cell, int c, int line) {
    Column& column = columns_[static_cast<std::size_t>(c)];
    if (column.role.kind == Role::Kind::key && !cell.text.empty()) return;
    if (column.role.kind == Role::Kind::output && (cell.text == "-" || cell.text == "x")) {
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
            if (column.role.kind == Role::Kind::output)
                complaint.accepted += "; - for a printed blank; x past the operating limit";
            if (column.role.may_be_dry) complaint.accepted += "; 30.8d for a dry coil";
        }
        throw InputError(place(line, cell), "column '" + std::string(column.role.name) + "': " + complaint.problem,
                         shortened(cell.text), complaint.accepted);
    }
    column.decimals = std::max(column.decimals, number.decimals);
}

int Table::column(std::string_view role) const noexcept {
    for (std::size_t c = 0; c < columns_.size(); ++c)
        if (columns_[c].role.name == role) return static_cast<int>(c);
    return -1;
}

double Table::step(int c) const {
    const Column& column = columns_[static_cast<std::size_t>(c)];
    double places = 1.0;
    for (int d = 0; d < column.decimals; ++d) places *= 10.0;
    return column.unit.times / column.unit.over / places;
}

std::string Table::worded(const Cell& cell, int c) const {
    const std::string_view unit = columns_[static_cast<std::size_t>(c)].unit.name;
    return std::string(cell.text) + (unit == "1" ? std::string() : " " + std::string(unit));
}

InputError::Place Table::place(int line, const Cell& cell) const {
    return string_ ? *string_ : text_->place(line, cell.byte);
}

void Table::refuse(const Row& row, const std::string& problem, const std::string& accepted) const {
    throw InputError(place(row), problem, typed(row.cells), accepted);
}

void Table::refuse(const Row& row, int column, const std::string& problem, const std::string& accepted) const {
    const Cell& cell = row.cells[static_cast<std::size_t>(column)];
    throw InputError(place(row.line, cell), problem, shortened(cell.text), accepted);
}

}  // namespace offnominal::files
