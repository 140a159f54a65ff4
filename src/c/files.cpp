// The C interface: files, visits, proofs, choosing and audits. What it promises stands in
// include/offnominal/offnominal.h.
#include "offnominal/files.hpp"

#include "c/inside.hpp"
#include "c/json.hpp"
#include "offnominal/card.hpp"
#include "offnominal/choose.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/between_visits.hpp"
#include "offnominal/proof/causes.hpp"
#include "offnominal/proof/many.hpp"
#include "offnominal/report.hpp"

using namespace offnominal;
using namespace offnominal::c;

struct offnominal_visit {
    std::shared_ptr<const Visit> visit;
};
struct offnominal_proof {
    std::shared_ptr<const System> system;
    std::shared_ptr<const Visit> visit;
    Proof proof;
};

namespace {

offnominal_design no_design() noexcept {
    offnominal_design out{};
    constexpr std::size_t first = offsetof(offnominal_design, total_load);
    constexpr std::size_t last = offsetof(offnominal_design, line_set);
    for (std::size_t k = 0; k < (last - first) / sizeof(double); ++k) set_member(out, first, k, none);
    out.line_set = OFFNOMINAL_LINE_SET_REFERENCE;
    out.spare_latent = 1;
    out.entering_humidity_ratio = none;
    return out;
}

/// The line set of the site.
LineSet line_of(const offnominal_design& d, UnitSystem units) {
    if (d.line_set == OFFNOMINAL_LINE_SET_REFERENCE) return LineSet::reference();
    if (d.line_set != OFFNOMINAL_LINE_SET_GIVEN && d.line_set != OFFNOMINAL_LINE_SET_MODELLED)
        throw BadArgument{"design: line_set: none of OFFNOMINAL_LINE_SET_REFERENCE, _GIVEN, _MODELLED"};
    const Unit &length = unit_of(Kind::length, units), &tubing = unit_of(Kind::tubing, units);
    const LineSet line = LineSet::of(Length{length.to_si(d.length)}, Length{tubing.to_si(d.suction)},
                                     Length{length.to_si(d.lift)}, Length{tubing.to_si(d.liquid)});
    return d.line_set == OFFNOMINAL_LINE_SET_MODELLED ? line.modelled() : line;
}

struct Choosing {
    DesignLoad load;
    ChooseBy by;
};
Choosing asked_of(const offnominal_design& d, UnitSystem units) {
    const auto si = [units](Kind kind, double number) { return unit_of(kind, units).to_si(number); };
    const auto over = [&](Temperature& rest, double number) {
        if (!std::isnan(number)) rest.si = si(Kind::temperature, number);
    };
    Choosing out;
    DesignLoad& load = out.load;
    load.total.si = si(Kind::capacity, d.total_load);
    load.sensible.si = si(Kind::capacity, d.sensible_load);
    load.latent.si = si(Kind::capacity, d.latent_load);
    load.outdoor_dry_bulb.si = si(Kind::temperature, d.outdoor_dry_bulb);
    load.entering_dry_bulb.si = si(Kind::temperature, d.entering_dry_bulb);
    int measures = 0;
    const auto humidity = [&](air::Humidity::Kind kind, double number) {
        if (std::isnan(number)) return;
        load.entering_humidity = {kind, number};
        ++measures;
    };
    humidity(air::Humidity::Kind::wet_bulb, si(Kind::temperature, d.entering_wet_bulb));
    humidity(air::Humidity::Kind::dew_point, si(Kind::temperature, d.entering_dew_point));
    humidity(air::Humidity::Kind::relative_humidity, d.entering_relative_humidity);
    humidity(air::Humidity::Kind::humidity_ratio, si(Kind::humidity_ratio, d.entering_humidity_ratio));
    if (measures > 1) throw BadArgument{"design: more than one measure of humidity"};
    load.heating.si = si(Kind::capacity, d.heating_load);
    load.heating_outdoor_dry_bulb.si = si(Kind::temperature, d.heating_outdoor_dry_bulb);
    over(load.heating_entering_dry_bulb, d.heating_entering_dry_bulb);
    over(load.no_heating_load, d.no_heating_load);
    load.site = Site::at(Length{si(Kind::length, d.elevation)}, Pressure{si(Kind::pressure, d.pressure)});
    if (!std::isnan(d.external_static)) out.by.external_static = Pressure{si(Kind::static_pressure, d.external_static)};
    out.by.line_set = line_of(d, units);
    out.by.spare_latent = d.spare_latent != 0;
    if (d.airflow_count > 0) need(d.airflows, "design: airflows: a null pointer, and airflow_count is not 0");
    for (std::size_t i = 0; i < d.airflow_count; ++i)
        out.by.airflows.push_back(StandardAirflow{si(Kind::airflow, d.airflows[i])});
    if (d.frost < OFFNOMINAL_FROST_UNKNOWN || d.frost > OFFNOMINAL_FROST_INTEGRATED)
        throw BadArgument{"design: frost: none of OFFNOMINAL_FROST_UNKNOWN, _INSTANTANEOUS, _INTEGRATED"};
    load.heating_frost = static_cast<Frost>(d.frost);
    out.by.units = units;
    if (d.limits != nullptr) out.by.limits = parse_sizing_limits(d.limits);
    return out;
}

/// Visits as a caller's columns have them.
VisitBatch batch_of(const offnominal_system* system, UnitSystem units, const offnominal_visit* visit,
                    const offnominal_visit_columns* given) {
    need(system, "system: a null pointer");
    need(visit, "visit: a null pointer");
    VisitBatch batch{*visit->visit, {}, {}};
    if (given == nullptr) return batch;
    const auto columns = taken(given, {}, "columns: of another size");
    for (std::size_t k = 0; k < asked_of_prove.size(); ++k) {
        const auto* const column = member<const double*>(columns, visit_columns_at, k);
        if (column == nullptr) continue;
        const Asked<VisitSlot>& asked = asked_of_prove[k];
        if (const std::string due = offnominal::detail::column_due(asked, batch.visit); !due.empty())
            throw BadName({}, "columns", std::string(asked.name), due);
        batch[asked.slot] = {
            column, 1, asked.kind == Kind::speed ? system->system->parts().speed_unit : unit_of(asked.kind, units)};
    }
    return batch;
}

/// What a text is called in messages.
std::string name_of(const char* name) { return name == nullptr ? "<text>" : name; }

/// What a caller's function gives.
TextBeside texts_of(offnominal_text_beside beside, void* context) {
    if (beside == nullptr) return {};
    return [=](const std::string& name) -> std::optional<std::string> {
        std::size_t size = 0;
        const char* const text = beside(context, name.c_str(), &size);
        return text == nullptr ? std::nullopt : std::optional(std::string(text, size));
    };
}

}  // namespace

