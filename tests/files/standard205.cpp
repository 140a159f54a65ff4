// ANSI/ASHRAE Standard 205 representations: read, reported, refused, made into a system and back, written.
// Every representation here is invented for the test.
#include "offnominal/standard205.hpp"

#include <cmath>
#include <random>

#include "../support/near.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/explain.hpp"
#include "texts.hpp"

using namespace offnominal;
using namespace offnominal::standard205;
using texts::complaint;

namespace {

/// A cooling map of an invented unit: dry at the lowest humidity.
Map cooling_map(const std::vector<double>& entering = {295.15, 299.85},
                const std::vector<double>& pressure = {84300.0, 101325.0}) {
    Map map;
    map.grid = {{"outdoor_coil_entering_dry_bulb_temperature", {298.15, 308.15, 318.15}},
                {"indoor_coil_entering_relative_humidity", {0.2, 0.5, 0.7}},
                {"indoor_coil_entering_dry_bulb_temperature", entering},
                {"indoor_coil_air_mass_flow_rate", {0.5, 0.6}},
                {"compressor_sequence_number", {1, 2}},
                {"ambient_absolute_air_pressure", pressure}};
    map.lookup = {{"gross_total_capacity", {}}, {"gross_sensible_capacity", {}}, {"gross_power", {}}};
    for (const double odb : map.grid[0].values)
        for (const double rh : map.grid[1].values)
            for (const double edb : map.grid[2].values)
                for (const double flow : map.grid[3].values)
                    for (const double stage : map.grid[4].values)
                        for (const double p : map.grid[5].values) {
                            const double size = 0.4 + 0.3 * stage;
                            const double total =
                                size * (9000.0 - 60.0 * (odb - 308.15) + 3000.0 * (rh - 0.5) + 150.0 * (edb - 299.85) +
                                        2000.0 * (flow - 0.6) + 2e-3 * (p - 101325.0));
                            const double sensible = size * (6500.0 - 10000.0 * (rh - 0.5) + 400.0 * (edb - 299.85) +
                                                            5000.0 * (flow - 0.6) - 20.0 * (odb - 308.15));
                            map.lookup[0].values.push_back(total);
                            map.lookup[1].values.push_back(std::min(total, sensible));
                            map.lookup[2].values.push_back(size * (2600.0 + 50.0 * (odb - 308.15)));
                            map.operation_state.emplace_back("NORMAL");
                        }
    return map;
}

Map heating_map() {
    Map map;
    map.grid = {{"outdoor_coil_entering_dry_bulb_temperature", {263.15, 281.15}},
                {"indoor_coil_entering_dry_bulb_temperature", {293.15}},
                {"indoor_coil_air_mass_flow_rate", {0.5, 0.6}},
                {"compressor_sequence_number", {1, 2}}};
    map.lookup = {{"gross_frost_free_capacity", {4000, 6000, 4100, 6200, 6000, 9000, 6100, 9200}},
                  {"gross_frost_free_power", {1500, 2300, 1500, 2300, 1700, 2600, 1700, 2600}}};
    map.operation_state.assign(8, "NORMAL");
    return map;
}

Map defrost_map() {
    Map map;
    map.grid = {{"outdoor_coil_entering_dry_bulb_temperature", {263.15, 273.15}},
                {"outdoor_coil_entering_relative_humidity", {0.5, 0.9}},
                {"compressor_sequence_number", {1, 2}}};
    map.lookup = {{"capacity_correction_factor", {1, 1, 0.98, 0.97, 0.97, 0.96, 0.9, 0.89}},
                  {"power_correction_factor", {1, 1, 1, 1, 0.99, 0.99, 0.98, 0.97}},
                  {"defrost_time_fraction", {0, 0, 0.01, 0.01, 0.02, 0.02, 0.05, 0.06}}};
    return map;
}

Representation invented() {
    Representation r;
    r.metadata = {"ASHRAE_205",
                  "RS0004",
                  "2.0.0",
                  "Unit A, invented",
                  "123e4567-e89b-12d3-a456-426614174000",
                  "2026-01-31T12:00Z",
                  "1",
                  "invented for a test",
                  "",
                  ""};
    r.product.outdoor_unit_model_number = "Unit A";
    r.product.refrigerant = "R-410A";
    r.capabilities = {"COOLING", "HEATING"};
    r.speed_control = "DISCRETE";
    r.cooling_cycling_degradation_coefficient = 0.1 + 0.2 - 0.1;  // not a short decimal
    r.heating_cycling_degradation_coefficient = 0.25;
    r.cooling = cooling_map();
    r.heating = heating_map();
    r.defrost_correction = defrost_map();
    r.standby =
        Map{{{"outdoor_coil_environment_dry_bulb_temperature", {253.15, 313.15}}}, {{"gross_power", {35, 8.5}}}, {}};
    r.name = "unit-a.json";
    return r;
}

const std::string text = write_representation(invented(), Format::json);

Representation read(std::string_view bytes) { return parse_representation(bytes, "unit-a.json"); }
Representation changed(std::string_view from, std::string_view to) { return read(texts::with(text, from, to)); }
/// What is said of the invented representation with one change.
std::string of_changed_file(std::string_view from, std::string_view to) {
    return complaint([&] { (void)changed(from, to); });
}
std::string of_bytes(std::string_view bytes) {
    return complaint([&] { (void)read(bytes); });
}
/// The only departure, in one line.
std::string only_departure(const Representation& r) {
    REQUIRE(r.departures.size() == 1);
    const Departure& d = r.departures.front();
    return d.key + ": " + d.problem + " | " + d.asked;
}
std::string departure(std::string_view from, std::string_view to) { return only_departure(changed(from, to)); }

std::string as_json(const Representation& r) { return write_representation(r, Format::json); }
std::string as_cbor(const Representation& r) { return write_representation(r, Format::cbor); }

const std::string cooling_key = "performance.performance_map_cooling.";

}  // namespace

