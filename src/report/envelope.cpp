#include "offnominal/envelope.hpp"

#include <algorithm>
#include <cmath>

namespace offnominal {
namespace {

constexpr Dimension dimension(PageAxis axis, HumidityAxis humidity) noexcept {
    if (axis == PageAxis::airflow) return Dimension::airflow;
    if (axis == PageAxis::pressure) return Dimension::pressure;
    const bool wet_bulb = axis != PageAxis::humidity || humidity == HumidityAxis::wet_bulb;
    return wet_bulb ? Dimension::temperature : Dimension::ratio;
}
void add_blank(Envelope& out, const Grid& grid, std::size_t node) {
    ++out.blanks;
    const auto index = grid.view().index(node);
    std::vector<double>& at = out.blank_at.emplace_back();
    for (std::size_t axis = 0; axis < out.axes.size(); ++axis) at.push_back(grid.breakpoints(axis)[index[axis]]);
}
Envelope envelope_of(const Stage& stage, const std::string& match) {
    const PrintedPage& page = stage.table.page();
    Envelope out{stage.name, match, {}, 0, page.nodes.size()};
    for (std::size_t axis = 0; axis < stage.table.axes().size(); ++axis) {
        const auto x = stage.table.grid().breakpoints(axis);
        out.axes.push_back({stage.table.grid().axes()[axis].name(),
                            dimension(stage.table.axes()[axis], stage.table.humidity()),
                            {x.begin(), x.end()},
                            about(stage.table.axes()[axis], stage.table.humidity())});
    }
    for (std::size_t n = 0; n < page.nodes.size(); ++n)
        if (page.nodes[n].mark == Mark::blank || page.nodes[n].mark == Mark::beyond_limit)
            add_blank(out, stage.table.grid(), n);
    return out;
}

Envelope envelope_of(const HeatingStage& stage) {
    const HeatingPage& page = stage.table.page();
    Envelope out{stage.name, {}, {}, 0, page.nodes.size(), true, stage.frost};
    for (std::size_t axis = 0; axis < heating_axes; ++axis) {
        const auto x = stage.table.grid().breakpoints(axis);
        out.axes.push_back({stage.table.grid().axes()[axis].name(),
                            dimension(heating_page_axes[axis], HumidityAxis::wet_bulb),
                            {x.begin(), x.end()},
                            about(heating_page_axes[axis], HumidityAxis::wet_bulb)});
    }
    for (std::size_t n = 0; n < page.nodes.size(); ++n)
        if (page.nodes[n].mark != Mark::printed) add_blank(out, stage.table.grid(), n);
    return out;
}

}  // namespace

std::vector<Envelope> envelope(const System& system) {
    const SystemParts& parts = system.parts();
    std::vector<Envelope> out;
    for (const Stage& s : parts.cooling) out.push_back(envelope_of(s, {}));
    for (const Match& m : parts.matches)
        for (const Stage& s : m.stages) out.push_back(envelope_of(s, m.name));
    for (const HeatingStage& s : parts.heating) out.push_back(envelope_of(s));
    return out;
}

Coverage coverage(const System& system) {
    const SystemParts& parts = system.parts();
    Coverage out;
    for (const Mode mode : {Mode::cooling, Mode::heating}) {
        const LineTable& table = parts.lines(mode);
        for (const LineTable::Row& row : table.rows()) {
            if (out.lines.empty() || out.lines.back().mode != mode || out.lines.back().suction != row.suction)
                out.lines.push_back({mode, row.suction, {}});
            if (row.mark == Mark::printed) out.lines.back().lengths.push_back(row.length);
        }
        if (!table.empty()) out.lift = table.limits();  // one pair for both modes
    }
    for (const Match& match : parts.matches) {
        double least = HUGE_VAL, greatest = 0.0;
        for (const Stage& stage : system.stages(&match)) {
            const auto flows = stage.table.breakpoints(PageAxis::airflow);
            least = std::min(least, flows.front());
            greatest = std::max(greatest, flows.back());
        }
        if (match.airflow) {
            least = std::max(least, match.airflow->first.si);
            greatest = std::min(greatest, match.airflow->second.si);
        }
        if (least <= greatest) out.airflow.push_back({match.name, Airflow{least}, Airflow{greatest}});
    }
    const std::vector<AltitudeTable::Row> altitudes = parts.altitude.rows();
    if (!altitudes.empty()) out.elevation.emplace(altitudes.front().elevation, altitudes.back().elevation);
    return out;
}

}  // namespace offnominal
