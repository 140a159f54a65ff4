/// @file
/// What all of the C interface has in common: its handles, structs of callers, errors. Included by the .cpp files of
/// this folder only.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <cstdlib>
#include <cstring>
#include <limits>
#include <memory>
#include <new>
#include <string>
#include <string_view>
#include <vector>

#include "c/description.hpp"
#include "offnominal/envelope.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/offnominal.h"

struct offnominal_system {
    explicit offnominal_system(offnominal::System read)
        : system(std::make_shared<const offnominal::System>(std::move(read))),
          heating_stages(system->heating_stage_names()),
          pages(offnominal::envelope(*system)) {}
    std::shared_ptr<const offnominal::System> system;
    std::vector<std::string> heating_stages;
    std::vector<offnominal::Envelope> pages;
};

namespace offnominal::c {

/// One question of a caller.
struct OneQuestion {
    Reason reason;  ///< why it is none
    Site site = Site::not_given();
    Conditions conditions;
};
[[nodiscard]] OneQuestion question_of(const System& system, UnitSystem units, const offnominal_conditions* conditions);

inline constexpr double none = std::numeric_limits<double>::quiet_NaN();

/// A caller's mistake.
struct BadArgument {
    const char* problem;
};
/// A name that is none of those it may be.
struct BadName : InputError {
    using InputError::InputError;
};
inline void need(const void* pointer, const char* problem) {
    if (pointer == nullptr) throw BadArgument{problem};
}
inline UnitSystem units_of(int32_t units) {
    if (units == OFFNOMINAL_UNITS_IP) return UnitSystem::IP;
    if (units == OFFNOMINAL_UNITS_SI) return UnitSystem::SI;
    throw BadArgument{"units: neither OFFNOMINAL_UNITS_IP nor OFFNOMINAL_UNITS_SI"};
}

// Structs of a caller, who may have been compiled with an older header: there they lack members at their end.

/// Whether a header of any version has it in that size, which then ends with a whole member: half a pointer is none.
template <class S>
bool has_size(const S* s) noexcept {
    return s->struct_size > sizeof(std::size_t) && s->struct_size <= sizeof(S) && s->struct_size % alignof(S) == 0;
}
template <class S>
void need_struct(const S* s, const char* problem) {
    if (s == nullptr || !has_size(s)) throw BadArgument{problem};
}
/// What the caller gives, and for what it has no member yet `rest`.
template <class S>
S taken(const S* from, const S& rest, const char* problem) {
    need_struct(from, problem);
    S out = rest;
    std::memcpy(&out, from, from->struct_size);
    return out;
}
template <class S>
void hand_out(S* to, S from) noexcept {
    from.struct_size = to->struct_size;
    std::memcpy(to, &from, to->struct_size);
}

// Members of one type that stand side by side from byte `at` of a struct on, in the order of a list: so the header is
// made (`description.hpp`).

template <class M, class S>
M member(const S& s, std::size_t at, std::size_t k) noexcept {
    M out;
    std::memcpy(&out, reinterpret_cast<const unsigned char*>(&s) + at + k * sizeof(M), sizeof(M));
    return out;
}
template <class M, class S>
void set_member(S& s, std::size_t at, std::size_t k, M value) noexcept {
    std::memcpy(reinterpret_cast<unsigned char*>(&s) + at + k * sizeof(M), &value, sizeof(M));
}
/// Whether the members of a list are the last of a struct: a header that was not made again is found here.
template <class M, class S, class List>
constexpr bool ends_with(std::size_t at, const List& list) {
    return sizeof(S) == at + std::size(list) * sizeof(M);
}
#define OFFNOMINAL_FROM(type, first, M, list) \
    static_assert(ends_with<M, type>(offsetof(type, first), list), "include/offnominal/quantities.h is an older one")

inline constexpr std::size_t conditions_at = offsetof(offnominal_conditions, outdoor_dry_bulb);
inline constexpr std::size_t condition_columns_at = offsetof(offnominal_condition_columns, outdoor_dry_bulb);
inline constexpr std::size_t readings_at = offsetof(offnominal_readings, return_dry_bulb);
inline constexpr std::size_t reading_columns_at = offsetof(offnominal_reading_columns, return_dry_bulb);
inline constexpr std::size_t expected_at = offsetof(offnominal_expected, total_capacity);
inline constexpr std::size_t uncertainty_at = offsetof(offnominal_expected, uncertainty_resolution);
inline constexpr std::size_t expected_columns_at = offsetof(offnominal_expected_columns, total_capacity);
inline constexpr std::size_t delivered_at = offsetof(offnominal_delivered, total_capacity);
inline constexpr std::size_t delivered_columns_at = offsetof(offnominal_delivered_columns, total_capacity);
inline constexpr std::size_t verdict_at = offsetof(offnominal_verdict, ratio);
inline constexpr std::size_t visit_columns_at = offsetof(offnominal_visit_columns, return_dry_bulb);
inline constexpr std::size_t verdict_columns_at = offsetof(offnominal_verdict_columns, ratio);
inline constexpr std::size_t shares_at = offsetof(offnominal_verdict_columns, share_of_return_dry_bulb);
static_assert(offsetof(offnominal_conditions, extend_entering_wet_bulb) ==
                  conditions_at + std::size(asked_of_expect) * sizeof(double),
              "include/offnominal/quantities.h is an older one");
OFFNOMINAL_FROM(offnominal_condition_columns, outdoor_dry_bulb, const double*, asked_of_expect);
OFFNOMINAL_FROM(offnominal_readings, return_dry_bulb, double, asked_of_deliver);
OFFNOMINAL_FROM(offnominal_reading_columns, return_dry_bulb, const double*, asked_of_deliver);
OFFNOMINAL_FROM(offnominal_expected, uncertainty_resolution, double, told_of<ExpectedUncertainty>);
OFFNOMINAL_FROM(offnominal_expected_columns, total_capacity, double*, told_of<ExpectedValues>);
OFFNOMINAL_FROM(offnominal_delivered, total_capacity, double, told_of<Delivered>);
OFFNOMINAL_FROM(offnominal_delivered_columns, total_capacity, double*, told_of<Delivered>);
OFFNOMINAL_FROM(offnominal_verdict, ratio, double, told_of<Proof>);
OFFNOMINAL_FROM(offnominal_visit_columns, return_dry_bulb, const double*, asked_of_prove);
OFFNOMINAL_FROM(offnominal_verdict_columns, ratio, double*, told_of<Proof>);
static_assert(verdict_columns_at == shares_at + std::size(words_of<Input>) * sizeof(double*),
              "include/offnominal/quantities.h is an older one");
static_assert(uncertainty_at == expected_at + std::size(told_of<ExpectedValues>) * sizeof(double));
#undef OFFNOMINAL_FROM

// A batch writes reasons and notes where the caller wants them.
static_assert(sizeof(offnominal_reason) == sizeof(Reason) && alignof(offnominal_reason) == alignof(Reason));
static_assert(offsetof(offnominal_reason, why) == offsetof(Reason, why) &&
              offsetof(offnominal_reason, about) == offsetof(Reason, about) &&
              offsetof(offnominal_reason, axis) == offsetof(Reason, axis) &&
              offsetof(offnominal_reason, node) == offsetof(Reason, node) &&
              offsetof(offnominal_reason, value) == offsetof(Reason, value) &&
              offsetof(offnominal_reason, lower) == offsetof(Reason, lower) &&
              offsetof(offnominal_reason, upper) == offsetof(Reason, upper));
static_assert(sizeof(Notes) == 2 * sizeof(std::uint64_t) && sizeof(Footing) == 1);

// What went wrong.

inline void copy_text(char* to, std::size_t room, std::string_view text) noexcept {
    std::size_t size = std::min(text.size(), room - 1);
    if (size < text.size())
        while (size > 0 && (static_cast<unsigned char>(text[size]) & 0xc0) == 0x80) --size;  // not inside a character
    std::memcpy(to, text.data(), size);
    to[size] = '\0';
}

inline offnominal_reason told(Reason r, UnitSystem units) noexcept {
    if (units == UnitSystem::IP && known(r.about)) {
        const Unit unit = shown_unit(r.about, units);
        r.value = unit.from_si(r.value);
        r.lower = unit.from_si(r.lower);
        r.upper = unit.from_si(r.upper);
    }
    return __builtin_bit_cast(offnominal_reason, r);
}

inline int32_t fail(offnominal_error* error, int32_t status, std::string_view message,
                    const InputError* input = nullptr, const offnominal_reason& reason = {}) noexcept {
    if (error == nullptr || !has_size(error)) return status;
    offnominal_error out{};
    out.status = status;
    out.reason = reason;
    copy_text(out.message, sizeof out.message, message);
    if (input != nullptr) {
        out.line = input->line();
        out.column = input->column();
        copy_text(out.file, sizeof out.file, input->file());
        copy_text(out.text, sizeof out.text, input->text());
        copy_text(out.accepted, sizeof out.accepted, input->accepted());
    }
    hand_out(error, out);
    return status;
}

/// No exception leaves here.
template <class Work>
int32_t guarded(offnominal_error* error, const Work& work) noexcept {
    try {
        return work();
    } catch (const BadArgument& mistake) {
        return fail(error, OFFNOMINAL_BAD_ARGUMENT, mistake.problem);
    } catch (const BadName& mistake) {
        return fail(error, OFFNOMINAL_BAD_ARGUMENT, mistake.what(), &mistake);
    } catch (const MissingFile& problem) {
        return fail(error, OFFNOMINAL_NO_FILE, problem.what(), &problem);
    } catch (const InputError& problem) {
        return fail(error, OFFNOMINAL_INPUT, problem.what(), &problem);
    } catch (const Refused& refused) {
        return fail(error, OFFNOMINAL_REFUSED, refused.what(), nullptr, told(refused.reason(), UnitSystem::SI));
    } catch (const std::bad_alloc&) {
        return fail(error, OFFNOMINAL_NO_MEMORY, "out of memory");
    } catch (const std::exception& mistake) {
        return fail(error, OFFNOMINAL_INTERNAL, mistake.what());
    } catch (...) {
        return fail(error, OFFNOMINAL_INTERNAL, "an unknown exception");
    }
}

/// A text that the caller frees.
inline int32_t give(char** to, const std::string& text) {
    auto* const out = static_cast<char*>(std::malloc(text.size() + 1));
    if (out == nullptr) throw std::bad_alloc();
    std::memcpy(out, text.c_str(), text.size() + 1);
    *to = out;
    return OFFNOMINAL_OK;
}
inline void need_text(char** to) {
    need(to, "no place for the text: a null pointer");
    *to = nullptr;
}
/// A handle; `make` gives what it holds.
template <class Handle, class Make>
int32_t give_handle(Handle** to, offnominal_error* error, const Make& make) noexcept {
    return guarded(error, [&]() -> int32_t {
        need(to, "no place for the handle: a null pointer");
        *to = nullptr;
        *to = new Handle(make());
        return OFFNOMINAL_OK;
    });
}
inline std::string_view view(const char* text) noexcept {
    return text == nullptr ? std::string_view() : std::string_view(text);
}

// Answers.

template <class T, class S>
void tell(S& out, std::size_t at, const T* from, Mode mode, UnitSystem units) noexcept {
    for (std::size_t k = 0; k < std::size(told_of<T>); ++k) {
        const Told<T>& line = told_of<T>[k];
        const bool there = from != nullptr && applies(line.modes, mode);
        set_member(out, at, k, there ? unit_of(line.kind, units).from_si(line.of(*from)) : none);
    }
}
inline void tell_notes(std::uint64_t (&out)[2], Notes notes) noexcept { std::memcpy(out, &notes, sizeof out); }

inline offnominal_expected told(const Expected* e, const Reason& reason, UnitSystem units) noexcept {
    offnominal_expected out{};
    out.reason = told(reason, units);
    const Mode mode = e != nullptr ? e->mode : Mode::cooling;
    tell<ExpectedValues>(out, expected_at, e, mode, units);
    tell<ExpectedUncertainty>(out, uncertainty_at, e != nullptr ? &e->uncertainty : nullptr, mode, units);
    if (e == nullptr) return out;
    out.no_sensible = told(e->no_sensible, units);
    out.no_power = told(e->no_power, units);
    out.no_cop = told(e->no_cop, units);
    out.no_leaving = told(e->no_leaving, units);
    tell_notes(out.notes, e->notes);
    out.footing = static_cast<int32_t>(e->footing);
    out.mode = static_cast<int32_t>(e->mode);
    out.boundary = static_cast<int32_t>(e->boundary);
    out.frost = static_cast<int32_t>(e->frost);
    out.power_basis = static_cast<int32_t>(e->power_basis);
    return out;
}
inline offnominal_delivered told(const Delivered* d, const Reason& reason, UnitSystem units) noexcept {
    offnominal_delivered out{};
    out.reason = told(reason, units);
    tell<Delivered>(out, delivered_at, d, d != nullptr ? d->mode : Mode::cooling, units);
    if (d == nullptr) return out;
    tell_notes(out.notes, d->notes);
    out.mode = static_cast<int32_t>(d->mode);
    return out;
}

// Batches.

/// Where a batch writes the numbers told of a T: into the caller's columns. Those of another mode hold NaN.
template <class T, class Columns>
ToldColumns<T> columns_of(const Columns& columns, std::size_t at, Mode mode, UnitSystem units,
                          std::size_t rows) noexcept {
    ToldColumns<T> out;
    for (std::size_t k = 0; k < out.size(); ++k) {
        auto* const column = member<double*>(columns, at, k);
        if (column == nullptr) continue;
        if (known(mode) && applies(told_of<T>[k].modes, mode))
            out[k] = {column, unit_of(told_of<T>[k].kind, units)};
        else
            std::fill_n(column, rows, none);
    }
    return out;
}
inline void turn_reasons(offnominal_reason* reasons, std::size_t rows, UnitSystem units) noexcept {
    if (units != UnitSystem::IP) return;
    for (std::size_t i = 0; i < rows; ++i)
        if (reasons[i].why != 0) reasons[i] = told(__builtin_bit_cast(Reason, reasons[i]), units);
}

}  // namespace offnominal::c
