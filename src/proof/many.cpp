#include "offnominal/proof/many.hpp"

#include "instruments.hpp"
#include "prove.hpp"
#include "threads.hpp"

namespace offnominal {
namespace {
using namespace detail;

/// The name under which an instrument says how good it is in what an input reads.
std::string_view accuracy_name(const Visit& visit, Input input) noexcept {
    const auto of_humidity = [](air::Humidity::Kind kind) { return name(air::detail::about(kind)); };
    switch (input) {
        case Input::return_dry_bulb:
        case Input::supply_dry_bulb:
        case Input::outdoor_dry_bulb:
            return "dry_bulb";
        case Input::return_humidity:
            return of_humidity(visit.readings.return_humidity.kind);
        case Input::supply_humidity:
            return of_humidity(visit.readings.supply_humidity.kind);
        case Input::airflow:
            return "airflow";
        case Input::pressure:
            return "pressure";
        case Input::fan_power:
        case Input::power:
        case Input::auxiliary_heat:
            break;
    }
    return "power";
}

/// What an instrument says of an input where that is a share of the reading; null elsewhere.
const Accuracy* share_of(const Visit& visit, Input input) noexcept {
    for (const Instrument& instrument : visit.instruments)
        for (const Accuracy& accuracy : instrument.accuracies)
            if (instrument.name == visit.of(input).instrument && accuracy.quantity == accuracy_name(visit, input))
                return accuracy.of_reading ? &accuracy : nullptr;
    return nullptr;
}

[[noreturn]] void refuse_column(std::string_view column, const char* problem, const char* accepted) {
    throw InputError({}, std::string(column) + ": a column, where the visit " + problem, {}, accepted);
}

/// What all rows share, checked.
void check_batch(const System& system, const VisitBatch& batch) {
    const Visit& visit = batch.visit;
    check_visit(visit);
    check_speed(system, visit);
    if (!visit.airflow_by.empty())
        throw InputError({}, "airflow: a visit that finds it in some way, as no table of many does", {},
                         "a reading of it");
    if (visit.second_capacity)
        throw InputError({}, "second_capacity: of one visit, where a table has many", {},
                         "a proof of that visit alone");
    const auto has = [&](VisitSlot slot) { return batch[slot].data != nullptr; };
    if (has(VisitSlot::power) && !visit.power)
        refuse_column("power", "does not say what the meter was around",
                      "readings: power: in the visit, whose number the column replaces");
    const bool own_line = visit.line_set && !visit.line_set->is_reference;
    const bool whole_line = has(VisitSlot::line_length) && has(VisitSlot::line_suction);
    for (const auto& [slot, column] :
         {std::pair{VisitSlot::line_length, "line_length"}, std::pair{VisitSlot::line_suction, "line_suction"},
          std::pair{VisitSlot::line_lift, "line_lift"}, std::pair{VisitSlot::line_liquid, "line_liquid"}})
        if (has(slot) && !own_line && !whole_line)
            refuse_column(column, "has no line of its own", "columns line_length and line_suction too, or line_set");
    if (has(VisitSlot::auxiliary_heat) && visit.mode() != Mode::heating)
        refuse_column("auxiliary_heat", "is of cooling", "mode: heating");
    if (has(VisitSlot::supply_humidity) && visit.mode() == Mode::heating)
        refuse_column("supply humidity", "is of heating", "nothing: heated air keeps its moisture");
}

/// One visit after another, row by row.
class RowVisit {
   public:
    explicit RowVisit(const VisitBatch& batch) : batch_(batch), visit_(batch.visit) {
        if (auto wider = widened(batch.visit)) {
            visit_ = std::move(*wider);
            expired_ = true;
        }
        visit_.typed = {};
        for (std::size_t i = 0; i < input_count; ++i) {
            share_[i] = share_of(visit_, static_cast<Input>(i));
            wider_[i] = widening_of(visit_, visit_.of(static_cast<Input>(i)).instrument);
        }
        const bool has_line =
            batch[VisitSlot::line_length].data != nullptr || batch[VisitSlot::line_suction].data != nullptr ||
            batch[VisitSlot::line_lift].data != nullptr || batch[VisitSlot::line_liquid].data != nullptr;
        if (has_line && !(visit_.line_set && !visit_.line_set->is_reference))
            visit_.line_set = LineSet::of(Length{LineSet::unknown}, Length{LineSet::unknown}, Length{LineSet::unknown});
    }
    [[nodiscard]] const Visit& visit() const noexcept { return visit_; }