TEST_CASE("a clean representation has no departure, and its members are what was written") {
    const Representation r = read(text);
    CHECK(r.departures.empty());
    CHECK(r.metadata.schema == "RS0004");
    CHECK(r.product.refrigerant == "R-410A");
    CHECK(r.capabilities == std::vector<std::string>{"COOLING", "HEATING"});
    CHECK(*r.cooling_cycling_degradation_coefficient == *invented().cooling_cycling_degradation_coefficient);
    REQUIRE(r.cooling);
    CHECK(r.cooling->points() == 144);
    CHECK(*r.cooling->find("gross_total_capacity") == *invented().cooling->find("gross_total_capacity"));
    CHECK(r.standby->find("gross_power")->back() == 8.5);
    CHECK(r.standby->operation_state.empty());
}

TEST_CASE("JSON to CBOR to JSON: the same bytes") {
    const std::string odd =
        texts::with(texts::with(text, "\"refrigerant\"", "\"charge\": {\"kg\": [2.5, null, true]}, \"refrigerant\""),
                    "\"metadata\"", "\"vendor \\u00e4\": -7, \"metadata\"");
    const Representation r = read(odd);
    CHECK(as_json(r) == as_json(read(as_cbor(r))));
    CHECK(as_json(read(as_json(r))) == as_json(r));
    CHECK(as_cbor(read(as_cbor(r))) == as_cbor(r));
    CHECK(as_json(r).find("\"vendor \xc3\xa4\": -7,\n  \"metadata\"") != std::string::npos);
    CHECK(as_json(r).find("\"charge\": {\n        \"kg\": [2.5,null,true]\n      },\n      \"refrigerant\"") !=
          std::string::npos);
    CHECK(r.departures.size() == 2);
    CHECK(as_cbor(r).size() < as_json(r).size());
    CHECK(read("\xd9\xd9\xf7" + as_cbor(r)).departures.size() == 2);  // self-described CBOR, RFC 8949, 3.4.6
}

TEST_CASE("members put into the frame win, and removed ones leave it") {
    Representation r = read(text);
    r.metadata.notes = "seen";
    r.metadata.data_source.clear();
    r.heating.reset();
    r.defrost_correction.reset();
    r.capabilities = {"COOLING"};
    r.heating_cycling_degradation_coefficient.reset();
    r.cooling->lookup[2].values[5] += 1.0;
    const Representation again = read(as_json(r));
    CHECK(again.departures.empty());
    CHECK(again.metadata.notes == "seen");
    CHECK(again.metadata.data_source.empty());
    CHECK_FALSE(again.heating);
    CHECK(again.cooling->lookup[2].values == r.cooling->lookup[2].values);
    r.cooling->lookup[2].values.pop_back();
    CHECK(complaint([&] { (void)as_json(r); }).find("gross_power: 143 values, so that some would shift") !=
          std::string::npos);
    r.cooling->lookup[2].values.push_back(NAN);
    CHECK(complaint([&] { (void)as_cbor(r); }).find("gross_power[143]: below zero") != std::string::npos);
}

TEST_CASE("odd capabilities and long whole numbers are written as they came, or refused") {
    for (const std::string odd : {"\"COOLING\"", "[\"COOLING\",5,null]", "[[\"HEATING\"]]", "{}", "null", "7", "[]"}) {
        CAPTURE(odd);
        const std::string typed = texts::with(text, "[\"COOLING\",\"HEATING\"]", odd);
        CHECK(as_json(read(typed)) == typed);
    }
    const auto with_serial = [](const std::string& number) {
        return texts::with(text, "\"data_model\"", "\"serial\": " + number + ",\n    \"data_model\"");
    };
    for (const std::string whole : {"18446744073709551615", "-9223372036854775808"})
        CHECK(as_json(read(with_serial(whole))) == with_serial(whole));
    CHECK(as_json(read(with_serial("36893488147419103232"))) ==
          with_serial("3.6893488147419103e+19"));  // the same number
    CHECK(of_bytes(with_serial("18446744073709551617")) ==
          "unit-a.json: metadata.serial: a whole number past 64 bits: '18446744073709551617'; accepted: at most "
          "18446744073709551615, or text");
}

TEST_CASE("departures are reported by key, and the numbers used") {
    const std::string& c = cooling_key;
    CHECK(departure("\"NORMAL\",", "") == c + "lookup_variables.operation_state: 143 values; all are the same, so the "
                                              "numbers can be used | 144 values, the product of the grid variables");
    CHECK(departure("cooling_cycling", "cycling") ==
          "performance.cycling_degradation_coefficient: an older name of the key | "
          "cooling_cycling_degradation_coefficient");
    CHECK(*changed("cooling_cycling", "cycling").cooling_cycling_degradation_coefficient > 0.2);
    CHECK(as_json(changed("cooling_cycling", "cycling")) == texts::with(text, "cooling_cycling", "cycling"));
    CHECK(departure("\"RS0004\"", "\"RS0001\"") == "metadata.schema: another one: \"RS0001\" | RS0004");
    CHECK(departure("\"schema\": \"RS0004\",", "") == "metadata.schema: missing | RS0004");
    CHECK(departure("\"2.0.0\"", "2") == "metadata.schema_version: not text: 2 | text");
    CHECK(departure("\"refrigerant\"", "\"Refrigerant\"") ==
          "description.product_information.Refrigerant: not a key of the standard; kept as it is | no such key");
    CHECK(departure("\"DISCRETE\"", "\"STEPS\"") ==
          "performance.compressor_speed_control_type: not one of the words: "
          "\"STEPS\" | DISCRETE or CONTINUOUS");
    CHECK(departure("[\"COOLING\",\"HEATING\"]", "[\"COOLING\"]") ==
          "performance.performance_capabilities: does not name a map that is there | HEATING");
    CHECK(
        departure("\"heating_cycling_degradation_coefficient\": 0.25,", "") ==
        "performance.heating_cycling_degradation_coefficient: missing | this key where the capabilities name HEATING");
}

