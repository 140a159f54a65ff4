#include "offnominal/envelope.hpp"

namespace offnominal {
namespace {

constexpr Dimension dimension(PageAxis axis, HumidityAxis humidity) noexcept {
    if (axis == PageAxis::airflow) return Dimension::airflow;
    if (axis == PageAxis::pressure) return Dimension::pressure;
    const bool wet_bulb = axis != PageAxis::humidity || humidity == HumidityAxis::wet_bulb;
    return wet_bulb ? Dimension::temperature : Dimension::ratio;
}
Envelope envelope_of(const Stage& stage, const std::string& match) {
    const PrintedPage& page = stage.table.page();
    Envelope out{stage.name, match, {}, 0, page.nodes.size()};
    for (std::size_t axis = 0; axis < stage.table.axes().size(); ++axis) {
        const auto x = stage.table.grid().breakpoints(axis);
        out.axes.push_back({stage.table.grid().axes()[axis].name(),
                            dimension(stage.table.axes()[axis], stage.table.humidity()),
                            {x.begin(), x.end()}});
    }
    for (const PrintedNode& node : page.nodes)
        if (node.mark == Mark::blank || node.mark == Mark::beyond_limit) ++out.blanks;
    return out;
}

Envelope envelope_of(const HeatingStage& stage) {
    const HeatingPage& page = stage.table.page();
    Envelope out{stage.name, {}, {}, 0, page.nodes.size(), true, stage.frost};
    for (std::size_t axis = 0; axis < heating_axes; ++axis) {
        const auto x = stage.table.grid().breakpoints(axis);
        out.axes.push_back({stage.table.grid().axes()[axis].name(),
                            dimension(heating_page_axes[axis], HumidityAxis::wet_bulb),
                            {x.begin(), x.end()}});
    }
    for (const HeatingNode& node : page.nodes)
        if (node.mark != Mark::printed) ++out.blanks;
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

}  // namespace offnominal
