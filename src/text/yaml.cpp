#include "text/yaml.hpp"

#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/mark.h>
#include <yaml-cpp/parser.h>

#include <algorithm>
#include <array>
#include <map>
#include <sstream>
#include <string_view>

#include "ranges.hpp"

namespace offnominal::files {
namespace {

/// What the YAML library takes long for, and what it may take for a token, and then keeps until it knows what stands
/// before: 250 bytes for each.
void check_cost(const Text& text, const Budget& budget) {
    if (text.bytes().size() > budget.limits().yaml_bytes) budget.refuse(&Limits::yaml_bytes, {text.name()});
    constexpr std::string_view marks = "[]{},:\"'&*!?#%";
    std::array<bool, 256> is_mark{};
    for (const char c : marks) is_mark[static_cast<unsigned char>(c)] = true;
    std::size_t count = 0;
    for (const char c : text.bytes()) count += is_mark[static_cast<unsigned char>(c)];
    if (count > budget.limits().marks) budget.refuse(&Limits::marks, {text.name()});
}

/// Builds the tree from the YAML library's events; refuses as soon as it sees what is not accepted.
class YamlBuilder : public YAML::EventHandler {
   public:
    YamlBuilder(const Text& text, const Budget& budget) : text_(text), budget_(budget) {}

    Item take() { return std::move(root_); }

    void OnDocumentStart(const YAML::Mark& mark) override {
        if (++documents_ > 1) refuse(mark, "a second document", "one document a file, without '---' after it");
    }
    void OnDocumentEnd() override {}
    void OnAnchor(const YAML::Mark& mark, const std::string&) override { refuse_reference(mark); }
    void OnAlias(const YAML::Mark& mark, YAML::anchor_t) override { refuse_reference(mark); }

    void OnNull(const YAML::Mark& mark, YAML::anchor_t anchor) override {
        add(begin(mark, "?", anchor, Item::Kind::null));
    }
    void OnScalar(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                  const std::string& value) override {
        Item item = begin(mark, tag, anchor, Item::Kind::scalar);
        if (has_control(value)) refuse(mark, "a control character", "text that can be seen");  // "\x1b" in quotes
        const std::string_view line = text_.line(item.line);
        const auto byte = static_cast<std::size_t>(item.byte);
        item.is_block = tag == "!" && byte < line.size() && line[byte] == '|';
        item.text = value;
        add(std::move(item));
    }
    void OnSequenceStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                         YAML::EmitterStyle::value) override {
        open(begin(mark, tag, anchor, Item::Kind::list));
    }
    void OnMapStart(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor,
                    YAML::EmitterStyle::value) override {
        open(begin(mark, tag, anchor, Item::Kind::map));
    }
    void OnSequenceEnd() override { close(); }
    void OnMapEnd() override {
        check_keys(open_.back());
        close();
    }

   private:
    [[noreturn]] void refuse(const YAML::Mark& mark, const std::string& problem, const std::string& accepted) const {
        const int line = mark.line + 1;
        std::string_view rest = text_.line(line);
        rest.remove_prefix(std::min(rest.size(), static_cast<std::size_t>(std::max(mark.column, 0))));
        throw InputError(text_.place(line, mark.column), problem, shortened(rest), accepted);
    }
    [[noreturn]] void refuse(Limit limit, int line, int byte, const std::string& text = {}) const {
        budget_.refuse(limit, text_.place(line, byte), text);
    }
    [[noreturn]] void refuse_reference(const YAML::Mark& mark) const {
        refuse(mark, "an anchor or alias", "each value written where it stands");
    }

    Item begin(const YAML::Mark& mark, const std::string& tag, YAML::anchor_t anchor, Item::Kind kind) {
        if (anchor != YAML::NullAnchor) refuse_reference(mark);
        if (!(tag.empty() || tag == "?" || tag == "!")) refuse(mark, "a tag", "values without tags");
        if (++values_ > budget_.limits().values) refuse(&Limits::values, mark.line + 1, mark.column);
        Item item;
        item.kind = kind;
        item.line = mark.line + 1;
        item.byte = mark.column;
        return item;
    }
    void open(Item item) {
        if (open_.size() == budget_.limits().depth) refuse(&Limits::depth, item.line, item.byte);
        open_.push_back(std::move(item));
    }
    void close() {
        Item item = std::move(open_.back());
        open_.pop_back();
        add(std::move(item));
    }
    void add(Item item) {
        if (open_.empty()) {
            root_ = std::move(item);
            return;
        }
        Item& parent = open_.back();
        const bool is_key = parent.kind == Item::Kind::map && parent.keys.size() == parent.values.size();
        if (is_key && item.kind != Item::Kind::scalar)
            throw InputError(text_.place(item.line, item.byte), "a key that is not text", {}, "key: value");
        if (is_key && item.text.size() > budget_.limits().key_bytes)
            refuse(&Limits::key_bytes, item.line, item.byte, shortened(item.text));
        (is_key ? parent.keys : parent.values).push_back(std::move(item));
    }
    void check_keys(const Item& map) const {
        std::map<std::string_view, int> lines;
        for (const Item& key : map.keys) {
            const auto [twin, is_new] = lines.emplace(key.text, key.line);
            if (!is_new)
                throw InputError(text_.place(key.line, key.byte), "a key given twice", shortened(key.text),
                                 "each key once; it is also in line " + std::to_string(twin->second));
        }
    }

