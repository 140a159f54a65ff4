#include "text/json.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>

#include "offnominal/detail/decimal.hpp"
#include "text/budget.hpp"
#include "text/raw.hpp"

namespace offnominal::files {
namespace {

constexpr std::string_view self_described = "\xd9\xd9\xf7";  // RFC 8949, section 3.4.6

/// Walks over one CBOR item: RFC 8949, appendix C, with a bound on nesting. The JSON library, which reads it
/// afterwards, follows strings within strings without such a bound.
class WellFormed {
   public:
    WellFormed(std::string_view bytes, const std::string& name, const Limits& limits)
        : bytes_(bytes), name_(name), limits_(limits) {}

    void run() {
        item(0, false);
        if (at_ != bytes_.size()) refuse("bytes after the end of the CBOR map");
    }

   private:
    [[noreturn]] void refuse(const std::string& problem) const {
        throw InputError({name_}, problem + ", at byte " + std::to_string(at_), {},
                         "well-formed CBOR (RFC 8949): maps with text keys, arrays, numbers, text");
    }
    std::uint64_t take(std::size_t count) {
        if (bytes_.size() - at_ < count) refuse("the file ends inside a value");
        std::uint64_t out = 0;
        for (; count > 0; --count) out = out << 8 | static_cast<unsigned char>(bytes_[at_++]);
        return out;
    }
    void skip(std::uint64_t count) {
        if (bytes_.size() - at_ < count) refuse("the file ends inside a text");
        at_ += static_cast<std::size_t>(count);
    }
    /// One item; true if it is the end of what was begun without a length.
    bool item(std::size_t depth, bool may_end) {
        if (depth > limits_.depth) refuse(more_than(limits_, &Limits::depth));
        const auto head = static_cast<unsigned>(take(1));
        const unsigned major = head >> 5, info = head & 31u;
        if (info == 31) return without_length(major, depth, may_end);
        if (info > 27) refuse("not CBOR");
        const std::uint64_t value = info < 24 ? info : take(std::size_t{1} << (info - 24));
        if (major == 2) refuse("a string of bytes");
        if (major == 6) refuse("a CBOR tag");
        if (major == 7 && info == 24 && value < 32) refuse("not CBOR");
        if (major == 3) skip(value);
        if (major != 4 && major != 5) return false;
        for (std::uint64_t i = 0; i < value; ++i) {
            item(depth + 1, false);
            if (major == 5) item(depth + 1, false);
        }
        return false;
    }
    bool without_length(unsigned major, std::size_t depth, bool may_end) {
        if (major == 7 && may_end) return true;
        if (major == 3) {
            for (std::uint64_t head = take(1); head != 0xff; head = take(1)) {
                if (head < 0x60 || head > 0x7b) refuse("a text in pieces, one of which is no text");
                skip(head < 0x78 ? head - 0x60 : take(std::size_t{1} << (head - 0x78)));
            }
            return false;
        }
        if (major != 4 && major != 5) refuse(major == 2 ? "a string of bytes" : "not CBOR");
        while (!item(depth + 1, true))
            if (major == 5) item(depth + 1, false);
        return false;
    }

    std::string_view bytes_;
    const std::string& name_;
    const Limits& limits_;
    std::size_t at_ = 0;
};

/// Builds the tree from the JSON library's events; refuses as soon as it sees what is not accepted.
class JsonBuilder : public nlohmann::json_sax<Json> {
   public:
    JsonBuilder(std::string_view bytes, JsonDocument& out, bool is_text, const Limits& limits)
        : bytes_(bytes), out_(out), is_text_(is_text), limits_(limits) {}

