"""A number that is told is one line with its computation: names, units, columns and single answers follow from it."""

import shutil
import subprocess
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
LIST = "offnominal/expected.hpp"
AFTER = '    {"power", Kind::electric_power, Modes::both, "electric power as the page prints it (power_basis)",'
MADE_UP = """    {"made_up", Kind::capacity, Modes::cooling, "twice the latent capacity",
     [](const ExpectedValues& e) noexcept { return 2.0 * e.latent_capacity->si; }},
"""
PROGRAM = """
#include <cstdio>

#include "offnominal/expect.hpp"
#include "offnominal/expect/batch.hpp"
#include "tests/support/unit_a.hpp"

using namespace offnominal;

int main() {
    const System system = unit_a::system();
    const Conditions c = unit_a::example_1();
    const Expected e = expect(system, Site::sea_level(), c);
    const std::string_view stage = c.stage, match = c.match;
    const std::int32_t only = 0;
    const double odb = c.outdoor_dry_bulb.si, edb = c.entering_dry_bulb.si, wet = c.entering_humidity.value,
                 flow = c.airflow.si, place = 0.0, fan = c.fan_power.si;
    ExpectBatch batch;
    batch.values = c;
    batch.stage = {{&stage, 1}, &only, 0};
    batch.match = {{&match, 1}, &only, 0};
    batch[Slot::outdoor_dry_bulb] = {&odb, 0, units::degC};
    batch[Slot::entering_dry_bulb] = {&edb, 0, units::degC};
    batch[Slot::entering_humidity] = {&wet, 0, units::degC};
    batch[Slot::airflow] = {&flow, 0, units::m3_s};
    batch[Slot::elevation] = {&place, 0, units::m};
    batch[Slot::fan_power] = {&fan, 0, units::W};
    double column = 0.0;
    Reason reason;
    ExpectColumns out;
    out["made_up"] = {&column, unit_of(Kind::capacity, UnitSystem::SI)};
    out.reason = &reason;
    expect_rows(system, batch, 0, 1, out);
    for (const auto& line : told_of<ExpectedValues>)
        if (line.name == "made_up")
            std::printf("%s %s %d %d\\n", name(line.kind).data(), line.meaning.data(), line.of(e) == column,
                        column == 2.0 * e.latent_capacity->si);
}
"""


def test_a_made_up_output_is_one_line(tmp_path):
    if shutil.which("g++") is None:
        pytest.skip("no g++")
    shutil.copytree(CHECKOUT / "include", tmp_path / "include")
    listed = tmp_path / "include" / LIST
    before = listed.read_text(encoding="utf-8")
    assert before.count(AFTER) == 1
    listed.write_text(before.replace(AFTER, MADE_UP + AFTER), encoding="utf-8")
    (tmp_path / "program.cpp").write_text(PROGRAM, encoding="utf-8")
    # The headers alone: no library is linked.
    command = ["g++", "-std=c++20", "-O0", f"-I{tmp_path / 'include'}", f"-I{CHECKOUT}", "program.cpp", "-o", "program"]
    subprocess.run(command, cwd=tmp_path, check=True)
    told = subprocess.run(["./program"], cwd=tmp_path, check=True, capture_output=True, text=True).stdout
    assert told == "capacity twice the latent capacity 1 1\n"
