// The pages of a variable-speed machine as one: speed is one more axis, whose labels are judged as those of any other.
#include <cmath>
#include <limits>

#include "heating_page.hpp"
#include "page_labels.hpp"

namespace offnominal {
namespace detail {
namespace {

// Coordinates. Speeds act by their ratios, about those in the middle of what compressors run at.
[[nodiscard]] double by_frequency(double speed) { return air::elementary::log(std::max(speed, 1e-6) / 50.0); }
[[nodiscard]] double by_share(double speed) { return air::elementary::log(std::max(speed, 1e-6) / 0.7); }

/// What an output does with speed (common practice, no source): capacity follows it a little less than in proportion,
/// power in proportion.
[[nodiscard]] Tendency with_speed(const std::string& role) {
    return role == "power" ? Tendency{1.0, 0.2, 0.15} : Tendency{0.85, 0.15, 0.1};
}

class SpeedLabels {
   public:
    SpeedLabels(const std::vector<double>& speeds, const Unit& unit, const std::vector<PrintedPage>& pages, PageOf of)
        : speeds_(speeds), unit_(unit), pages_(pages), of_(of) {
        for (const PrintedPage& page : pages) shapes_.emplace_back(page);
    }

    [[nodiscard]] std::vector<std::optional<Suspect>> suspects() {
        std::vector<std::optional<Suspect>> out(pages_.size());
        if (pages_.size() < 2 || !alike()) return out;
        std::vector<LabelAxis> axes;
        std::vector<std::vector<std::size_t>> index;
        find_nodes(axes, index);
        if (nodes_.empty()) return out;
        LabelAudit audit(std::move(axes), std::move(index), columns());
        for (const WrongLabel& wrong : audit.run())
            if (!out[wrong.label]) out[wrong.label] = suspect(wrong);
        return out;
    }

   private:
    static constexpr PageAxis shared[] = {PageAxis::outdoor_dry_bulb, PageAxis::humidity, PageAxis::entering_dry_bulb};

    /// Whether the pages measure their air alike.
    [[nodiscard]] bool alike() const {
        for (std::size_t p = 0; p < pages_.size(); ++p) {
            if (pages_[p].nodes.size() != shapes_[p].nodes()) return false;
            if (humidity_axis(pages_[p]) != humidity_axis(pages_.front())) return false;
            if (pages_[p].pairs != pages_.front().pairs) return false;
            if (shapes_[p].has(PageAxis::entering_dry_bulb) != shapes_.front().has(PageAxis::entering_dry_bulb))
                return false;
        }
        return true;
    }
    /// Where a page has a label of the first page, if it does.
    [[nodiscard]] std::optional<std::size_t> find(std::size_t page, PageAxis axis, std::size_t label) const {
        const std::vector<double>&labels = shapes_[page].breakpoints(axis), &first = shapes_.front().breakpoints(axis);
        if (page == 0 || first.empty()) return label;
        for (std::size_t i = 0; i < labels.size(); ++i)
            if (std::abs(labels[i] - first[label]) <= 1e-6) return i;
        return std::nullopt;
    }
    /// The labels of the first page that all others have too.
    [[nodiscard]] std::vector<std::size_t> common(PageAxis axis) const {
        std::vector<std::size_t> out;
        const std::size_t size = shapes_.front().size(axis);
        for (std::size_t i = 0; i < size; ++i) {
            bool everywhere = true;
            for (std::size_t p = 0; p < pages_.size(); ++p) everywhere = everywhere && find(p, axis, i);
            if (everywhere) out.push_back(i);
        }
        return out;
    }
    [[nodiscard]] static double (*coordinate(PageAxis axis, PageOf of, HumidityAxis humidity))(double) {
        if (axis == PageAxis::outdoor_dry_bulb) return of == PageOf::cooling ? by_outdoor : by_cold_outdoor;
        if (axis == PageAxis::entering_dry_bulb) return by_dry_bulb;
        return humidity == HumidityAxis::relative_humidity ? by_relative_humidity : by_wet_bulb;
    }