    bool null() override { return add(nullptr); }
    bool boolean(bool value) override { return add(value); }
    bool number_integer(std::int64_t value) override { return add(value); }
    bool number_unsigned(std::uint64_t value) override { return add(value); }
    bool number_float(double value, const std::string& text) override {
        if (!std::isfinite(value)) refuse("not a finite number", std::isnan(value) ? "NaN" : "infinity", "a number");
        // One that would be written with other digits: an identifier, no measurement.
        if (is_text_ && text.find_first_of(".eE") == std::string::npos && detail::plain_text(value) != text)
            refuse("a whole number past 64 bits", shortened(text), "at most 18446744073709551615, or text");
        return add(value);
    }
    bool string(std::string& value) override {
        check_utf8(value);
        count(nodes_, &Limits::values);  // in CBOR one may be a byte, and in memory fifty
        return add(std::move(value));
    }
    bool binary(Json::binary_t&) override { refuse("a string of bytes", {}, "text or numbers"); }

    bool start_object(std::size_t) override {
        Json& object = open(Json::object());
        object.get_ref<Json::object_t&>().reserve(most_known);
        return true;
    }
    bool key(std::string& key) override {
        if (key.size() > limits_.key_bytes) refuse(&Limits::key_bytes, shown(Json(key)));
        check_utf8(key);
        auto& object = open_.back().value->get_ref<Json::object_t&>();
        open_.back().key = key;
        if (std::any_of(object.begin(), object.end(), [&](const auto& pair) { return pair.first == key; }))
            refuse("a key given twice", shown(Json(key)), "each key once");
        if (object.size() >= limits_.object_keys) refuse(&Limits::object_keys);
        count(nodes_, &Limits::values);
        object.emplace_back(std::move(key), Json());
        return true;
    }
    bool end_object() override { return close(); }
    bool start_array(std::size_t) override {
        open(Json::array());
        return true;
    }
    bool end_array() override { return close(); }

    bool parse_error(std::size_t position, const std::string& token,
                     const nlohmann::detail::exception& error) override {
        if (!is_text_)
            refuse("a CBOR value that JSON has no word for", {}, "maps with text keys, arrays, numbers, text");
        // Only what is no JSON at all has a line and a column: nothing says of which key it is.
        const std::string_view read = bytes_.substr(0, position == 0 ? 0 : position - 1);
        const std::size_t line = read.rfind('\n') + 1;  // 0 where there is none
        const auto characters = std::count_if(read.begin() + static_cast<std::ptrdiff_t>(line), read.end(),
                                              [](char c) { return (static_cast<unsigned char>(c) & 0xc0) != 0x80; });
        const InputError::Place place{out_.name, 1 + static_cast<int>(std::count(read.begin(), read.end(), '\n')),
                                      1 + static_cast<int>(characters)};
        if (error.id == 406) throw InputError(place, "a number too large to hold", shortened(token), "a finite number");
        if (position > bytes_.size())
            throw InputError(place, "the file ends inside a value", {}, "a whole JSON document");
        throw InputError(place, "not JSON", detail::visible(shortened(token)),
                         "JSON (RFC 8259): no comments, no NaN, no commas too many");
    }

   private:
    static constexpr std::size_t most_known = 12;  // keys of the standard's largest object
    struct Open {
        Json* value;
        std::string key;  ///< of an object: the one last begun
    };

    void count(std::size_t& counter, Limit limit) {
        if (++counter > limits_.*limit) refuse(limit);
    }
    /// Where the next value goes.
    Json& place_next(Json&& value) {
        count(values_, &Limits::representation_values);
        if (open_.empty()) return out_.root = std::move(value);
        Json& holder = *open_.back().value;
        if (holder.is_object()) return holder.get_ref<Json::object_t&>().back().second = std::move(value);
        return holder.get_ref<Json::array_t&>().emplace_back(std::move(value));
    }
    bool add(Json&& value) {
        place_next(std::move(value));
        return true;
    }
    Json& open(Json&& container) {
        if (open_.size() >= limits_.depth) refuse(&Limits::depth);
        count(nodes_, &Limits::values);
        Json& value = place_next(std::move(container));
        open_.push_back({&value, {}});
        return value;
    }
    bool close() {
        open_.pop_back();
        return true;
    }
    void check_utf8(const std::string& text) const {
        if (is_text_) return;  // the parser has seen to it
        for (std::size_t i = 0, length = 0; i < text.size(); i += length)
            if ((length = detail::character_at(text, i)) == 0) refuse("a text that is not UTF-8", {}, "text as UTF-8");
    }

