// What is told of answers, by the one description of every quantity: properties of single answers, columns of batches.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <iterator>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>

#include "common.hpp"
#include "offnominal/column.hpp"
#include "offnominal/kind.hpp"

namespace binding {

/// A number in the caller's unit, or None where there is none.
inline py::object number_or_none(double si, const Unit& unit) {
    return std::isnan(si) ? py::object(py::none()) : py::object(py::float_(unit.from_si(si)));
}

/// Binds a property for each number told of a T. `of(self)` gives the T and the caller's units.
template <class T, class Bound, class Of>
void bind_told(Bound& bound, Of of) {
    using Self = typename Bound::type;
    for (const Told<T>& line : told_of<T>)
        bound.def_property_readonly(
            line.name.data(),
            [&line, of](const Self& self) {
                const std::pair<const T&, UnitSystem> x = of(self);
                return number_or_none(line.of(x.first), unit_of(line.kind, x.second));
            },
            std::string(line.meaning).c_str());
}

/// The lines of a list for Python: name, kind, the modes it belongs to, meaning.
template <class Lines>
py::list lines_of(const Lines& lines) {
    py::list out;
    for (const auto& line : lines) {
        py::list modes;
        for (const auto& row : words_of<Mode>)
            if (applies(line.modes, row.value)) modes.append(std::string(row.word));
        out.append(py::make_tuple(std::string(line.name), std::string(name(line.kind)), py::tuple(modes),
                                  std::string(line.meaning)));
    }
    return out;
}

/// Binds what a call was made of, as words and flags, and the kinds of its numbers; it is copied and pickled by them.
template <class Call>
void bind_call(py::class_<Call>& call) {
    call.def_property_readonly("kinds",
                               [](const Call& c) {
                                   py::list out;
                                   for (const Kind kind : c.kinds) out.append(std::string(name(kind)));
                                   return out;
                               })
        .def_property_readonly("units", [](const Call& c) { return std::string(name(c.units)); })
        .def_property_readonly("made_of",
                               [](const Call& c) {
                                   py::list out;
                                   for (const std::string& word : c.words) out.append(word);
                                   for (const bool flag : c.flags) out.append(flag);
                                   if constexpr (requires { c.hold; })
                                       for (const double si : c.hold) out.append(si);
                                   return py::tuple(out);
                               })
        .def("__reduce__",
             [](const py::object& self) { return py::make_tuple(py::type::of(self), self.attr("made_of")); });
}

/// What a single answer was made of, as Python remakes it.
template <class One>
py::tuple origin_of(const One& one) {
    return py::make_tuple(one.origin.from, one.origin.stage, one.origin.match, one.origin.numbers);
}

/// Notes as a column of NumPy has them.
struct PackedNotes {
    std::uint64_t first, second;
};
static_assert(sizeof(Notes) == sizeof(PackedNotes));

/// A dict of arrays, which C++ fills while it holds on to them. They are parts of one block: NumPy asks for large pages
/// where a block is large, and touching new pages one by one costs as much as the answers.
class Columns {
   public:
    /// @param row_bytes  of all columns together, or more: what is not touched costs nothing
    Columns(py::ssize_t rows, std::size_t row_bytes)
        : rows_(rows),
          block_(static_cast<py::ssize_t>(static_cast<std::size_t>(rows) * row_bytes + 64)),
          next_(block_.mutable_data()) {}
    template <class T>
    T* add(std::string_view name) {
        T* const out = reinterpret_cast<T*>(next_);
        next_ += (static_cast<std::size_t>(rows_) * sizeof(T) + 7) / 8 * 8;
        if (next_ > block_.data() + block_.size()) throw std::logic_error("no room for a column");
        arrays_[py::str(std::string(name))] = py::array_t<T>(rows_, out, block_);
        return out;
    }
    /// A column for each number told of a T in a mode; of those chosen, if any are. Where an array of as many rows is
    /// given for one, that is filled.
    template <class T>
    [[nodiscard]] ToldColumns<T> add_told(Mode mode, UnitSystem units, const std::vector<std::string>& chosen = {},
                                          const py::dict& given = {}) {
        const auto wanted = [&](std::string_view name) {
            return chosen.empty() || std::find(chosen.begin(), chosen.end(), name) != chosen.end();
        };
        ToldColumns<T> out;
        for (std::size_t k = 0; k < out.size(); ++k)
            if (const Told<T>& line = told_of<T>[k]; applies(line.modes, mode) && wanted(line.name))
                out[k] = {add_or_take(line.name, given), unit_of(line.kind, units)};
        return out;
    }
    /// The arrays, which nobody writes to any more.
    [[nodiscard]] const py::dict& arrays() const {
        for (const auto& [name, array] : arrays_)
            py::detail::array_proxy(array.ptr())->flags &= ~py::detail::npy_api::NPY_ARRAY_WRITEABLE_;
        return arrays_;
    }

   private:
    double* add_or_take(std::string_view name, const py::dict& given) {
        const py::str key{std::string(name)};
        if (!given.contains(key)) return add<double>(name);
        auto array = py::reinterpret_borrow<py::array_t<double>>(given[key]);
        if (array.size() != rows_) throw std::logic_error("an array of another size");
        arrays_[key] = array;
        return array.mutable_data();
    }

    py::ssize_t rows_;
    py::array_t<std::uint8_t> block_;
    std::uint8_t* next_;
    py::dict arrays_;
};

/// The units of a batch's columns of numbers, by the argument that each slot is given by.
template <std::size_t N, class Lines, class Is>
std::array<Kind, N> kinds_of_slots(const Lines& lines, Is is_chosen) {
    std::array<Kind, N> out{};
    for (const auto& line : lines)
        if (is_chosen(line)) out[static_cast<std::size_t>(line.slot)] = line.kind;
    return out;
}

}  // namespace binding
