#include "text/budget.hpp"

#include <iterator>

#include "ranges.hpp"

namespace offnominal::files {
namespace {

std::size_t row_of_limit(Limit limit) {
    return static_cast<std::size_t>(ranges::find(limit_rows, limit, &LimitRow::most) - std::begin(limit_rows));
}

}  // namespace

std::string more_than(const Limits& limits, Limit limit) {
    std::string number = std::to_string(limits.*limit);
    for (std::size_t at = number.size(); at > 3;) number.insert(at -= 3, 1, ',');
    return "more than " + number + " " + std::string(limit_rows[row_of_limit(limit)].counts);
}

bool Budget::take(Limit limit, std::size_t count) {
    std::size_t& taken = taken_[row_of_limit(limit)];
    if (count > limits_.*limit - taken) return false;
    taken += count;
    return true;
}

void Budget::refuse(Limit limit, const InputError::Place& place, const std::string& text) const {
    throw InputError(place, more_than(limits_, limit), text, within_limits);
}

}  // namespace offnominal::files