TEST_CASE("several departures at once") {
    const Representation r = changed("\"performance_map_standby\"", "\"standby\"");
    REQUIRE(r.departures.size() == 2);
    CHECK(r.departures[0].key == "performance.standby");
    CHECK(r.departures[1].key == "performance.performance_map_standby");
    // A grid variable of one value does not change how the arrays run, known or not.
    Representation one = invented();
    one.cooling = cooling_map({295.15, 299.85}, {101325.0});
    const Representation other = read(texts::with(as_json(one), "ambient_absolute_air_pressure", "coil_rows"));
    REQUIRE(other.departures.size() == 2);
    CHECK(other.departures[0].key == cooling_key + "grid_variables.coil_rows");
    CHECK(other.departures[1].key == cooling_key + "grid_variables.ambient_absolute_air_pressure");
    CHECK(as_json(read(as_json(other))) == as_json(other));
}

TEST_CASE("keys in another order are read in the standard's order") {
    std::string sorted = text;
    const std::string flow = "\"indoor_coil_air_mass_flow_rate\": [0.5,0.6],\n        ";
    sorted = texts::with(sorted, flow, "");
    sorted = texts::with(sorted, "\"outdoor_coil_entering_dry_bulb_temperature\"",
                         flow + "\"outdoor_coil_entering_dry_bulb_temperature\"");
    const Representation r = read(sorted);
    CHECK(only_departure(r).starts_with(cooling_key + "grid_variables: keys in another order"));
    CHECK(r.cooling->grid[3].name == "indoor_coil_air_mass_flow_rate");
    CHECK(as_json(r) == sorted);
}

TEST_CASE("impossible values are refused by key, value and what would be right") {
    const std::string grid = cooling_key + "grid_variables.";
    CHECK(
        of_changed_file("[84300.0,101325.0]", "[81.273,101.325]") ==
        "unit-a.json: " + grid +
            "ambient_absolute_air_pressure[0]: a station pressure no place has: '81.273'; accepted: a station pressure "
            "in Pa, 50000 to 110000; if these are kPa: 81273.0 Pa");
    CHECK(of_changed_file("[84300.0,101325.0]", "[101325, 101.325]")
              .find("[1]: a station pressure no place has: '101.325'") != std::string::npos);
    CHECK(of_changed_file("[84300.0,101325.0]", "[14.696]").find("if these are psia: 101325.") != std::string::npos);
    CHECK(of_changed_file("298.15,308.15", "25,35") ==
          "unit-a.json: " + grid +
              "outdoor_coil_entering_dry_bulb_temperature[0]: a temperature no machine runs at: '25'; accepted: a "
              "temperature in K; if this is in degC: 298.15 K");
    CHECK(
        of_changed_file("0.2,0.5,0.7", "20,50,70") ==
        "unit-a.json: " + grid +
            "indoor_coil_entering_relative_humidity[0]: above 1: '20'; accepted: a fraction from 0 to 1; if this is in "
            "percent: 0.2");
    CHECK(of_changed_file("0.2,0.5,0.7", "0.2,0.7,0.5").find("[2]: not above the value before: '0.5'") !=
          std::string::npos);
    CHECK(of_changed_file("0.2,0.5,0.7", "0.2,0.5,0.5").find("[2]: not above the value before: '0.5'") !=
          std::string::npos);
    CHECK(of_changed_file("0.2,0.5,0.7", "").find("relative_humidity: no values") != std::string::npos);
    CHECK(of_changed_file("[0.2,0.5,0.7]", "0.5").find("relative_humidity: not a list: '0.5'") != std::string::npos);
    CHECK(of_changed_file("0.2,0.5,0.7", "0.2,\"0.5\",0.7").find("[1]: not a number: '\"0.5\"'") != std::string::npos);
    CHECK(of_changed_file("0.2,0.5,0.7", "0.2,null,0.7").find("[1]: not a number: 'null'") != std::string::npos);
    CHECK(of_changed_file("\"compressor_sequence_number\": [1,2]", "\"compressor_sequence_number\": [0,1]")
              .find("[0]: not a sequence number: '0'") != std::string::npos);
    CHECK(of_changed_file("\"compressor_sequence_number\": [1,2]", "\"compressor_sequence_number\": [1,1.5]")
              .find("[1]: not a sequence number: '1.5'") != std::string::npos);
    CHECK(of_changed_file("\"gross_total_capacity\": [", "\"gross_total_capacity\": [-1,").find("145 values") !=
          std::string::npos);
    Representation negative = invented();
    negative.cooling->lookup[0].values[7] = -1.0;
    CHECK(complaint([&] {
              (void)as_json(negative);
          }).find("gross_total_capacity[7]: below zero: '-1.0'; accepted: W") != std::string::npos);
    CHECK(of_changed_file("0.25", "1") ==
          "unit-a.json: performance.heating_cycling_degradation_coefficient: not a "
          "cycling degradation coefficient: '1'; accepted: a number from 0 to below 1, such as "
          "0.25");
    CHECK(of_changed_file("\"operation_state\": [\"NORMAL\",\"NORMAL\"", "\"operation_state\": [\"STANDBY\"")
              .find("operation_state: 143 values, so that some would shift") != std::string::npos);
}