    [[nodiscard]] std::string path() const {
        std::string out;
        for (const Open& open : open_) {
            if (open.value->is_array()) {
                // The last is about to take another value, those before hold what is being built.
                out += "[" + std::to_string(open.value->size() - (&open == &open_.back() ? 0u : 1u)) + "]";
            } else if (!open.key.empty()) {
                out += (out.empty() ? "" : ".") + open.key;
            }
        }
        return out;
    }
    [[noreturn]] void refuse(const std::string& problem, const std::string& text, const std::string& accepted) const {
        out_.refuse(path().substr(0, 200), problem, text, accepted);
    }
    [[noreturn]] void refuse(Limit limit, const std::string& text = {}) const {
        refuse(more_than(limits_, limit), text, within_limits);
    }

    std::string_view bytes_;
    JsonDocument& out_;
    bool is_text_;
    const Limits& limits_;
    std::vector<Open> open_;
    std::size_t nodes_ = 0;
    std::size_t values_ = 0;
};

void write(const Json& value, int depth, std::string& out) {
    if (!value.is_object() || value.empty()) {
        out += value.dump();
        return;
    }
    const auto new_line = [&](int at) { out.append(1, '\n').append(static_cast<std::size_t>(at) * 2, ' '); };
    char before = '{';
    for (const auto& [key, inner] : value.items()) {
        out += before;
        before = ',';
        new_line(depth + 1);
        out += Json(key).dump() + ": ";
        write(inner, depth + 1, out);
    }
    new_line(depth);
    out += '}';
}

}  // namespace

void dismantle(Json& tree) noexcept {
    if (tree.is_array()) {
        auto& list = tree.get_ref<Json::array_t&>();
        for (Json& one : list) dismantle(one);
        list.clear();
    } else if (tree.is_object()) {
        auto& object = tree.get_ref<Json::object_t&>();
        for (auto& pair : object) dismantle(pair.second);
        object.clear();
    }
}

void JsonDocument::refuse(const std::string& path, const std::string& problem, const std::string& text,
                          const std::string& accepted) const {
    throw InputError({name}, (path.empty() ? "" : path + ": ") + problem, text, accepted);
}

bool is_cbor(std::string_view bytes) noexcept {
    // No UTF-8 text begins with such a byte.
    return bytes.starts_with(self_described) || (!bytes.empty() && static_cast<unsigned char>(bytes[0]) >> 5 == 5);
}

JsonDocument parse_json(std::string_view bytes, const std::string& name, const Limits& limits) {
    JsonDocument out{name, {}};
    const bool is_text = !is_cbor(bytes);
    if (bytes.starts_with(self_described)) bytes.remove_prefix(self_described.size());
    if (!is_text) WellFormed(bytes, name, limits).run();
    JsonBuilder builder(bytes, out, is_text, limits);
    Json::sax_parse(bytes.begin(), bytes.end(), &builder,
                    is_text ? Json::input_format_t::json : Json::input_format_t::cbor);
    return out;
}

std::string json_text(const Json& tree) {
    std::string out;
    write(tree, 0, out);
    return out += '\n';
}

std::string cbor_bytes(const Json& tree) {
    std::string out;
    Json::to_cbor(tree, nlohmann::detail::output_adapter<char>(out));
    return out;
}

std::string shown(const Json& value) {
    if (value.is_structured()) return value.is_array() ? "[...]" : "{...}";
    return shortened(value.dump(-1, ' ', false, Json::error_handler_t::replace));
}

}  // namespace offnominal::files