extern "C" {

int32_t offnominal_system_load(const char* path, offnominal_system** system, offnominal_error* error) {
    return give_handle(system, error, [&] {
        need(path, "path: a null pointer");
        return load_system(path);
    });
}

int32_t offnominal_system_parse(const char* text, size_t size, const char* name, const char* folder,
                                offnominal_system** system, offnominal_error* error) {
    return give_handle(system, error, [&] {
        need(text, "text: a null pointer");
        return parse_system({text, size}, name_of(name), folder == nullptr ? "" : folder);
    });
}

int32_t offnominal_system_parse_beside(const char* text, size_t size, const char* name, offnominal_text_beside beside,
                                       void* context, offnominal_system** system, offnominal_error* error) {
    return give_handle(system, error, [&] {
        need(text, "text: a null pointer");
        return parse_system({text, size}, name_of(name), texts_of(beside, context));
    });
}

int32_t offnominal_visit_load(const char* path, offnominal_visit** visit, offnominal_error* error) {
    return give_handle(visit, error, [&] {
        need(path, "path: a null pointer");
        return offnominal_visit{std::make_shared<const Visit>(load_visit(path))};
    });
}

int32_t offnominal_visit_parse(const char* text, size_t size, const char* name, offnominal_visit** visit,
                               offnominal_error* error) {
    return give_handle(visit, error, [&] {
        need(text, "text: a null pointer");
        return offnominal_visit{std::make_shared<const Visit>(parse_visit({text, size}, name_of(name), ""))};
    });
}

int32_t offnominal_visit_parse_beside(const char* text, size_t size, const char* name, offnominal_text_beside beside,
                                      void* context, offnominal_visit** visit, offnominal_error* error) {
    return give_handle(visit, error, [&] {
        need(text, "text: a null pointer");
        return offnominal_visit{
            std::make_shared<const Visit>(parse_visit({text, size}, name_of(name), texts_of(beside, context)))};
    });
}

void offnominal_visit_free(offnominal_visit* visit) { delete visit; }

int32_t offnominal_prove(const offnominal_system* system, const offnominal_visit* visit, offnominal_proof** proof,
                         offnominal_error* error) {
    return give_handle(proof, error, [&] {
        need(system, "system: a null pointer");
        need(visit, "visit: a null pointer");
        return offnominal_proof{system->system, visit->visit, prove(*system->system, *visit->visit)};
    });
}

void offnominal_proof_free(offnominal_proof* proof) { delete proof; }

int32_t offnominal_prove_batch(const offnominal_system* system, int32_t units, const offnominal_visit* visit,
                               const offnominal_visit_columns* columns, size_t rows,
                               const offnominal_verdict_columns* verdicts, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        const UnitSystem u = units_of(units);
        const VisitBatch batch = batch_of(system, u, visit, columns);
        const auto to = taken(verdicts, {}, "verdicts: a null pointer, or of another size");
        need(to.reasons, "verdicts: no column of reasons");
        ProofColumns out;
        out.numbers = columns_of<Proof>(to, verdict_columns_at, visit->visit->mode(), u, rows);
        for (std::size_t k = 0; k < out.share.size(); ++k) out.share[k] = member<double*>(to, shares_at, k);
        out.reason = reinterpret_cast<Reason*>(to.reasons);
        out.notes = reinterpret_cast<Notes*>(to.notes);
        out.outcome = to.outcome;
        out.suspect = to.suspect;
        out.method = to.method;
        out.next = to.next;
        prove_many(*system->system, batch, rows, out);
        turn_reasons(to.reasons, rows, u);
        return OFFNOMINAL_OK;
    });
}