TEST_CASE("an unknown grid variable of several values leaves the order of the arrays open") {
    CHECK(
        of_changed_file("\"ambient_absolute_air_pressure\"", "\"frequency\"") ==
        "unit-a.json: " + cooling_key +
            "grid_variables.frequency: an unknown grid variable of several values; accepted: the grid variables of the "
            "standard: nothing says where in the look-up arrays this one runs");
}

TEST_CASE("what is not JSON") {
    CHECK(of_bytes("") == "unit-a.json:1:1: the file ends inside a value; accepted: a whole JSON document");
    CHECK(of_bytes("[]") == "unit-a.json: not an object: '[...]'; accepted: metadata, description and performance");
    CHECK(of_bytes("{}") ==
          "unit-a.json: no performance; accepted: a representation of Standard 205: metadata, performance");
    CHECK(of_changed_file("\"schema\"", "\"data_model\"") ==
          "unit-a.json: metadata.data_model: a key given twice: '\"data_model\"'; accepted: each key once");
    CHECK(of_changed_file("0.2,0.5", "0.2,NaN") ==
          "unit-a.json:26:56: not JSON: '0.2,N'; accepted: JSON (RFC 8259): no comments, no NaN, no commas too many");
    CHECK(of_changed_file("0.2,0.5", "0.2,1e999").find("a number too large to hold: '1e999'") != std::string::npos);
    CHECK(of_changed_file("0.2,0.5", "0.2,,0.5").find("not JSON") != std::string::npos);
    CHECK(of_bytes(text + "x").find("not JSON") != std::string::npos);
    CHECK(of_bytes("{\"a\": \"\xc3\x28\"}").find("not JSON") != std::string::npos);
    CHECK(of_bytes("{\xff").find("not JSON: '{\\xff'") != std::string::npos);
    CHECK(of_bytes("\x9f").find("not JSON: '\\x9f'") != std::string::npos);
    // Texts count as keys do: an empty one is a byte of CBOR.
    CHECK(of_bytes("\xa1\x61"
                   "a\x9f" +
                   std::string(100'000, '\x60') + "\xff")
              .find("more than 100,000 values in a file") != std::string::npos);
    CHECK(of_bytes(std::string(100'000, '[')).find("more than 32 levels of maps and lists") != std::string::npos);
    CHECK(complaint([] { (void)read_representation("no-such-file.json"); }).find("there is no such file") !=
          std::string::npos);
}

TEST_CASE("what is not well-formed CBOR, RFC 8949 appendix F") {
    const auto of = [](std::string_view after_key) {
        return of_bytes(
            "\xa1\x61"
            "a" +
            std::string(after_key));
    };
    CHECK(of("\x01") ==
          "unit-a.json: no performance; accepted: a representation of Standard 205: metadata, performance");
    CHECK(of("\x01\x01").find("bytes after the end of the CBOR map, at byte 4") != std::string::npos);
    CHECK(of("").find("the file ends inside a value, at byte 3") != std::string::npos);
    CHECK(of("\x62"
             "b")
              .find("the file ends inside a text") != std::string::npos);
    CHECK(of("\x1c").find("not CBOR") != std::string::npos);      // reserved additional information
    CHECK(of("\xf8\x01").find("not CBOR") != std::string::npos);  // a simple value in two bytes that fits one
    CHECK(of("\xff").find("not CBOR") != std::string::npos);      // a break where none is due
    CHECK(of("\x1f").find("not CBOR") != std::string::npos);
    CHECK(of("\x7f\x41\x61\xff").find("a text in pieces, one of which is no text") != std::string::npos);
    CHECK(of("\xbf\x61"
             "b\xff")
              .find("not CBOR") != std::string::npos);  // a key without a value
    CHECK(of("\xc0\x01").find("a CBOR tag") != std::string::npos);
    CHECK(of("\x41\x01").find("a string of bytes") != std::string::npos);
    CHECK(of("\x61\xff").find("a text that is not UTF-8") != std::string::npos);
    CHECK(of("\xf9\x7e\x01").find("a: not a finite number: 'NaN'") != std::string::npos);
    CHECK(of("\xf9\x7c" + std::string(1, '\0')).find("a: not a finite number: 'infinity'") != std::string::npos);
    CHECK(of("\xf7").find("a CBOR value that JSON has no word for") != std::string::npos);  // undefined
    CHECK(of("\x9b\xff\xff\xff\xff\xff\xff\xff\xff").find("the file ends inside a value") != std::string::npos);
    CHECK(of("\x9b\x0f\xff\xff\xff\xff\xff\xff\xff\x01").find("the file ends inside a value") != std::string::npos);
    CHECK(of(std::string(1'000'000, '\x7f')).find("a text in pieces, one of which is no text") != std::string::npos);
    CHECK(of(std::string(1'000'000, '\x9f')).find("more than 32 levels of maps and lists") != std::string::npos);
    CHECK(of("\x7f\x61"
             "b\x61"
             "c\xff")
              .find("no performance") != std::string::npos);
}

TEST_CASE("each limit of a representation: read at it, refused one below") {
    std::string odd = write_representation(invented(), Format::json);
    odd.insert(odd.rfind('}'),
               ", \"a key of nobody, which is longer than any of the standard's\": {\"b\": [1, 2]}, \"c\": 1");
    const auto of = [&](std::size_t Limits::*most) {
        return texts::least(most, [&](const Limits& limits) { (void)parse_representation(odd, "odd.json", limits); });
    };
    CHECK(of(&Limits::representation_bytes) == odd.size());
    CHECK(of(&Limits::key_bytes) == std::string("a key of nobody, which is longer than any of the standard's").size());
    CHECK(of(&Limits::points) == invented().cooling->points());
    CHECK(of(&Limits::departures) == parse_representation(odd, "odd.json").departures.size());
    CHECK(of(&Limits::object_keys) == 8);
    CHECK(of(&Limits::depth) == 5);
    CHECK(of(&Limits::values) < of(&Limits::representation_values));
    const Representation whole = parse_representation(odd, "odd.json");
    CHECK(texts::least(&Limits::points, [&](const Limits& limits) { (void)to_system(whole, limits); }) ==
          whole.cooling->points() + whole.heating->points());
}

TEST_CASE("truncated and mutated bytes give InputError and nothing else") {
    Representation small = invented();
    small.cooling = Map{};  // few bytes, so that most mutations meet a key or a bound
    for (const Variable& v : cooling_map().grid) small.cooling->grid.push_back({v.name, {v.values.front()}});
    for (const char* name : {"gross_total_capacity", "gross_sensible_capacity", "gross_power"})
        small.cooling->lookup.push_back({name, {3000.0}});
    small.cooling->operation_state = {"NORMAL"};
    int accepted = 0, refused = 0;
    const auto feed = [&](const std::string& bytes) {
        try {
            const Representation r = read(bytes);
            CHECK(as_json(read(as_json(r))) == as_json(r));
            ++accepted;
            (void)to_system(r);
        } catch (const InputError& error) {
            CHECK(std::string_view(error.what()).size() < 1000);
            ++refused;
        }
    };
    for (const std::string& good : {as_json(small), as_cbor(small)}) {
        for (std::size_t length = 0; length < good.size() - 1; length += 3) {
            CAPTURE(length);
            CHECK_THROWS_AS((void)read(good.substr(0, length)), InputError);
        }
        std::mt19937 random(205);
        for (int i = 0; i < 4000; ++i) {
            std::string bytes = good;
            for (auto n = 1 + random() % 3; n > 0; --n) {
                const std::size_t at = random() % bytes.size();
                if (random() % 3 == 0)
                    bytes.erase(at, 1 + random() % 6);
                else if (random() % 2 == 0)
                    bytes.insert(at, bytes.substr(random() % bytes.size(), random() % 12));
                else
                    bytes[at] = static_cast<char>(random() % 256);
            }
            feed(bytes);
        }
    }
    CHECK(accepted > 300);
    CHECK(refused > 3000);
}

TEST_CASE("a representation is told from our own files") {
    CHECK(is_representation(text));
    CHECK(is_representation(as_cbor(invented())));
    CHECK(is_representation("\xef\xbb\xbf \n{\"performance\": 1}"));
    CHECK_FALSE(is_representation(texts::page));
    CHECK_FALSE(is_representation("{\"offnominal\": \"system/1\", \"metadata\": 1}"));
    CHECK_FALSE(is_representation(""));
    CHECK_FALSE(is_representation("{}"));
}

TEST_CASE("a system of a representation: its pages hold the map's numbers, each in its place") {
    const Representation r = invented();
    const System system = to_system(r);
    CHECK(system.name() == "Unit A");
    CHECK(system.parts().refrigerant == "R-410A");
    CHECK(system.parts().modulation == Modulation::staged);
    CHECK(system.stage_names() == std::vector<std::string>{"1", "2"});
    const Map& map = *r.cooling;
    for (std::size_t s = 0; s < 2; ++s) {
        const RatingTable& table = system.parts().cooling[s].table;
        const PrintedPage& page = table.page();
        CHECK(table.basis().capacity == CapacityBasis::gross);
        CHECK(table.basis().airflow == AirflowBasis::standard);
        CHECK(table.basis().standard_pound == Pound::unknown);
        CHECK(table.basis().power == PowerBasis::outdoor_unit);
        CHECK_FALSE(table.basis().elevation);
        CHECK(page.outdoor_dry_bulb.front() == 298.15 - 273.15);
        CHECK(page.relative_humidity == map.grid[1].values);
        CHECK(page.pressure == map.grid[5].values);
        CHECK(near(air::si::dry_mass_from_standard(page.airflow[1]), 0.6, relative(1e-15)));
        // Page: odb, airflow, rh, edb, pressure. Map: odb, rh, edb, airflow, sequence, pressure. Worked out once more,
        // by the numbers of each.
        std::size_t n = 0;
        for (std::size_t o = 0; o < 3; ++o)
            for (std::size_t f = 0; f < 2; ++f)
                for (std::size_t h = 0; h < 3; ++h)
                    for (std::size_t e = 0; e < 2; ++e)
                        for (std::size_t p = 0; p < 2; ++p, ++n) {
                            const std::size_t i = ((((o * 3 + h) * 2 + e) * 2 + f) * 2 + s) * 2 + p;
                            const PrintedNode& node = page.nodes[n];
                            CHECK(node.total == map.lookup[0].values[i]);
                            CHECK(node.sensible == map.lookup[1].values[i]);
                            CHECK(node.power == map.lookup[2].values[i]);
                            CHECK((node.mark == Mark::dry) == (node.total == node.sensible));
                        }
        CHECK(page.nodes[14].mark == Mark::dry)  // 25 degC, 0.6 kg/s, 20 %, 299.85 K
        ;
        CHECK(page.nodes.back().mark == Mark::printed);
    }
    CHECK(system.parts().heating.size() == 2);
    const HeatingStage* heating = system.heating_stage("2", Frost::instantaneous);
    REQUIRE(heating != nullptr);
    CHECK(heating->table.page().nodes[1].capacity == 6200.0);  // -10 degC, 0.6 kg/s
    CHECK(heating->table.basis().printed_at->si == 293.15 - 273.15);
    REQUIRE(system.parts().defrost);
    CHECK(system.parts().defrost->pages()[1].stage == "2");
    CHECK(system.parts().defrost->pages()[1].nodes[3].time_fraction == 0.06);
}

TEST_CASE("operation states, no capacity, continuous speed, a single pressure") {
    Representation r = invented();
    r.cooling = cooling_map({295.15, 299.85}, {84300.0});
    r.speed_control = "CONTINUOUS";
    r.cooling->operation_state[71] = "STANDBY";  // 45 degC, 70 %, 299.85 K, 0.6 kg/s, number 2
    for (Variable& v : r.cooling->lookup) v.values[70] = 0.0;
    const System system = to_system(r);
    CHECK(system.parts().modulation == Modulation::variable);
    CHECK(system.parts().cooling[1].table.page().nodes.back().mark == Mark::beyond_limit);
    CHECK(system.parts().cooling[0].table.page().nodes.back().mark == Mark::blank);
    CHECK(near(air::si::pressure_at_elevation(system.parts().cooling[0].table.basis().elevation->si), 84300.0,
               relative(1e-12)));
    CHECK(complaint([&] {
              (void)to_representation(system);
          }).find("stage '1': a node without a number, which a map cannot hold") != std::string::npos);
}

TEST_CASE("a single entering dry bulb turns relative humidities into wet bulbs, and back") {
    Representation r = invented();
    r.cooling = cooling_map({299.85}, {101325.0});
    const System system = to_system(r);
    const PrintedPage& page = system.parts().cooling[0].table.page();
    const Basis& basis = system.parts().cooling[0].table.basis();
    CHECK(basis.sensible_at->si == 299.85 - 273.15);
    CHECK(page.entering_dry_bulb.empty());
    CHECK(page.relative_humidity.empty());
    CHECK(page.entering_wet_bulb[1] ==
          air::wet_bulb(air::state(*basis.sensible_at, air::relative_humidity(0.5), Pressure{101325.0})).si);
    const Representation again = to_representation(system);
    for (std::size_t k = 0; k < 6; ++k) {
        CAPTURE(r.cooling->grid[k].name);
        CHECK(again.cooling->grid[k].values == r.cooling->grid[k].values);
    }
    r.cooling->grid.pop_back();
    CHECK(complaint([&] { (void)to_system(r); }) ==
          "unit-a.json: performance_map_cooling: one entering dry bulb, but not one station pressure; accepted: two "
          "entering dry bulbs or more, or one pressure to turn relative humidities into wet bulbs at");
}

TEST_CASE("a system that came from a representation is written in our own form, and comes back equal") {
    for (const Map& map : {cooling_map(), cooling_map({299.85}, {101325.0})}) {
        Representation r = invented();
        r.cooling = map;
        const System system = to_system(r);
        const std::string text = write_system(system);
        CHECK(text.find("\n      exact: true\n") != std::string::npos);  // no step that was never printed
        CHECK(parse_system(text, "written.yaml") == system);
    }
}

TEST_CASE("a system that came from a representation goes back to it") {
    const Representation r = invented(), again = to_representation(to_system(r));
    for (const auto member :
         {&Representation::cooling, &Representation::heating, &Representation::defrost_correction}) {
        const Map &a = *(r.*member), &b = *(again.*member);
        REQUIRE(a.grid.size() == b.grid.size());
        for (std::size_t k = 0; k < a.grid.size(); ++k) CHECK(a.grid[k].values == b.grid[k].values);
        for (std::size_t k = 0; k < a.lookup.size(); ++k) CHECK(a.lookup[k].values == b.lookup[k].values);
        CHECK(a.operation_state == b.operation_state);
    }
    CHECK(again.capabilities == r.capabilities);
    // Nothing is made up: what a system does not hold is still asked for.
    std::string asked;
    for (const Departure& d : again.departures) asked += d.key + " ";
    CHECK(asked ==
          "metadata.id metadata.data_timestamp performance.cooling_cycling_degradation_coefficient "
          "performance.heating_cycling_degradation_coefficient performance.performance_map_standby ");
}

TEST_CASE("what a system lacks for a representation is named") {
    const System system = parse_system(texts::page, "page.yaml", "no-folder");
    const auto of = [](const System& s) { return complaint([&] { (void)to_representation(s); }); };
    CHECK(of(system) ==
          "'Unit A, invented' as a Standard 205 representation: stage 'full': no power of the outdoor unit; "
          "accepted: power: outdoor unit");
    const std::string powered = texts::with(texts::page, "sensible_at", "power: outdoor unit, sensible_at");
    CHECK(of(parse_system(powered, "page.yaml", "no-folder"))
              .find("no pressure; accepted: a pressure axis, or the "
                    "elevation of the pages") != std::string::npos);
    const System whole =
        parse_system(texts::with(powered, "sensible_at", "elevation: 0 ft, sensible_at"), "page.yaml", "no-folder");
    const Representation r = to_representation(whole);
    CHECK(r.metadata.notes == "Sequence numbers: 1 full. Left out: bypass factors");
    CHECK(r.cooling->find("gross_total_capacity")->size() == 8);
    CHECK(near(air::wet_bulb(air::state(Temperature{80.0 / 1.8 - 32.0 / 1.8},
                                        air::relative_humidity(r.cooling->grid[1].values[1]), Pressure{101325.0}))
                   .si,
               (67.0 - 32.0) / 1.8, relative(1e-9)));
}

TEST_CASE("sensible above total at the dry end of a map is a dry coil's, and the departure counts such points") {
    Representation r = invented();
    Map& map = *r.cooling;
    // As a curve of sensible has it that does not know of total: 0.2 is the least relative humidity of the map.
    for (std::size_t i = 0; i < 48; ++i)
        if (i % 48 < 16) map.lookup[1].values[i] = 1.07 * map.lookup[0].values[i];
    const std::string said = only_departure(read(as_json(r)));
    CHECK(said ==
          cooling_key +
              "lookup_variables.gross_sensible_capacity[0]: above total capacity, at 16 of 144 points, 16 of them "
              "taken as a dry coil's, all sensible | at most total capacity");
    const System system = to_system(read(as_json(r)));
    std::size_t dry = 0;
    for (const Stage& stage : system.parts().cooling)
        for (const PrintedNode& node : stage.table.page().nodes) {
            CHECK(node.sensible <= node.total);
            if (node.mark == Mark::dry) ++dry;
        }
    CHECK(dry >= 16);
    // Above a wet point it is an error, and so is more than any dry coil's curve would be off.
    for (const auto& [point, times] : {std::pair{std::size_t{40}, 1.07}, std::pair{std::size_t{0}, 1.6}}) {
        Representation wrong = invented();
        wrong.cooling->lookup[1].values[point] = times * wrong.cooling->lookup[0].values[point];
        CHECK(complaint([&, &bad = wrong] { (void)to_system(bad); }).find("sensible capacity above") !=
              std::string::npos);
    }
}

TEST_CASE("a page that contradicts itself is named by its place in the look-up arrays") {
    Representation r = invented();
    r.cooling->lookup[0].values[30] *= 100.0;
    const std::string said = complaint([&] { (void)to_system(r); });
    CHECK(
        said.starts_with("unit-a.json: performance_map_cooling[30], compressor sequence number 2: total capacity does "
                         "not fit the airflow"));
    r = invented();
    r.cooling->lookup[1].values[143] = 2.0 * r.cooling->lookup[0].values[143];
    CHECK(only_departure(read(as_json(r))) == cooling_key +
                                                  "lookup_variables.gross_sensible_capacity[143]: above total "
                                                  "capacity, at 1 of 144 points | at most total capacity");
    CHECK(complaint([&] { (void)to_system(r); }).find("[143], compressor sequence number 2: sensible capacity above") !=
          std::string::npos);
}

namespace {

/// A unitary system about the invented representation: a fan of two speeds, whose map holds a filter's drop.
const std::string unitary = R"({
  "metadata": {"data_model": "ASHRAE_205", "schema": "RS0002", "schema_version": "1.0.0", "description": "invented"},
  "performance": {
    "standby_power": 12.0,
    "indoor_fan_representation": {
      "metadata": {"schema": "RS0003"},
      "performance": {
        "heat_loss_fraction": 1.0,
        "assembly_components": [{"component_type": "FILTER"}, {"component_type": "COIL", "wet_pressure_difference": 30.0}],
        "motor_representation": {
          "performance": {"performance_map": {
            "grid_variables": {"shaft_power": [0.0, 200.0], "shaft_rotational_speed": [10.0, 20.0]},
            "lookup_variables": {"efficiency": [0.5, 0.6, 0.7, 0.8]}}}
        },
        "mechanical_drive_representation": {"performance": {"speed_ratio": 1.0, "efficiency": 0.9}},
        "performance_map": {
          "grid_variables": {"speed_number": [1, 2], "static_pressure_difference": [0.0, 125.0, 250.0]},
          "lookup_variables": {
            "standard_air_volumetric_flow_rate": [0.45, 0.40, 0.0, 0.60, 0.55, 0.48],
            "shaft_power": [90.0, 95.0, 0.0, 180.0, 189.0, 198.0],
            "impeller_rotational_speed": [12.0, 13.0, 14.0, 15.0, 16.0, 25.0]}}
      }
    },
    "fan_position": "BLOW_THROUGH",
    "dx_system_representation": )" +
                            text + "\n  }\n}\n";
UnitarySystem unit_with(std::string_view from, std::string_view to) {
    return parse_unitary_system(texts::with(unitary, from, to), "unit.json");
}
std::string of_unit(std::string_view from, std::string_view to) {
    return complaint([&] { (void)unit_with(from, to); });
}

}  // namespace

TEST_CASE("a unitary system: the fan stands where it says, moves what its map says, and takes what its motor takes") {
    const UnitarySystem unit = parse_unitary_system(unitary, "unit.json");
    CHECK(unit.departures.empty());
    CHECK(unit.system.metadata.schema == "RS0004");
    CHECK(unit.fan == FanPosition::blow_through);
    CHECK(unit.blower.basis().includes == "filter, dry coil");
    CHECK(unit.blower.basis().standard_air);
    CHECK(unit.blower.taps() == std::vector<std::string>{"1", "2"});
    const auto rows = unit.blower.rows();
    REQUIRE(rows.size() == 6);
    CHECK(rows[2].mark == Mark::blank);
    CHECK(rows[4].airflow.si == 0.55);
    // The motor at 189 / 0.9 = 210 W, past its map and held there, at 16 revolutions a second: 0.7 + 0.6 (0.8 - 0.7).
    CHECK(near(rows[4].power.si, 210.0 / 0.76, relative(1e-12)));
    // At 95 / 0.9 W, 13 a second: between all four.
    const double t = 95.0 / 0.9 / 200.0, low = 0.5 + 0.3 * 0.1, high = 0.7 + 0.3 * 0.1;
    CHECK(near(rows[1].power.si, 95.0 / 0.9 / (low + t * (high - low)), relative(1e-12)));

    // Loaded as any file is; what the page says is the system's in it.
    const System system = parse_system(unitary, "unit.json", ""), alone = to_system(read(text));
    REQUIRE(system.parts().matches.size() == 1);
    CHECK(system.parts().matches[0].name == "indoor unit");
    CHECK(system.parts().matches[0].reference);
    CHECK(system.parts().matches[0].fan == FanPosition::blow_through);
    CHECK(system.parts().blower.has_tap("2"));
    CHECK(system.parts().cooling.size() == alone.parts().cooling.size());
    const auto &nodes = system.parts().cooling[0].table.page().nodes,
               &same = alone.parts().cooling[0].table.page().nodes;
    REQUIRE(nodes.size() == same.size());
    for (std::size_t n = 0; n < nodes.size(); ++n) CHECK(nodes[n].total == same[n].total);
    CHECK(parse_system(texts::with(unitary, "\"outdoor_unit_model_number\"",
                                   "\"indoor_unit_model_number\": \"Coil 3\", \"outdoor_unit_model_number\""),
                       "unit.json", "")
              .parts()
              .matches[0]
              .name == "Coil 3");
}

TEST_CASE("what a unitary system does not tell of its fan is a departure, never a number") {
    const auto departs = [](std::string_view from, std::string_view to) {
        const UnitarySystem unit = unit_with(from, to);
        REQUIRE(unit.departures.size() == 1);
        return unit.departures[0].key + ": " + unit.departures[0].problem;
    };
    CHECK(departs("\"BLOW_THROUGH\"", "\"BESIDE\"") == "performance.fan_position: another word: BESIDE");
    CHECK(unit_with("\"BLOW_THROUGH\"", "\"BESIDE\"").fan == FanPosition::unknown);
    const std::string fan = "performance.indoor_fan_representation.performance";
    CHECK(departs("motor_representation", "another_representation") ==
          fan + ".motor_representation: missing, so electric power is not known: no blower table");
    CHECK(unit_with("motor_representation", "another_representation").blower.empty());
    CHECK(departs("\"speed_number\": [1, 2]", "\"standard_air_volumetric_flow_rate\": [0.4, 0.6]") ==
          fan + ".performance_map.grid_variables: a fan of continuous speed, which has no taps: no blower table");
    CHECK(departs("indoor_fan_representation", "fan") ==
          "performance.indoor_fan_representation: missing: no blower table");
    CHECK(departs("\"heat_loss_fraction\"", "\"drive_representation\": {}, \"heat_loss_fraction\"")
              .starts_with(fan + ".drive_representation: the losses of an electronic drive"));
}

TEST_CASE("a unitary system that cannot be read says where and why") {
    const std::string lookup = "performance.indoor_fan_representation.performance.performance_map.lookup_variables";
    CHECK(of_unit("[90.0, 95.0, 0.0, ", "[90.0, 95.0, ")
              .starts_with("unit.json: " + lookup + ": 5 values, so that some"));
    CHECK(of_unit("[90.0, ", "[-90.0, ").starts_with("unit.json: " + lookup + ".shaft_power[0]: no such number"));
    CHECK(of_unit("0.7, 0.8]", "0.7, 1.8]").find("efficiency: above 1") != std::string::npos);
    const std::string drive = "mechanical_drive_representation.performance.";
    CHECK(of_unit("\"efficiency\": 0.9}", "\"efficiency\": 90}").find(drive + "efficiency: no such number") !=
          std::string::npos);
    CHECK(of_unit(", \"efficiency\": 0.9}", "}").find(drive + "efficiency: missing") != std::string::npos);
    CHECK(of_unit("\"speed_ratio\": 1.0, ", "").find(drive + "speed_ratio: missing") != std::string::npos);
    CHECK(of_unit("[10.0, 20.0]", "[20.0, 10.0]").find("shaft_rotational_speed") != std::string::npos);
    CHECK(of_unit("[0.5, 0.6, 0.7, 0.8]", "[0.5, 0.6, 0.7]").find("efficiency: 3 values, so that some would shift") !=
          std::string::npos);
    CHECK(of_unit("[0.0, 125.0, 250.0]", "[0.0, 0.0, 250.0]").find("unit.json: " + lookup) != std::string::npos);
    CHECK(of_unit("dx_system_representation", "another") ==
          "unit.json: performance.dx_system_representation: missing; accepted: a representation of a direct-expansion "
          "system, RS0004");
    CHECK(of_unit("\"gross_total_capacity\": [", "\"gross_total_capacity\": [-1, ")
              .starts_with("unit.json: performance.dx_system_representation: " + cooling_key +
                           "lookup_variables.gross_total_capacity"));
    CHECK(of_unit("\"RS0002\"", "\"RS0001\"").find("not a unitary system") != std::string::npos);
    CHECK(complaint([] {
              (void)parse_representation(unitary, "unit.json");
          }).starts_with("unit.json: metadata.schema: a unitary system, whose parts are representations of their own"));
}
