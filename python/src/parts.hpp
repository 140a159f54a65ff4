// Long work in parts, so that an interrupt is heard.
#pragma once

#include <pybind11/pybind11.h>

#include <algorithm>
#include <cstddef>

namespace binding {

/// Throws where somebody wants an end.
inline void hear_interrupts() {
    if (PyErr_CheckSignals() != 0) throw pybind11::error_already_set();
}

/// Runs `part(first, last)` over all rows without the GIL, at most so many at a time: between them an interrupt is
/// heard.
template <class Part>
void in_parts(std::size_t rows, std::size_t most, const Part& part) {
    for (std::size_t first = 0; first < rows; first += most) {
        {
            const pybind11::gil_scoped_release release;
            part(first, std::min(first + most, rows));
        }
        hear_interrupts();
    }
}
inline constexpr std::size_t rows_at_once = std::size_t{1} << 20;  ///< of a look-up: a fraction of a second

}  // namespace binding
