#include "offnominal/missing.hpp"

#include <algorithm>
#include <cmath>

#include "look_up.hpp"
#include "offnominal/envelope.hpp"

namespace offnominal {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

template <Worded E>
std::vector<std::string> words() {
    std::vector<std::string> out;
    for (const auto& row : words_of<E>)
        if (!row.word.empty()) out.emplace_back(row.word);
    return out;
}

/// A question that is filled in, step by step, until it is answered.
class Form {
   public:
    Form(const System& system, const Site& site, const Conditions& given)
        : system_(system), site_(site), asked_(given), pages_(envelope(system)) {}

    [[nodiscard]] std::vector<Missing> missing() {
        std::vector<Missing> out;
        std::vector<About> seen;
        for (;;) {
            const auto answer = detail::look_up(system_, site_, asked_);
            const Reason& reason = answer.reason();
            // What was filled in and does not do either, or can be filled in by nothing, ends it.
            if (answer || std::find(seen.begin(), seen.end(), reason.about) != seen.end()) return out;
            seen.push_back(reason.about);
            Missing& one = out.emplace_back();
            one.reason = reason;
            if (reason.why == Why::outside) one.lower = reason.lower, one.upper = reason.upper;
            if (!fill(reason, one)) return out;
        }
    }

   private:
    /// Whether a page may be the one that is asked for.
    [[nodiscard]] bool may_be(const Envelope& page) const {
        const bool heats = asked_.mode == Mode::heating;
        if (page.heating != heats) return false;
        if (!given_.stage.empty() && page.stage != given_.stage) return false;
        if (heats) return true;
        if (given_.match.empty()) return true;
        const Match* const match = system_.match(given_.match);
        return match != nullptr && page.match == (match->stages.empty() ? std::string() : match->name);
    }
    /// What the pages that may be asked for cover along an axis.
    void cover(Missing& one, About about) const {
        double lower = infinity, upper = -infinity;
        for (const Envelope& page : pages_)
            for (const Envelope::Range& axis : page.axes)
                if (may_be(page) && axis.about == about) {
                    lower = std::min(lower, axis.breakpoints.front());
                    upper = std::max(upper, axis.breakpoints.back());
                }
        if (lower <= upper) one.lower = lower, one.upper = upper;
    }
    /// The bounds of a number that is no axis, as the refusal of one past them tells them.
    template <class Set>
    void ask_bounds(Missing& one, const Set& set) const {
        Conditions past = asked_;
        set(past);
        const Reason reason = detail::look_up(system_, site_, past).reason();
        if (reason.why == Why::outside && reason.about == one.reason.about)
            one.lower = reason.lower, one.upper = reason.upper;
    }
    /// A node of a page that is printed, to fill in from: the middle of each axis.
    [[nodiscard]] double middle(About about, double otherwise) const {
        for (const Envelope& page : pages_)
            for (const Envelope::Range& axis : page.axes)
                if (may_be(page) && page.stage == asked_.stage && axis.about == about)
                    return axis.breakpoints[axis.breakpoints.size() / 2];
        return otherwise;
    }

