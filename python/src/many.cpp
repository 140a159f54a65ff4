// Many visits proved at once, with the GIL released.
#include "offnominal/proof/many.hpp"

#include <memory>
#include <vector>

#include "offnominal/proof/between_visits.hpp"
#include "told.hpp"

namespace binding {
namespace {

/// Points the columns of a batch at what is given by name: a float for all rows, or an array.
void point_at(VisitBatch& batch, const py::dict& numbers, UnitSystem units, const Unit& speed_unit,
              std::vector<double>& ones, py::ssize_t rows) {
    ones.reserve(numbers.size());  // columns point into it
    for (const auto& [key, one] : numbers) {
        const auto column = key.cast<std::string>();
        for (const Asked<VisitSlot>& asked : asked_of_prove) {
            if (asked.name != column) continue;
            if (const std::string due = offnominal::detail::column_due(asked, batch.visit); !due.empty())
                throw py::value_error(column + ": a column, where the visit reads " + due);
            Column& out = batch[asked.slot];
            out.unit = asked.kind == Kind::speed ? speed_unit : unit_of(asked.kind, units);
            if (py::isinstance<py::array_t<double>>(one)) {
                const auto array = py::reinterpret_borrow<py::array_t<double, py::array::forcecast>>(one);
                out.data = array.data();
                out.step = step_of(array, rows);
            } else {
                out.data = &ones.emplace_back(one.cast<double>());
            }
        }
    }
}

VisitBatch from_row(VisitBatch batch, std::size_t first) {
    const auto row = static_cast<std::ptrdiff_t>(first);
    for (Column& column : batch.numbers)
        if (column.data != nullptr) column.data += row * column.step;
    for (KeyColumn* keys : {&batch.stage, &batch.match})
        if (keys->code != nullptr) keys->code += row * keys->step;
    return batch;
}

ProofColumns from_row(ProofColumns out, std::size_t first) {
    const auto on = [first](auto*& column) {
        if (column != nullptr) column += first;
    };
    for (OutColumn& column : out.numbers) on(column.data);
    for (double*& share : out.share) on(share);
    on(out.reason);
    for (std::int16_t** word : {&out.outcome, &out.suspect, &out.method, &out.next}) on(*word);
    on(out.notes);
    return out;
}

py::dict prove_rows(const System& system, const std::shared_ptr<Visit>& visit, const std::string& units_word,
                    py::ssize_t rows, const py::dict& numbers, const std::vector<std::string>& stages,
                    const std::optional<Codes>& stage, const std::vector<std::string>& matches,
                    const std::optional<Codes>& match, const std::vector<std::string>& told, bool draws,
                    std::size_t threads) {
    const UnitSystem units = CallerUnits::of(units_word).system;
    VisitBatch batch{*visit, {}, {}};
    batch.most = draws ? Method::draws : Method::first_order;
    std::vector<double> ones;
    point_at(batch, numbers, units, system.parts().speed_unit, ones, rows);
    const std::vector<std::string_view> stage_names(stages.begin(), stages.end());
    const std::vector<std::string_view> match_names(matches.begin(), matches.end());
    if (stage) batch.stage = {stage_names, stage->data(), step_of(*stage, rows)};
    if (match) batch.match = {match_names, match->data(), step_of(*match, rows)};

    Columns columns(rows, (sizeof(double) * (std::size(told_of<Proof>) + input_count)) + sizeof(Reason) +
                              sizeof(Notes) + 4 * sizeof(double));
    ProofColumns out;
    out.numbers = columns.add_told<Proof>(visit->mode(), units, told);
    for (const auto& row : words_of<Input>) {
        const std::string share = "share_of_" + std::string(row.word);
        if (std::find(told.begin(), told.end(), share) != told.end())
            out.share[static_cast<std::size_t>(row.value)] = columns.add<double>(share);
    }
    out.reason = columns.add<Reason>("reasons");
    out.outcome = columns.add<std::int16_t>("outcome");
    out.suspect = columns.add<std::int16_t>("suspect");
    out.method = columns.add<std::int16_t>("method");
    out.next = columns.add<std::int16_t>("next");
    constexpr std::size_t at_once = 1024;                       // of a thread: a second, where all take draws
    if (rows == 0) prove_many(system, batch, 0, out, threads);  // what is wrong with all of them is still told
    in_parts(static_cast<std::size_t>(rows), at_once * std::max<std::size_t>(threads, 1),
             [&](std::size_t first, std::size_t last) {
                 prove_many(system, from_row(batch, first), last - first, from_row(out, first), threads);
             });
    return columns.arrays();
}

/// What a revision makes of rows that `prove_rows` told of by both: visits, how many moved, and a row for each flip.
py::tuple revised_of(const py::dict& before, const py::dict& after) {
    using Words = py::array_t<std::int16_t>;
    const auto columns_of = [](const py::dict& told, ProofColumns& out) {
        for (std::size_t k = 0; k < out.numbers.size(); ++k)
            if (const py::str name{std::string(told_of<Proof>[k].name)}; told.contains(name))
                out.numbers[k].data = const_cast<double*>(told[name].cast<py::array_t<double>>().data());
        out.outcome = const_cast<std::int16_t*>(told["outcome"].cast<Words>().data());
        out.reason = const_cast<Reason*>(told["reasons"].cast<py::array_t<Reason>>().data());
        return static_cast<std::size_t>(told["outcome"].cast<Words>().size());
    };
    ProofColumns first, second;
    const std::size_t rows = columns_of(before, first);
    if (columns_of(after, second) != rows) throw std::logic_error("columns of unlike length");
    const Revised found = revised(first, second, rows);
    py::list flips;
    const auto number = [](double x) { return std::isnan(x) ? py::object(py::none()) : py::object(py::float_(x)); };
    const auto outcome = [](std::int16_t word) { return std::string(outcome_of_row(word)); };
    for (const Flip& one : found.flips)
        flips.append(py::make_tuple(one.row, outcome(one.before), outcome(one.after), number(one.ratio_before),
                                    number(one.ratio_after), number(one.expected), std::string(name(one.reason_before)),
                                    std::string(name(one.reason_after))));
    return py::make_tuple(found.visits, found.moved, flips);
}

}  // namespace
}  // namespace binding

void bind_many(pybind11::module_& m) {
    using namespace binding;
    m.attr("asked_of_prove") = lines_of(asked_of_prove);
    m.attr("inputs") = all_words<Input>();
    m.attr("outcomes") = all_words<Outcome>();
    m.attr("methods") = all_words<Method>();
    m.attr("remedies") = all_words<Remedy>();
    m.def("prove_many", &prove_rows);
    m.def("revised", &revised_of);
    m.def("instruments_of", [](const std::shared_ptr<Visit>& visit) {
        py::dict out;  // by input; empty where none is named
        for (const auto& row : words_of<Input>) out[py::str(std::string(row.word))] = visit->of(row.value).instrument;
        return out;
    });
}