    /// @return why the row is no visit
    [[nodiscard]] Reason read(std::size_t row) {
        Readings& r = visit_.readings;
        take(VisitSlot::return_dry_bulb, row, r.return_dry_bulb.si);
        take(VisitSlot::return_humidity, row, r.return_humidity.value);
        take(VisitSlot::supply_dry_bulb, row, r.supply_dry_bulb.si);
        take(VisitSlot::supply_humidity, row, r.supply_humidity.value);
        take(VisitSlot::airflow, row, r.airflow.si);
        take(VisitSlot::outdoor_dry_bulb, row, visit_.outdoor_dry_bulb.si);
        take(VisitSlot::fan_power, row, visit_.fan_power.si);
        take(VisitSlot::fan_power, row, r.fan_power.si);
        if (take(VisitSlot::auxiliary_heat, row, r.auxiliary_heat.si) && batch_.visit.auxiliary_unknown)
            visit_.auxiliary_unknown = std::isnan(r.auxiliary_heat.si);
        if (LineSet* line = visit_.line_set ? &*visit_.line_set : nullptr) {
            line->equivalent_length = line->longest();
            take(VisitSlot::line_length, row, line->equivalent_length.si);
            take(VisitSlot::line_suction, row, line->suction.si);
            if (line->fittings) *line = line->with(*line->fittings);
            take(VisitSlot::line_lift, row, line->lift.si);
            take(VisitSlot::line_liquid, row, line->liquid.si);
        }
        take_name(batch_.stage, row, stage_, visit_.stage);
        take_name(batch_.match, row, match_, visit_.match);
        if (const Reason reason = take_power(row); !reason.none()) return reason;
        if (const Reason reason = take_speed(row); !reason.none()) return reason;
        if (const Reason reason = take_site(row); !reason.none()) return reason;
        for (std::size_t i = 0; i < input_count; ++i)
            if (share_[i] != nullptr)
                visit_.uncertainty[i].standard = wider_[i] * share_[i]->standard * std::abs(reading(i));
        return {};
    }
    [[nodiscard]] double pressure() const noexcept { return pressure_; }
    /// Whether the calibration of an instrument has expired, and what it reads is widened.
    [[nodiscard]] bool expired() const noexcept { return expired_; }

   private:
    bool take(VisitSlot slot, std::size_t row, double& out) const noexcept {
        const Column& column = batch_[slot];
        if (column.data == nullptr) return false;
        out = column.si(row);
        return true;
    }
    /// Names change seldom from row to row, and a text is written only where they do.
    static void take_name(const KeyColumn& column, std::size_t row, std::int32_t& last, std::string& out) {
        if (column.code == nullptr || column.at(row) == last) return;
        last = column.at(row);
        out = column.name(row);
    }
    Reason take_power(std::size_t row) {
        double power = Conditions::not_given;
        if (!take(VisitSlot::power, row, power)) return {};
        visit_.power = batch_.visit.power;
        visit_.power->value.si = power;
        if (std::isnan(power)) visit_.power.reset();
        return outside_unless(!visit_.power || visit_.power->can_run_a_machine(), About::power, power,
                              PowerReading::least);
    }
    Reason take_speed(std::size_t row) {
        double speed = Conditions::not_given;
        if (!take(VisitSlot::speed, row, speed)) return {};
        visit_.speed.reset();
        if (std::isnan(speed)) return {};
        visit_.speed = Speed{speed, batch_[VisitSlot::speed].unit};
        return outside_unless(speed > 0.0 && std::isfinite(speed), About::speed, speed, 0.0);
    }
    Reason take_site(std::size_t row) {
        const auto si = [](const auto& given) { return given ? given->si : Conditions::not_given; };
        double elevation = si(batch_.visit.site.given_elevation()), pressure = si(batch_.visit.site.given_pressure());
        take(VisitSlot::elevation, row, elevation);
        take(VisitSlot::pressure, row, pressure);
        visit_.site = Site::at(Length{elevation}, Pressure{pressure});
        const auto station = visit_.site.pressure();
        if (!station) return station.reason();
        pressure_ = *station;
        return {};
    }
    [[nodiscard]] static Reason outside_unless(bool inside, About about, double value, double least) noexcept {
        return inside ? Reason{} : Reason{Why::outside, about, -1, -1, value, least, HUGE_VAL};
    }
    /// What an input's uncertainty may be a share of; 0 where it is not given, which is refused for itself.
    [[nodiscard]] double reading(std::size_t input) const noexcept {
        const Readings& r = visit_.readings;
        const std::array readings{r.return_dry_bulb.si,
                                  r.return_humidity.value,
                                  r.supply_dry_bulb.si,
                                  r.supply_humidity.value,
                                  r.airflow.si,
                                  visit_.outdoor_dry_bulb.si,
                                  pressure_,
                                  visit_.fan_power.si,
                                  visit_.power ? visit_.power->value.si : 0.0,
                                  r.auxiliary_heat.si};
        static_assert(readings.size() == input_count);
        return std::isfinite(readings[input]) ? readings[input] : 0.0;
    }

