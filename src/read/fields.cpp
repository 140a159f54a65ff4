#include "read/fields.hpp"

#include <vector>

#include "ranges.hpp"

namespace offnominal::files {

void check_kind(const Document& document, FileKind wanted) {
    static constexpr std::string_view kinds[] = {"system", "visit"};
    static constexpr const char* instead[] = {"a system file; a visit goes to prove, beside the system",
                                              "a visit file; a system is loaded for itself, before the visit"};
    const auto number = static_cast<std::size_t>(wanted);
    const std::string_view kind = kinds[number], other = kinds[1 - number];
    const std::string says = "offnominal: " + std::string(kind) + "/1";
    const Item& root = document.root;
    if (root.kind != Item::Kind::map)
        document.refuse(root, "not a map of keys and values", says + ", and the keys of a " + std::string(kind));
    for (std::size_t i = 0; i < root.keys.size(); ++i) {
        if (root.keys[i].text != "offnominal") continue;
        const std::string& typed = root.values[i].text;
        if (typed == std::string(kind) + "/1") return;
        if (typed.starts_with(other))
            document.refuse(root.values[i], "a " + std::string(other) + " where a " + std::string(kind) + " is due",
                            instead[number]);
        if (typed.starts_with(std::string(kind) + "/"))
            document.refuse(root.values[i], "offnominal: a format that this version does not read",
                            std::string(kind) + "/1 (a newer format needs a newer offnominal)");
        document.refuse(root.values[i], "offnominal: not the accepted word", std::string(kind) + "/1");
    }
    throw InputError(document.place(root), "offnominal is missing", {}, says);
}

Fields::Fields(const Document& document, const Item& map, std::string where, Keys keys)
    : document_(document), map_(map), where_(std::move(where)) {
    const std::string in = where_.empty() ? std::string() : where_ + ": ";
    if (map_.kind != Item::Kind::map) refuse(map_, in + "not a map of keys and values", listed(keys, {}));
    for (const Item& key : map_.keys) {
        if (ranges::find(keys, std::string_view(key.text)) != keys.end()) continue;
        // `4690,5 ft` in a flow map reads as `4690` and a key `5 ft`.
        const bool is_number = !key.text.empty() && key.text[0] >= '0' && key.text[0] <= '9';
        refuse(key, in + "unknown key",
               is_number ? "a point before decimals, not a comma; between braces nothing between thousands"
                         : listed(keys, key.text));
    }
}

std::string Fields::path(std::string_view key) const {
    return where_.empty() ? std::string(key) : where_ + ": " + std::string(key);
}

const Item* Fields::find(std::string_view key) const noexcept {
    for (std::size_t i = 0; i < map_.keys.size(); ++i)
        if (map_.keys[i].text == key) return map_.values[i].kind == Item::Kind::null ? nullptr : &map_.values[i];
    return nullptr;
}

namespace {

/// Every key of a document that stands without a value, but for one, with its line.
void find_open(const Document& document, const Item& item, const Item& but, std::vector<std::string>& out) {
    for (std::size_t i = 0; i < item.values.size(); ++i) {
        if (i < item.keys.size() && &item.keys[i] != &but && item.values[i].kind == Item::Kind::null) {
            const int line = document.place(item.keys[i]).line;
            out.push_back(item.keys[i].text + (line > 1 ? " (line " + std::to_string(line) + ")" : ""));
        }
        find_open(document, item.values[i], but, out);
    }
}

}  // namespace

void Fields::missing(std::string_view key, const std::string& accepted) const {
    for (const Item& typed : map_.keys) {
        if (typed.text != key) continue;
        std::vector<std::string> open;
        find_open(document_, document_.root, typed, open);
        std::string all = accepted;
        constexpr std::size_t most = 8;
        if (open.size() > most) {
            open.resize(most);
            open.emplace_back("and more");
        }
        for (const std::string& one : open) all += (&one == &open.front() ? ". Open too: " : ", ") + one;
        if (!open.empty()) all += ": fill them in, or leave out what may go";
        throw InputError(document_.place(typed), path(key) + " has no value", {}, all);
    }
    throw InputError(document_.place(map_), path(key) + " is missing", {}, accepted);
}

const Item& Fields::need(std::string_view key, const std::string& accepted) const {
    const Item* item = find(key);
    if (item == nullptr) missing(key, accepted);
    return *item;
}

void Fields::need_word(std::string_view key, std::string_view word) const {
    const Item& item = need(key, std::string(key) + ": " + std::string(word));
    if (text(item, key) != word) refuse(item, path(key) + ": not the accepted word", std::string(word));
}

std::string Fields::text(const Item& item, std::string_view key) const {
    if (item.kind != Item::Kind::scalar) refuse(item, path(key) + ": not a text or a number", "one value");
    return item.text;
}

std::string Fields::text(std::string_view key) const {
    const Item* item = find(key);
    return item == nullptr ? std::string() : text(*item, key);
}

bool Fields::flag(std::string_view key, bool fallback) const {
    const Item* item = find(key);
    if (item == nullptr) return fallback;
    const std::string typed = text(*item, key);
    for (const auto& [word, value] : {std::pair{"true", true}, {"false", false}, {"yes", true}, {"no", false}})
        if (typed == word) return value;
    static constexpr std::string_view accepted[] = {"true", "false", "yes", "no"};
    refuse(*item, path(key) + ": not one of the accepted words", listed(accepted, typed));
}

bool Fields::choice(std::string_view key, std::string_view no, std::string_view yes) const {
    const Item* item = find(key);
    if (item == nullptr) return false;
    const std::string typed = text(*item, key);
    const std::string_view accepted[] = {no, yes};
    if (typed != no && typed != yes)
        refuse(*item, path(key) + ": not one of the accepted words", listed(accepted, typed));
    return typed == yes;
}

Measured Fields::measured(const Item& item, std::string_view key, Dimension wanted, Dimension other) const {
    Measured out;
    const std::string typed = text(item, key);
    if (const Complaint c = read_quantity(typed, wanted, out))
        if (other == wanted || read_quantity(typed, other, out)) refuse(item, path(key) + ": " + c.problem, c.accepted);
    return out;
}

std::optional<double> Fields::ratio(std::string_view key) const {
    const Item* item = find(key);
    if (item == nullptr) return std::nullopt;
    return measured(*item, key, Dimension::ratio).si;
}

}  // namespace offnominal::files