int32_t offnominal_proof_verdict(const offnominal_proof* proof, int32_t units, offnominal_verdict* verdict,
                                 offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need(proof, "proof: a null pointer");
        need_struct(verdict, "verdict: a null pointer, or of another size");
        const UnitSystem u = units_of(units);
        const Proof& p = proof->proof;
        offnominal_verdict out{};
        out.reason = told(p.reason, u);
        out.no_power = told(p.no_power, u);
        tell_notes(out.notes, p.notes);
        out.outcome = static_cast<int32_t>(p.outcome);
        out.suspect = static_cast<int32_t>(p.suspect);
        out.uncapped = p.uncapped ? static_cast<int32_t>(*p.uncapped) : -1;
        out.other_outcome = static_cast<int32_t>(p.other_outcome);
        out.judge = static_cast<int32_t>(p.judge);
        out.yardstick = static_cast<int32_t>(p.yardstick);
        out.acceptance = static_cast<int32_t>(p.acceptance);
        out.method = static_cast<int32_t>(p.method);
        tell<Proof>(out, verdict_at, &p, proof->visit->mode(), u);
        hand_out(verdict, out);
        return OFFNOMINAL_OK;
    });
}

int32_t offnominal_proof_expected(const offnominal_proof* proof, int32_t units, offnominal_expected* expected,
                                  offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need(proof, "proof: a null pointer");
        need_struct(expected, "expected: a null pointer, or of another size");
        const UnitSystem u = units_of(units);
        const Proof& p = proof->proof;
        hand_out(expected,
                 p.expected ? told(&*p.expected, {}, u) : told(static_cast<const Expected*>(nullptr), p.reason, u));
        if (p.expected) return OFFNOMINAL_OK;
        return fail(error, OFFNOMINAL_REFUSED, explain(p.reason, u), nullptr, told(p.reason, u));
    });
}

int32_t offnominal_proof_delivered(const offnominal_proof* proof, int32_t units, offnominal_delivered* delivered,
                                   offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need(proof, "proof: a null pointer");
        need_struct(delivered, "delivered: a null pointer, or of another size");
        hand_out(delivered, told(&proof->proof.delivered, {}, units_of(units)));
        return OFFNOMINAL_OK;
    });
}

int32_t offnominal_proof_json(const offnominal_proof* proof, int32_t units, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(proof, "proof: a null pointer");
        return give(json, json_of(*proof->system, *proof->visit, proof->proof, units_of(units)));
    });
}