    const VisitBatch& batch_;
    Visit visit_;
    std::array<const Accuracy*, input_count> share_{};
    std::array<double, input_count> wider_{};
    bool expired_ = false;
    double pressure_ = 0.0;
    std::int32_t stage_ = -2, match_ = -2;
};

void write_row(const Visit& visit, const Proof& proof, std::size_t row, const ProofColumns& out) {
    for (std::size_t k = 0; k < out.numbers.size(); ++k)
        if (const OutColumn& column = out.numbers[k]; column.data != nullptr)
            column.data[row] = column.unit.from_si(told_of<Proof>[k].of(proof));
    for (const BudgetLine& line : proof.budget)
        if (double* share = out.share[static_cast<std::size_t>(line.input)]) share[row] = line.share;
    const auto word = [row](std::int16_t* column, auto value) {
        if (column != nullptr) column[row] = static_cast<std::int16_t>(value);
    };
    out.reason[row] = proof.reason;
    word(out.outcome, proof.outcome);
    word(out.suspect, proof.suspect);
    word(out.method, proof.ratio ? static_cast<std::int16_t>(proof.method) : no_word);
    if (out.notes != nullptr) out.notes[row] = proof.notes;
    if (out.next == nullptr) return;
    const auto remedies = settle(visit, proof);
    const Settling* best = best_of(remedies);
    word(out.next, best == nullptr ? no_word : static_cast<std::int16_t>(best->remedy));
}

void write_refused(const Reason& reason, std::size_t row, const ProofColumns& out) noexcept {
    for (const OutColumn& column : out.numbers)
        if (column.data != nullptr) column.data[row] = Conditions::not_given;
    out.reason[row] = reason;
    for (std::int16_t* column : {out.outcome, out.suspect, out.method, out.next})
        if (column != nullptr) column[row] = no_word;
    if (out.notes != nullptr) out.notes[row] = {};
}

}  // namespace

std::string detail::column_due(const Asked<VisitSlot>& column, const Visit& visit) {
    const bool returned = column.slot == VisitSlot::return_humidity;
    if (!returned && column.slot != VisitSlot::supply_humidity) return {};
    const air::Humidity& read = returned ? visit.readings.return_humidity : visit.readings.supply_humidity;
    std::string due = (returned ? "return_" : "supply_") + std::string(name(air::detail::about(read.kind)));
    return column.name == due ? std::string() : due;
}

void prove_many(const System& system, const VisitBatch& batch, std::size_t rows, const ProofColumns& out,
                std::size_t threads) {
    check_batch(system, batch);
    const SharedErrors shared = shared_errors(batch.visit);
    run_throwing_on_threads(rows, threads, 64, [&](std::size_t first, std::size_t last) {
        RowVisit one(batch);
        for (std::size_t row = first; row < last; ++row) {
            for (double* share : out.share)
                if (share != nullptr) share[row] = Conditions::not_given;
            Proof proof;
            if (one.expired()) proof.notes.add(Note::calibration_expired);
            Reason reason = one.read(row);
            if (reason.none())
                reason = prove_checked(ProofModel(system, one.visit(), one.pressure()), &shared, batch.most, proof);
            if (reason.none())
                write_row(one.visit(), proof, row, out);
            else
                write_refused(reason, row, out);
        }
    });
}

}  // namespace offnominal
