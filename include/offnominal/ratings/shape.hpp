/// @file
/// The axes of a page: which it has, how its nodes are numbered, and where a question enters them.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <vector>

#include "offnominal/ratings/page.hpp"

namespace offnominal {

/// The axes a page can have, in the order of its nodes.
enum class PageAxis : std::uint8_t { outdoor_dry_bulb, airflow, humidity, entering_dry_bulb, pressure };
inline constexpr std::size_t page_axes = 5;

/// What the humidity axis of a page is.
enum class HumidityAxis : std::uint8_t { wet_bulb, relative_humidity, pairs };

[[nodiscard]] inline HumidityAxis humidity_axis(const PrintedPage& page) noexcept {
    if (!page.relative_humidity.empty()) return HumidityAxis::relative_humidity;
    return page.pairs.empty() ? HumidityAxis::wet_bulb : HumidityAxis::pairs;
}

/// What a reason about an axis of a page is about.
[[nodiscard]] inline About about(PageAxis axis, HumidityAxis humidity) noexcept {
    switch (axis) {
        case PageAxis::outdoor_dry_bulb:
            return About::outdoor_dry_bulb;
        case PageAxis::airflow:
            return About::standard_airflow;
        case PageAxis::humidity:
            return humidity == HumidityAxis::relative_humidity ? About::entering_relative_humidity
                   : humidity == HumidityAxis::pairs           ? About::indoor_pair
                                                               : About::entering_wet_bulb;
        case PageAxis::entering_dry_bulb:
            return About::entering_dry_bulb;
        case PageAxis::pressure:
            break;
    }
    return About::pressure;
}

/// What an axis of a page is called.
[[nodiscard]] inline std::string axis_name(PageAxis axis, HumidityAxis humidity = HumidityAxis::wet_bulb) {
    return std::string(row_of(about(axis, humidity))->words);
}

/// Where a page is entered, by axis, SI: degC, m3/s by the page's pound, the humidity axis' own measure (a wet bulb in
/// degC, a relative humidity, or a place along the pairs), degC, Pa.
struct PagePoint {
    std::array<double, page_axes> at{};

    [[nodiscard]] constexpr double operator[](PageAxis axis) const noexcept {
        return at[static_cast<std::size_t>(axis)];
    }
    [[nodiscard]] constexpr double& operator[](PageAxis axis) noexcept { return at[static_cast<std::size_t>(axis)]; }
};

/// How the nodes of a page are numbered: row-major, the last axis fastest. An axis the page does not have counts as one
/// breakpoint.
class PageShape {
   public:
    explicit PageShape(const PrintedPage& page)
        : breakpoints_{page.outdoor_dry_bulb, page.airflow, humidity_breakpoints(page), page.entering_dry_bulb,
                       page.pressure} {
        for (std::size_t axis = page_axes; axis-- > 0;) {
            stride_[axis] = nodes_;
            nodes_ *= size(axis);
        }
    }

    [[nodiscard]] std::size_t nodes() const noexcept { return nodes_; }
    [[nodiscard]] bool has(PageAxis axis) const noexcept { return !breakpoints(axis).empty(); }
    [[nodiscard]] const std::vector<double>& breakpoints(PageAxis axis) const noexcept {
        return breakpoints_[static_cast<std::size_t>(axis)];
    }
    [[nodiscard]] std::size_t size(PageAxis axis) const noexcept { return size(static_cast<std::size_t>(axis)); }
    [[nodiscard]] std::size_t stride(PageAxis axis) const noexcept { return stride_[static_cast<std::size_t>(axis)]; }
    /// The index along an axis of a node.
    [[nodiscard]] std::size_t index(std::size_t node, PageAxis axis) const noexcept {
        return node / stride(axis) % size(axis);
    }
    /// The breakpoint of an axis at a node; 0 along an axis the page does not have.
    [[nodiscard]] double value(std::size_t node, PageAxis axis) const noexcept {
        return has(axis) ? breakpoints(axis)[index(node, axis)] : 0.0;
    }
    /// The node with another index along an axis.
    [[nodiscard]] std::size_t moved(std::size_t node, PageAxis axis, std::size_t to) const noexcept {
        return node - index(node, axis) * stride(axis) + to * stride(axis);
    }

   private:
    [[nodiscard]] std::size_t size(std::size_t axis) const noexcept {
        return breakpoints_[axis].empty() ? 1 : breakpoints_[axis].size();
    }

    std::array<std::vector<double>, page_axes> breakpoints_;
    std::array<std::size_t, page_axes> stride_{};
    std::size_t nodes_ = 1;
};

}  // namespace offnominal
