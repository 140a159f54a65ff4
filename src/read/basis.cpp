#include "read/basis.hpp"

namespace offnominal::files {
namespace {

/// `fan: 365 W per 1000 scfm`, `fan: 420 W`, or a list of both.
TableFan read_fan(const Fields& fields, const Item& item) {
    TableFan fan;
    const auto add = [&](const Item& typed) {
        Measured value;
        // A power per airflow has a slash or a 'per' in its unit; everything else is read as a power.
        if (const Complaint c = read_quantity(fields.text(typed, "fan"), Dimension::fan_ratio, value); !c) {
            fan.per_airflow.si += value.si;
        } else {
            const Complaint power = read_quantity(typed.text, Dimension::power, value);
            if (power) fields.refuse(typed, fields.path("fan") + ": " + power.problem, "420 W, or 365 W per 1000 scfm");
            fan.power.si += value.si;
        }
    };
    if (item.kind == Item::Kind::list)
        for (const Item& typed : item.values) add(typed);
    else
        add(item);
    return fan;
}

/// A quantity that only makes sense above zero; 0 if not given.
template <Dimension D>
Quantity<D> read_positive(const Fields& fields, std::string_view key) {
    const Item* item = fields.find(key);
    if (item == nullptr) return {};
    const auto out = fields.quantity<D>(*item, key);
    if (!(out.si > 0.0)) fields.refuse(*item, fields.path(key) + ": not above zero", "what the page prints");
    return out;
}

/// What ratio columns are relative to.
RatedPoint read_rated(const Document& document, const Item& item, const std::string& where) {
    const Fields fields(document, item, where, {"total", "sensible", "power"});
    return {read_positive<Dimension::power>(fields, "total"), read_positive<Dimension::power>(fields, "sensible"),
            read_positive<Dimension::power>(fields, "power")};
}

CertifiedRating read_certified(const Document& document, const Item& item, const std::string& where) {
    const Fields fields(document, item, where, {"total", "airflow", "fan"});
    (void)fields.need("total", "the certified net total capacity, such as 33.0 MBh");
    (void)fields.need("airflow", "the standard airflow of the rating, such as 1050 scfm");
    (void)fields.need("fan", "the power of the indoor fan in the rating, such as 400 W");
    return {read_positive<Dimension::power>(fields, "total"), read_positive<Dimension::airflow>(fields, "airflow"),
            read_positive<Dimension::power>(fields, "fan")};
}

/// The printed entering-dry-bulb correction k x airflow x (1 - BF) x (EDB - reference). Nothing is stored: there is no
/// other form.
void check_sensible_correction(const Fields& fields) {
    const Item* item = fields.find("sensible_correction");
    if (item == nullptr) return;
    const std::string typed = fields.text(*item, "sensible_correction");
    if (typed == "1 + bypass")
        fields.refuse(*item,
                      fields.path("sensible_correction") +
                          ": the minus sign was lost in print: air that bypasses the coil is not cooled",
                      "1 - bypass");
    fields.need_word("sensible_correction", "1 - bypass");
}

/// What cooling and heating pages share.
template <class AnyBasis>
void read_shared(const Fields& fields, AnyBasis& basis) {
    basis.capacity = fields.choice("capacity", CapacityBasis::unknown);
    basis.airflow = fields.choice("airflow", AirflowBasis::unknown);
    basis.standard_pound = fields.choice("standard_pound", Pound::unknown);
    basis.power = fields.choice("power", PowerBasis::unknown);
    const Item* fan = fields.find("fan");
    const bool net = basis.capacity == CapacityBasis::net;
    if (fan == nullptr && net) fields.missing("fan", "the fan in the net capacity: 365 W per 1000 scfm, or 420 W");
    if (fan != nullptr && !net)
        fields.refuse(*fan, fields.path("fan") + ": a fan, but the capacity is not net", "capacity: net, or no fan");
    if (fan != nullptr) basis.fan = read_fan(fields, *fan);
    basis.elevation = fields.quantity<Dimension::length>("elevation");
    basis.tolerance = fields.ratio("tolerance");
    if (const auto& t = basis.tolerance; t && !(*t >= 0.0 && *t < 0.5))
        fields.refuse(*fields.find("tolerance"), fields.path("tolerance") + ": not a tolerance", "5 %, or 0.05");
}

}  // namespace

std::optional<Measured> read_speed(const Fields& fields) {
    const Item* item = fields.find("speed");
    if (item == nullptr) return std::nullopt;
    const Measured speed = fields.measured(*item, "speed", Dimension::frequency, Dimension::ratio);
    if (speed.unit.name == units::one.name)
        fields.refuse(*item, fields.path("speed") + ": a number without a unit", "Hz, rpm, %");
    if (!(speed.si > 0.0)) fields.refuse(*item, fields.path("speed") + ": not above zero", "a speed such as 25 Hz");
    return speed;
}

Basis read_basis(const Document& document, const Item& item, const std::string& where) {
    const Fields fields(document, item, where,
                        {"capacity", "fan", "airflow", "standard_pound", "power", "sensible_at", "sensible_slope",
                         "sensible_correction", "sensible_ratio_of", "rated", "certified", "elevation", "tolerance"});
    Basis basis;
    read_shared(fields, basis);
    basis.sensible_at = fields.quantity<Dimension::temperature>("sensible_at");
    basis.sensible_slope = fields.quantity<Dimension::sensible_slope>("sensible_slope");
    check_sensible_correction(fields);
    basis.sensible_ratio_of = fields.choice("sensible_ratio_of", SensibleRatioOf::not_a_ratio);
    if (const Item* rated = fields.find("rated")) basis.rated = read_rated(document, *rated, fields.path("rated"));
    if (const Item* certified = fields.find("certified"))
        basis.certified = read_certified(document, *certified, fields.path("certified"));
    return basis;
}

HeatingBasis read_heating_basis(const Document& document, const Item& item) {
    const Fields fields(document, item, "heating: basis",
                        {"capacity", "fan", "airflow", "standard_pound", "power", "printed_at", "outdoor_humidity",
                         "elevation", "tolerance"});
    HeatingBasis basis;
    read_shared(fields, basis);
    basis.printed_at = fields.quantity<Dimension::temperature>("printed_at");
    basis.outdoor_relative_humidity = fields.ratio("outdoor_humidity");
    if (const auto& rh = basis.outdoor_relative_humidity; rh && !(*rh > 0.0105 && *rh <= 1.0))
        fields.refuse(*fields.find("outdoor_humidity"), fields.path("outdoor_humidity") + ": not a relative humidity",
                      "75 %, or 0.75");
    return basis;
}

}  // namespace offnominal::files
