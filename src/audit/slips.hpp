/// @file
/// Which single slip of a typist makes the printed text out of the implied value.
#pragma once

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

#include "offnominal/audit.hpp"
#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/text.hpp"

namespace offnominal::detail {

/// A slip and what was meant.
struct Guess {
    Slip slip = Slip::none;
    std::string meant;
};

/// Undoes single slips in a typed number and keeps the one that comes nearest to the implied value.
class SlipSearch {
   public:
    /// @param implied, spread, step  in the printed unit; step: one unit in the last printed place of the column, or 0
    SlipSearch(std::string_view typed, double implied, double spread, double step)
        : typed_(typed), implied_(implied), spread_(spread), step_(step) {
        while (!typed_.empty() && (typed_.back() == 'd' || typed_.back() == ' ')) typed_.remove_suffix(1);
    }

    [[nodiscard]] Guess best() {
        undo_sign();
        undo_swaps();
        undo_point();
        undo_extra_digits();
        undo_dropped_digits();
        undo_wrong_digits();
        undo_units();
        return best_;
    }

   private:
    /// Whether the column could print it: a column of one decimal holds no 26.18.
    [[nodiscard]] bool printable(double value) const noexcept {
        return step_ == 0.0 || std::abs(value / step_ - std::round(value / step_)) < 1e-6;
    }
    static bool digit(char c) noexcept { return c >= '0' && c <= '9'; }

    /// `cost`: how much less often this slip happens, in spreads. Digits can be inserted or replaced in so many ways
    /// that nearly anything is explained by them.
    void offer(Slip slip, const std::string& meant, double cost) {
        const auto value = number_of(meant);
        if (!value || meant == typed_ || meant.back() == '.') return;
        if (slip == Slip::dropped_digit && !printable(*value)) return;
        const double off = std::abs(*value - implied_) / spread_;
        if (off > 3.0 || off + cost >= least_) return;
        least_ = off + cost;
        best_ = {slip, meant};
    }

    void undo_sign() {
        if (!typed_.empty() && typed_.front() == '-') offer(Slip::sign, std::string(typed_.substr(1)), 0.0);
    }
    /// Two digits next to each other, the point aside.
    void undo_swaps() {
        for (std::size_t i = 0; i + 1 < typed_.size(); ++i) {
            if (!digit(typed_[i])) continue;
            std::size_t j = i + 1;
            if (typed_[j] == '.') ++j;
            if (j >= typed_.size() || !digit(typed_[j])) continue;
            std::string meant(typed_);
            std::swap(meant[i], meant[j]);
            offer(Slip::swapped_digits, meant, 0.0);
        }
    }
    void undo_point() {
        std::string digits;
        for (const char c : typed_)
            if (c != '.') digits += c;
        for (std::size_t at = 1; at < digits.size(); ++at) {
            std::string meant = std::string(digits).insert(at, ".");
            while (meant.back() == '0' && meant.size() > at + 2) meant.pop_back();
            offer(Slip::decimal_point, meant, 0.5);
        }
        offer(Slip::decimal_point, digits, 0.5);
        const auto value = number_of(typed_);
        if (!value) return;
        for (const double factor : {10.0, 100.0, 0.1, 0.01}) {
            const double meant = *value * factor;
            offer(Slip::decimal_point, rounded_text(meant, 5), 1.0);
        }
    }
    void undo_extra_digits() {
        for (std::size_t i = 0; i < typed_.size(); ++i)
            if (digit(typed_[i])) offer(Slip::extra_digit, std::string(typed_).erase(i, 1), 1.0);
    }
    void undo_dropped_digits() {
        for (std::size_t i = 0; i <= typed_.size(); ++i)
            for (char c = '0'; c <= '9'; ++c) offer(Slip::dropped_digit, std::string(typed_).insert(i, 1, c), 1.5);
    }
    void undo_wrong_digits() {
        for (std::size_t i = 0; i < typed_.size(); ++i) {
            if (!digit(typed_[i])) continue;
            for (char c = '0'; c <= '9'; ++c) {
                std::string meant(typed_);
                meant[i] = c;
                offer(Slip::wrong_digit, meant, 2.0);
            }
        }
    }
    void undo_units() {
        const auto value = number_of(typed_);
        if (!value) return;
        for (const double factor : {3.412142, 12.0, 1000.0})
            for (const double meant : {*value * factor, *value / factor})
                offer(Slip::unit, rounded_text(meant, 5), 2.5);
    }
    std::string_view typed_;
    double implied_, spread_, step_, least_ = 6.0;
    Guess best_;
};

}  // namespace offnominal::detail