int32_t offnominal_proof_report(const offnominal_proof* proof, int32_t units, char** text, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(text);
        need(proof, "proof: a null pointer");
        return give(text, report(*proof->system, *proof->visit, proof->proof, units_of(units)));
    });
}

int32_t offnominal_proof_texts(const offnominal_proof* proof, int32_t units, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(proof, "proof: a null pointer");
        return give(json, texts_of(*proof->system, *proof->visit, proof->proof, units_of(units)));
    });
}

int32_t offnominal_proof_causes(const offnominal_proof* proof, int32_t units, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(proof, "proof: a null pointer");
        const UnitSystem u = units_of(units);
        const Causes causes = causes_of(*proof->system, *proof->visit, proof->proof);
        return give(json, json_of(*proof->system, *proof->visit, causes, u));
    });
}

int32_t offnominal_seasons(const offnominal_proof* const* proofs, size_t count, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(proofs, "proofs: a null pointer");
        if (count == 0) throw BadArgument{"proofs: none"};
        std::vector<ProvedVisit> visits;
        for (std::size_t i = 0; i < count; ++i) {
            need(proofs[i], "proofs: one of them is a null pointer");
            if (proofs[i]->system != proofs[0]->system)
                throw BadArgument{"proofs: of several systems, not of one handle"};
            visits.push_back({*proofs[i]->visit, proofs[i]->proof});
        }
        return give(json, json_of(visits, seasons(*proofs[0]->system, visits)));
    });
}

int32_t offnominal_revised(const offnominal_system* before, const offnominal_system* after, int32_t units,
                           const offnominal_visit* visit, const offnominal_visit_columns* columns, size_t rows,
                           char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(before, "before: a null pointer");
        need(after, "after: a null pointer");
        const VisitBatch batch = batch_of(before, units_of(units), visit, columns);
        return give(json, json_of(revised(*before->system, *after->system, batch, rows)));
    });
}

void offnominal_design_init(offnominal_design* design, size_t size) {
    if (design == nullptr || size <= sizeof(size_t) || size > sizeof(offnominal_design)) return;
    design->struct_size = size;
    hand_out(design, no_design());
}

int32_t offnominal_choose(const offnominal_system* const* systems, size_t count, int32_t units,
                          const offnominal_design* design, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(systems, "systems: a null pointer");
        const UnitSystem u = units_of(units);
        const auto [load, by] = asked_of(taken(design, no_design(), "design: a null pointer, or of another size"), u);
        std::vector<const System*> of;
        for (std::size_t i = 0; i < count; ++i) {
            need(systems[i], "systems: one of them is a null pointer");
            of.push_back(systems[i]->system.get());
        }
        return give(json, json_of(of, choose(of, load, by), u));
    });
}

int32_t offnominal_card(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                        const double* outdoor_dry_bulb, size_t rows, const double* entering_wet_bulb, size_t columns,
                        const offnominal_visit* forecast, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(system, "system: a null pointer");
        const UnitSystem u = units_of(units);
        const OneQuestion question = question_of(*system->system, u, conditions);
        const auto refused = [&](const Reason& why, const Conditions& asked) {
            return fail(error, OFFNOMINAL_REFUSED, explain(why, *system->system, asked, u), nullptr, told(why, u));
        };
        if (!question.reason.none()) return refused(question.reason, question.conditions);
        const auto values = [u](const double* given, size_t count) {
            std::vector<Temperature> out;
            for (size_t i = 0; given != nullptr && i < std::min(count, TargetCard::most_cells + 1); ++i)
                out.push_back(Temperature{unit_of(Kind::temperature, u).to_si(given[i])});
            return out;
        };
        const TargetCard card =
            target_card(*system->system, question.site, question.conditions, values(outdoor_dry_bulb, rows),
                        values(entering_wet_bulb, columns), forecast == nullptr ? nullptr : forecast->visit.get());
        if (!card.reason.none()) return refused(card.reason, card.first);
        return give(json, json_of(card, u));
    });
}

int32_t offnominal_audit(const offnominal_system* system, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(system, "system: a null pointer");
        return give(json, json_of(pages_of(*system->system)));
    });
}

int32_t offnominal_audit_file(const char* path, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(path, "path: a null pointer");
        return give(json, json_of(load_pages(path)));
    });
}

}  // extern "C"