    /// Notes what would be accepted, and fills in something that is. @return whether there is such a thing
    bool fill(const Reason& reason, Missing& one) {
        const bool open = reason.why == Why::not_given || reason.why == Why::not_finite;
        switch (reason.about) {
            case About::mode:
                one.words = words<Mode>();
                return false;
            case About::boundary:
                one.words = words<Boundary>();
                asked_.boundary = Boundary::coil;
                return true;
            case About::outside:
                one.words = words<Outside>();
                asked_.outside = Outside::refuse;
                return true;
            case About::frost: {
                for (const HeatingStage& stage : system_.parts().heating)
                    if (asked_.stage.empty() || stage.name == asked_.stage) one.words.emplace_back(name(stage.frost));
                std::sort(one.words.begin(), one.words.end());
                one.words.erase(std::unique(one.words.begin(), one.words.end()), one.words.end());
                std::erase(one.words, std::string(name(Frost::unknown)));
                if (one.words.empty())
                    one.words = words<Frost>(), std::erase(one.words, std::string(name(Frost::unknown)));
                asked_.frost = *named<Frost>(one.words.front());
                return true;
            }
            case About::match:
                one.words = system_.match_names();
                given_.match.clear();
                asked_.match = one.words.empty() ? std::string() : one.words.front();
                return true;
            case About::stage:
                one.words = stages();
                given_.stage.clear();
                if (one.words.empty()) return false;
                asked_.stage = one.words.front();
                return true;
            case About::speed:
                asked_.speed = {};
                return true;
            case About::line_set:
            case About::line_length:
            case About::lift:
            case About::suction_size:
            case About::liquid_size:
                if (reason.about == About::line_set) one.words = {"reference"};
                for (const LineTable::Row& row : system_.parts().lines(asked_.mode).rows())
                    if (reason.about == About::suction_size) one.words.push_back(size_text(row.suction));
                one.words.erase(std::unique(one.words.begin(), one.words.end()), one.words.end());
                asked_.line_set = LineSet::reference();
                return true;
            case About::held_outdoor:
            case About::held_line:
            case About::extended_wet_bulb:
                asked_.hold = {};
                return true;
            case About::elevation:
            case About::pressure:
                if (open) cover_site(one);
                site_ = Site::at_elevation(Length{std::clamp(0.0, one.lower, one.upper)});
                return true;
            case About::outdoor_dry_bulb:
                if (open) cover(one, reason.about);
                asked_.outdoor_dry_bulb.si = middle(reason.about, 10.0);
                return true;
            case About::entering_dry_bulb:
                if (open) cover(one, reason.about);
                asked_.entering_dry_bulb.si = asked_.mode == Mode::heating ? 20.0 : 26.0;
                return true;
            case About::humidity:
            case About::entering_wet_bulb:
            case About::entering_relative_humidity:
            case About::entering_humidity_ratio:
            case About::entering_dew_point:
                if (reason.about == About::humidity) one.words = words<air::Humidity::Kind>();
                if (open) cover(one, reason.about);
                asked_.entering_humidity = air::relative_humidity(0.45);
                return true;
            case About::airflow:
            case About::standard_airflow:
            case About::fan_position:
                if (open || reason.why == Why::unknown_choice) cover_airflow(one);
                asked_.airflow = AirflowReading::standard(Airflow{middle(About::standard_airflow, 0.5)});
                return true;
            case About::fan_power:
                if (open) ask_bounds(one, [](Conditions& c) { c.fan_power.si = -1.0; });
                asked_.fan_power.si = 0.0;
                return true;
            case About::auxiliary_heat:
                if (open) ask_bounds(one, [](Conditions& c) { c.auxiliary_heat.si = -1.0; });
                asked_.auxiliary_heat.si = 0.0;
                return true;
            case About::outdoor_relative_humidity:
                if (open) ask_bounds(one, [](Conditions& c) { c.outdoor_relative_humidity = 2.0; });
                asked_.outdoor_relative_humidity = 0.75;
                return true;
            default:
                return false;
        }
    }

    [[nodiscard]] std::vector<std::string> stages() const {
        if (asked_.mode == Mode::heating) return system_.heating_stage_names();
        std::vector<std::string> out;
        for (const Stage& stage : system_.stages(system_.match(asked_.match))) out.push_back(stage.name);
        return out;
    }
    static std::string size_text(Length size) { return shown(size.si, About::suction_size, UnitSystem::both); }

    void cover_site(Missing& one) const {
        const auto limits = coverage(system_).elevation;
        const Reason any = Site::at_elevation(Length{2e4}).pressure().reason();  // what a site may be at all
        one.lower = limits && asked_.mode == Mode::cooling ? limits->first.si : any.lower;
        one.upper = limits && asked_.mode == Mode::cooling ? limits->second.si : any.upper;
    }
    void cover_airflow(Missing& one) const {
        if (asked_.airflow.kind == AirflowReading::Kind::not_given || one.reason.why == Why::unknown_choice)
            one.words = words<AirflowReading::Kind>();
        if (one.reason.about ==
            About::fan_position)  // of an airflow that is read at a fan that stands nobody knows where
            one.words = {std::string(name(air::Place::return_air)), std::string(name(air::Place::supply_air))};
        cover(one, About::standard_airflow);
        const Match* const match = system_.match(given_.match);
        if (match != nullptr && match->airflow && asked_.mode == Mode::cooling) {
            one.lower = std::max(one.lower, match->airflow->first.si);
            one.upper = std::min(one.upper, match->airflow->second.si);
        }
    }

    const System& system_;
    Site site_;
    Conditions asked_;
    Conditions given_ = asked_;  ///< but for names that are none
    std::vector<Envelope> pages_;
};

}  // namespace

std::vector<Missing> missing(const System& system, const Site& site, const Conditions& conditions) {
    return Form(system, site, conditions).missing();
}

}  // namespace offnominal
