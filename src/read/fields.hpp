/// @file
/// The keys of one map of a file, read one by one: every complaint says where, what stands there, and what would do.
#pragma once

#include <initializer_list>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>

#include "text/number.hpp"
#include "text/yaml.hpp"

namespace offnominal::files {

/// What a file of ours may be, and what to do with one that stands in the other's place.
enum class FileKind : std::uint8_t { system, visit };
/// @throws InputError for a document that does not say `offnominal: system/1` or `visit/1`, whichever `wanted` is
void check_kind(const Document& document, FileKind wanted);

/// A map whose keys are known. A key without a value counts as not given.
class Fields {
   public:
    using Keys = std::span<const std::string_view>;

    /// @param where  the path of this map for messages, `cooling: basis`; empty at the top
    /// @throws InputError if `map` is no map or has a key that is not in `keys`
    Fields(const Document& document, const Item& map, std::string where, Keys keys);
    Fields(const Document& document, const Item& map, std::string where, std::initializer_list<std::string_view> keys)
        : Fields(document, map, std::move(where), Keys(keys.begin(), keys.size())) {}

    [[nodiscard]] const Document& document() const noexcept { return document_; }
    [[nodiscard]] const Item& map() const noexcept { return map_; }
    [[nodiscard]] std::string path(std::string_view key) const;

    /// The value of `key`, or nullptr.
    [[nodiscard]] const Item* find(std::string_view key) const noexcept;
    /// The value of `key`; without it an error that says what is accepted.
    [[nodiscard]] const Item& need(std::string_view key, const std::string& accepted) const;
    /// `key` must be there and say `word`.
    void need_word(std::string_view key, std::string_view word) const;
    [[noreturn]] void missing(std::string_view key, const std::string& accepted) const;
    [[noreturn]] void refuse(const Item& item, const std::string& problem, const std::string& accepted) const {
        document_.refuse(item, problem, accepted);
    }

    // Values. Those without `fallback` or std::optional are called for items that are there.
    [[nodiscard]] std::string text(std::string_view key) const;  ///< empty if not given
    [[nodiscard]] std::string text(const Item& item, std::string_view key) const;
    [[nodiscard]] bool flag(std::string_view key, bool fallback) const;
    [[nodiscard]] Measured measured(const Item& item, std::string_view key, Dimension wanted) const {
        return measured(item, key, wanted, wanted);
    }
    /// For a value that may also measure `other`.
    [[nodiscard]] Measured measured(const Item& item, std::string_view key, Dimension wanted, Dimension other) const;
    [[nodiscard]] std::optional<double> ratio(std::string_view key) const;

    template <Dimension D>
    [[nodiscard]] Quantity<D> quantity(const Item& item, std::string_view key) const {
        return Quantity<D>{measured(item, key, D).si};
    }
    template <Dimension D>
    [[nodiscard]] std::optional<Quantity<D>> quantity(std::string_view key) const {
        const Item* item = find(key);
        if (item == nullptr) return std::nullopt;
        return quantity<D>(*item, key);
    }
    /// A list of two, `[900 scfm, 1150 scfm]`, the first not above the second.
    template <Dimension D>
    [[nodiscard]] std::optional<std::pair<Quantity<D>, Quantity<D>>> range(std::string_view key) const {
        const Item* item = find(key);
        if (item == nullptr) return std::nullopt;
        if (item->kind != Item::Kind::list || item->values.size() != 2)
            refuse(*item, path(key) + ": not a list of two", "[least, greatest]");
        const auto least = quantity<D>(item->values[0], key), greatest = quantity<D>(item->values[1], key);
        if (least.si > greatest.si) refuse(*item, path(key) + ": the first is above the second", "[least, greatest]");
        return std::pair{least, greatest};
    }
    /// One of the words of an enumeration; `except` says nothing here.
    template <Worded E>
    [[nodiscard]] E choice(const Item& item, std::string_view key, std::optional<E> except = {}) const {
        const std::string typed = text(item, key);
        std::vector<std::string_view> accepted;
        for (const auto& row : words_of<E>) {
            if (row.word.empty() || row.value == except) continue;
            if (row.word == typed) return row.value;
            accepted.push_back(row.word);
        }
        refuse(item, path(key) + ": not one of the accepted words", listed(accepted, typed));
    }
    template <Worded E>
    [[nodiscard]] E choice(std::string_view key, E fallback) const {
        const Item* item = find(key);
        return item == nullptr ? fallback : choice<E>(*item, key);
    }
    /// One of two words, or of those for yes and no.
    [[nodiscard]] bool choice(std::string_view key, std::string_view no, std::string_view yes) const;

   private:
    const Document& document_;
    const Item& map_;
    std::string where_;
};

/// Runs `build`, which makes an object that checks itself, and gives its complaint the place of `item` if it has none.
template <class Build>
auto placed(const Document& document, const Item& item, Build&& build) {
    try {
        return build();
    } catch (const InputError& error) {
        if (!error.file().empty()) throw;
        throw InputError(document.place(item), error.problem(), error.text(), error.accepted());
    }
}

}  // namespace offnominal::files