    void find_nodes(std::vector<LabelAxis>& axes, std::vector<std::vector<std::size_t>>& index) {
        LabelAxis& speed = axes.emplace_back();
        speed.roles = {"speed"};
        speed.units = {unit_};
        speed.labels = {speeds_};
        speed.texts.emplace_back();
        for (const double s : speeds_) speed.texts.front().push_back(brief(unit_.from_si(s), 9));
        speed.coordinate = unit_.dimension == Dimension::ratio ? by_share : by_frequency;
        speed.least = 1e-6;
        speed.regular = false;
        std::vector<std::vector<std::size_t>> labels;
        for (const PageAxis a : shared) {
            labels.push_back(common(a));
            if (labels.back().size() < 2) continue;
            LabelAxis& axis = axes.emplace_back();
            axes_.push_back(a);
            axis.roles = {std::string()};
            axis.units = {units::one};
            axis.labels.emplace_back();
            for (const std::size_t i : labels.back()) axis.labels.front().push_back(value(a, i));
            axis.texts.emplace_back(labels.back().size());
            axis.coordinate = coordinate(a, of_, humidity_axis(pages_.front()));
            axis.printed = false;
        }
        index.resize(axes.size());
        for (std::size_t p = 0; p < pages_.size(); ++p)
            for (std::size_t i = 0; i < labels[0].size(); ++i)
                for (std::size_t j = 0; j < labels[1].size(); ++j)
                    for (std::size_t k = 0; k < labels[2].size(); ++k) {
                        const std::size_t at[] = {i, j, k};
                        std::size_t n = 0, axis = 0;
                        n = shapes_[p].moved(n, PageAxis::airflow, shapes_[p].size(PageAxis::airflow) / 2);
                        index[axis++].push_back(p);
                        for (std::size_t s = 0; s < std::size(shared); ++s) {
                            if (labels[s].size() > 1) index[axis++].push_back(at[s]);
                            n = shapes_[p].moved(n, shared[s], *find(p, shared[s], labels[s][at[s]]));
                        }
                        nodes_.push_back(&pages_[p].nodes[n]);
                    }
    }
    /// A label of the first page; of pairs, which all pages have alike, its wet bulb.
    [[nodiscard]] double value(PageAxis axis, std::size_t i) const {
        return axis == PageAxis::humidity && !pages_.front().pairs.empty() ? pages_.front().pairs[i].wet_bulb
                                                                           : shapes_.front().breakpoints(axis)[i];
    }

    [[nodiscard]] std::vector<LabelColumn> columns() const {
        std::vector<LabelColumn> out;
        const auto add = [&](const char* role, double PrintedNode::*member, double own) {
            LabelColumn& c = out.emplace_back();
            c.role = role;
            c.tendencies = {with_speed(role)};
            for (const PageAxis a : axes_) c.tendencies.push_back(tendency(role, a, of_));
            c.own = own;  // each block has its own airflow, fan and coil
            for (const PrintedNode* node : nodes_) {
                const double number = node->*member;
                const bool usable = node->mark == Mark::printed && number > 0.0 && number < most_counted;
                c.y.push_back(usable ? air::elementary::log(number) : std::numeric_limits<double>::quiet_NaN());
                c.in.push_back(usable);
            }
        };
        const auto all = [&](bool PrintedPage::*has) {
            return std::all_of(pages_.begin(), pages_.end(), [has](const PrintedPage& page) { return page.*has; });
        };
        add("total", &PrintedNode::total, 0.03);
        if (all(&PrintedPage::has_power)) add("power", &PrintedNode::power, 0.06);
        return out;
    }

    [[nodiscard]] Suspect suspect(const WrongLabel& wrong) const {
        Suspect out;
        const PrintedPage& page = pages_[wrong.label];
        out.column = "speed";
        for (std::size_t n = 0; n < page.nodes.size(); ++n) out.block.push_back(n);
        if (!page.places.empty()) out.place = page.places.front();
        out.unit = unit_;
        out.printed = speeds_[wrong.label];
        out.typed = brief(unit_.from_si(out.printed), 9);
        if (wrong.slip != Slip::repeated_block) {
            out.implied = wrong.meant;
            out.guess = wrong.text;
        }
        if (wrong.other) out.other = brief(unit_.from_si(speeds_[*wrong.other]), 9);
        out.slip = wrong.slip;
        out.checks.add(Check::axis);
        out.score = std::sqrt(2.0 * wrong.gain);
        return out;
    }

    const std::vector<double>& speeds_;
    Unit unit_;
    const std::vector<PrintedPage>& pages_;
    PageOf of_;
    std::vector<PageShape> shapes_;
    std::vector<PageAxis> axes_;  ///< behind the speeds
    std::vector<const PrintedNode*> nodes_;
};

[[nodiscard]] std::vector<std::optional<Suspect>> audited(const std::vector<double>& speeds, const Unit& unit,
                                                          const std::vector<PrintedPage>& pages, PageOf of) {
    if (speeds.size() != pages.size())
        throw InputError({}, "as many speeds as pages are due", std::to_string(speeds.size()),
                         std::to_string(pages.size()));
    return SpeedLabels(speeds, unit, pages, of).suspects();
}

}  // namespace
}  // namespace detail

std::vector<std::optional<Suspect>> audit_speeds(const std::vector<double>& speeds, const Unit& unit,
                                                 const std::vector<PrintedPage>& pages) {
    return detail::audited(speeds, unit, pages, detail::PageOf::cooling);
}

std::vector<std::optional<Suspect>> audit_speeds(const std::vector<double>& speeds, const Unit& unit,
                                                 const std::vector<HeatingPage>& pages) {
    std::vector<PrintedPage> printed;
    std::vector<std::size_t> from;
    for (const HeatingPage& page : pages) printed.push_back(detail::as_printed_page(page, from));
    return detail::audited(speeds, unit, printed, detail::PageOf::heating);
}

}  // namespace offnominal
