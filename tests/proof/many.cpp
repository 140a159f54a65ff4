// Visits by columns: the bits of one by one, whatever shares the work. Visits are invented.
#include "offnominal/proof/many.hpp"

#include <doctest/doctest.h>

#include <array>
#include <vector>

#include "offnominal/files.hpp"

using namespace offnominal;

TEST_CASE("visits by columns have the bits of one by one, on any number of threads") {
    const std::string demo = OFFNOMINAL_TABLES_DIR "/demo/";
    const System system = load_system(demo + "alder.yaml");
    const Visit visit = load_visit(demo + "library-visit.yaml");
    const std::vector<double> outdoor{91.0, 95.0, 84.0, 190.0, 91.0}, supply{58.4, 57.9, 59.5, 58.4, 140.0};
    const std::vector<std::string_view> stages{"high", "low"};
    const std::array<std::int32_t, 5> stage{0, 0, 1, 0, 0};
    VisitBatch batch{visit, {stages, stage.data(), 1}, {}};
    batch[VisitSlot::outdoor_dry_bulb] = {outdoor.data(), 1, units::degF};
    batch[VisitSlot::supply_dry_bulb] = {supply.data(), 1, units::degF};
    for (const std::size_t threads : {1u, 3u}) {
        std::array<double, 5> ratio{}, probability{}, airflow{};
        std::array<std::int16_t, 5> outcome{}, next{};
        std::array<Reason, 5> reason{};
        ProofColumns out;
        out.numbers[0] = {ratio.data(), units::one};
        for (std::size_t k = 0; k < out.numbers.size(); ++k)
            if (told_of<Proof>[k].name == "probability") out.numbers[k] = {probability.data(), units::one};
        out.share[static_cast<std::size_t>(Input::airflow)] = airflow.data();
        out.reason = reason.data();
        out.outcome = outcome.data();
        out.next = next.data();
        prove_many(system, batch, 5, out, threads);
        for (std::size_t i = 0; i < 5; ++i) {
            Visit one = visit;
            one.outdoor_dry_bulb.si = units::degF.to_si(outdoor[i]);
            one.readings.supply_dry_bulb.si = units::degF.to_si(supply[i]);
            one.stage = stages[static_cast<std::size_t>(stage[i])];
            const Proof proof = prove(system, one);
            CAPTURE(i);
            CHECK(reason[i] == proof.reason);
            CHECK(outcome[i] == static_cast<std::int16_t>(proof.outcome));
            const auto remedies = settle(one, proof);
            const Settling* best = best_of(remedies);
            CHECK(next[i] == (best == nullptr ? no_word : static_cast<std::int16_t>(best->remedy)));
            CHECK(proof.ratio.has_value() == (ratio[i] == ratio[i]));
            if (!proof.ratio) continue;
            CHECK(ratio[i] == *proof.ratio);
            CHECK(probability[i] == proof.probability);
            for (const BudgetLine& line : proof.budget)
                if (line.input == Input::airflow) CHECK(airflow[i] == line.share);
        }
    }
}