    const Text& text_;
    const Budget& budget_;
    Item root_;
    std::vector<Item> open_;  ///< maps and lists not closed yet, outermost first
    std::size_t values_ = 0;
    int documents_ = 0;
};

/// YAML's words for nothing.
constexpr std::string_view nulls[] = {"~", "null", "Null", "NULL"};

/// Whether YAML reads a text back as it stands.
bool is_plain(std::string_view text, bool in_flow) {
    const auto is_word = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || c == '/' ||
               static_cast<unsigned char>(c) >= 0x80;
    };
    if (text.size() > 1 && (text[0] == '-' || text[0] == '+') && text[1] >= '0' && text[1] <= '9')
        text.remove_prefix(1);
    if (text.empty() || !is_word(text.front()) || text.back() == ' ' || text.back() == ':') return false;
    if (ranges::find(nulls, text) != std::end(nulls)) return false;
    if (text.find_first_of("\n\t") != std::string_view::npos) return false;
    if (text.find(" #") != std::string_view::npos || text.find(": ") != std::string_view::npos) return false;
    return !in_flow || text.find_first_of(",[]{}:") == std::string_view::npos;
}

}  // namespace

TypedTexts texts_of(const Item& root) {
    static constexpr std::string_view tables[] = {"table", "file", "airflow_factors", "edb_factors"};
    TypedTexts out;
    const auto walk = [&](const auto& self, const Item& item, const std::string& path) -> void {
        if (item.kind == Item::Kind::scalar) out.push_back({path, item.text});
        for (std::size_t i = 0; i < item.values.size(); ++i) {
            const std::string key = item.kind == Item::Kind::map ? item.keys[i].text : std::to_string(i);
            if (path == "blower" || ranges::find(tables, std::string_view(key)) == std::end(tables))
                self(self, item.values[i], path.empty() ? key : path + ": " + key);
        }
    };
    walk(walk, root, {});
    ranges::sort(out, {}, &TypedText::key);
    return out;
}

void Document::refuse(const Item& item, const std::string& problem, const std::string& accepted) const {
    throw InputError(place(item), problem, item.kind == Item::Kind::scalar ? shortened(item.text) : std::string(),
                     accepted);
}

Document parse_tree(Text text, Budget& budget, const Beside& beside) {
    check_cost(text, budget);
    YamlBuilder builder(text, budget);
    std::istringstream in(text.bytes());
    try {
        YAML::Parser parser(in);
        while (parser.HandleNextDocument(builder)) {
        }
    } catch (const YAML::Exception& error) {
        const bool known = !error.mark.is_null();
        const int line = known ? error.mark.line + 1 : 1;
        const std::string_view shown = text.line(line);
        if (const std::size_t tab = shown.find('\t');
            tab != std::string_view::npos && tab < shown.find_first_not_of(" \t"))
            throw InputError(text.place(line, static_cast<int>(tab)), "a tab in the indentation",
                             shortened(trimmed(shown)), "blanks");
        throw InputError(text.place(line, known ? error.mark.column : 0), "not valid YAML (" + error.msg + ")",
                         shortened(trimmed(shown)), "YAML as in the demo files, or JSON");
    }
    Item root = builder.take();
    return {std::move(text), std::move(root), &budget, &beside};
}

std::string yaml_text(std::string_view text, bool in_flow) {
    if (has_control(text))
        throw InputError({}, "a text that no file can hold: a control character", shortened(text),
                         "text that can be seen");
    if (is_plain(text, in_flow)) return std::string(text);
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        if (c == '\n' || c == '\t')
            out += c == '\n' ? "\\n" : "\\t";
        else
            out += c;
    }
    return out + '"';
}

std::string flow_text(const YamlFile::Pairs& pairs) {
    std::string out = "{";
    for (const auto& [key, value] : pairs) out += (out.size() > 1 ? ", " : "") + key + ": " + value;
    return out + "}";
}

void YamlFile::begin(std::string_view key) {
    text_.append(static_cast<std::size_t>(2 * depth_), ' ').append(key).append(":");
}

void YamlFile::pair(std::string_view key, std::string_view value) {
    begin(key);
    text_.append(" ").append(value).append("\n");
}

void YamlFile::flow(std::string_view key, const Pairs& pairs) {
    if (!pairs.empty()) pair(key, flow_text(pairs));
}

void YamlFile::map(std::string_view key, const Pairs& pairs) {
    if (pairs.empty()) return;
    open(key);
    for (const auto& [name, value] : pairs) pair(name, value);
    close();
}

void YamlFile::open(std::string_view key) {
    begin(key);
    text_ += '\n';
    ++depth_;
}

void YamlFile::block(std::string_view key, std::string_view text) {
    begin(key);
    text_ += " |\n";
    while (!text.empty()) {
        const std::string_view line = text.substr(0, text.find('\n'));
        text.remove_prefix(std::min(line.size() + 1, text.size()));
        if (!trimmed(line).empty())
            text_.append(static_cast<std::size_t>(2 * depth_ + 2), ' ').append(trimmed(line)).append("\n");
    }
}

void YamlFile::table(std::string_view key, const TableText& rows) {
    begin(key);
    text_ += " |\n";
    std::vector<std::size_t> widths;
    for (const auto& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t c = 0; c < row.size(); ++c) widths[c] = std::max(widths[c], row[c].size());
    }
    for (const auto& row : rows) {
        std::string line(static_cast<std::size_t>(2 * depth_ + 2), ' ');
        for (std::size_t c = 0; c < row.size(); ++c) {
            line += row[c];
            if (c + 1 < row.size()) line.append(widths[c] + 2 - row[c].size(), ' ');
        }
        text_ += line + '\n';
    }
}

}  // namespace offnominal::files
