"""Follows the recipes of DEVELOPERS.md in a copy of the headers: a unit, a word, a reason, a note, a derate, an axis.

The recipe for an output is followed by tests/house/test_one_description.py. What the recipes say of files, Python and the command
is not tried here. A recipe that no longer works fails here: mend DEVELOPERS.md with this test.
"""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

pytestmark = pytest.mark.compiles

CHECKOUT = Path(__file__).resolve().parents[2]

PROGRAM = """
#include <cstdio>

#include "offnominal/expect.hpp"
#include "tests/support/unit_a.hpp"

using namespace offnominal;

Expected of(const System& system) { return expect(system, Site::sea_level(), unit_a::example_1()); }

int main() {
    for (const Unit& unit : units::all)
        if (unit.name == "torr") std::printf("unit %.0f\\n", unit.to_si(760.0));
    std::printf("word %s\\n", name(*named<PowerBasis>("whole house")).data());
    std::printf("reason %s\\n", explain(Reason{Why::no_charge, About::power}).c_str());
    std::printf("note %s\\n", describe(Note::charge_unknown).data());

    SystemParts parts = unit_a::system().parts();
    const Expected before = of(System(parts));
    parts.charge = {0.9, 0.95};
    const Expected derated = of(System(parts));
    std::printf("derate %.4f %.4f", derated.gross_total.si / before.gross_total.si, derated.power->si / before.power->si);
    for (const Step& step : derated.ledger)
        if (step.kind == Step::Kind::charge) std::printf(" %s of %s", name(step.kind).data(), name(step.of).data());

    PrintedPage page = unit_a::page();
    page.nodes.clear();
    for (PrintedNode node : unit_a::page().nodes) {
        page.nodes.push_back(node);
        node.total *= 1.1;
        page.nodes.push_back(node);
    }
    page.external_static = {0.0, 100.0};
    const Expected entered = of(unit_a::system(unit_a::basis(), page));  // at 25 Pa
    std::printf("\\naxis %.4f\\n", entered.gross_total.si / before.gross_total.si);
}
"""
TOLD = """\
unit 101325
word whole house
reason no charge of power
note charge unknown
derate 0.9000 0.9500 charge of total charge of power
axis 1.0250
"""


class Headers:
    """A copy of the headers to be edited. Each edit must find its place."""

    def __init__(self, folder):
        shutil.copytree(CHECKOUT / "include", folder / "include")
        self.folder = folder / "include/offnominal"

    def edit(self, header, pattern, replacement):
        path = self.folder / header
        text, count = re.subn(pattern, replacement, path.read_text(encoding="utf-8"), flags=re.M | re.S)
        assert count > 0, f"{header} has no {pattern}"
        path.write_text(text, encoding="utf-8")

    def row(self, header, enumeration, text):
        """At the top of the table of its words."""
        self.edit(header, rf"(words_of<{enumeration}>\[\] = \{{)", rf"\1{text}, ")


def add_a_unit(headers):
    headers.edit(
        "units.hpp",
        r'^([^\n]* )psia(\{+)"psia"([^\n]*)6894\.757293168361([^\n]*)$',
        r'\g<0>\n\1torr\2"torr"\g<3>101325.0 / 760.0\4',
    )
    headers.edit("units.hpp", r"(\ball\b[^;]*\bpsia,)", r"\1 torr,")


def add_a_word(headers):
    headers.edit("ratings/basis.hpp", r"(enum class PowerBasis [^}]*unknown,)", r"\1 house,")
    headers.row("ratings/basis.hpp", "PowerBasis", '{PowerBasis::house, "whole house"}')


def add_a_reason_and_a_note(headers):
    headers.edit("reason.hpp", r"(enum class Why [^}]*\n)\};", r"\1    no_charge,\n};")
    headers.row("reason.hpp", "Why", '{Why::no_charge, "no_charge", "no charge of {what}"}')
    headers.edit("answer.hpp", r"(enum class Note [^}]*\n)\};", r"\1    charge_unknown,\n};")
    headers.row("answer.hpp", "Note", '{Note::charge_unknown, "charge_unknown", "charge unknown"}')


def add_a_derate(headers):
    headers.edit("system.hpp", r"^    AltitudeTable altitude;$", r"\g<0>\n    Factors charge;")
    headers.edit("expect/cooling.hpp", r"Factors match, line, altitude", r"\g<0>, charge")
    headers.edit("expect/cooling.hpp", r"\baltitude\.(total|power)\b", r"\g<0> * charge.\1")
    headers.edit("expect/frame.hpp", r"(find_cooling\(.*?CoolingChain& chain = f\.chain;)", r"\1 chain.charge = parts.charge;")
    headers.edit("answer.hpp", r"(enum class Kind [^}]*\n)(    \};)", r"\1        charge,\n\2")
    headers.row("answer.hpp", "Step::Kind", '{Step::Kind::charge, "charge"}')
    headers.edit(
        "expect/frame.hpp",
        r"tell_factors\(altitude_assumed [^;]*;",
        r"\g<0> tell_factors(Kind::charge, chain.charge, -1, at, ledger);",
    )


def add_an_axis(headers):
    headers.edit("ratings/page.hpp", r"^    std::vector<double> pressure;", r"    std::vector<double> external_static;\n\g<0>")
    headers.edit("ratings/page.hpp", r"std::array<double, 5> curvature", "std::array<double, 6> curvature")
    headers.edit("ratings/shape.hpp", r"(enum class PageAxis [^}]*\bpressure)", r"\1, external_static")
    headers.edit("ratings/shape.hpp", r"page_axes = 5", "page_axes = 6")
    headers.edit("ratings/shape.hpp", r"\bpage\.pressure\}", "page.pressure, page.external_static}")
    headers.edit(
        "ratings/shape.hpp",
        r"(        case PageAxis::pressure:)",
        r"        case PageAxis::external_static: return About::external_static;\n\1",
    )
    headers.edit("expect/cooling.hpp", r"(PagePoint page_point\([^;]*\bpressure)\}\};", r"\1, 25.0}};")


def test_the_recipes_work(tmp_path):
    if shutil.which("g++") is None:
        pytest.skip("no g++")
    headers = Headers(tmp_path)
    for add in (add_a_unit, add_a_word, add_a_reason_and_a_note, add_a_derate, add_an_axis):
        add(headers)
    (tmp_path / "program.cpp").write_text(PROGRAM, encoding="utf-8")
    # The headers alone: no library is linked.
    command = ["g++", "-std=c++20", "-O0", f"-I{tmp_path / 'include'}", f"-I{CHECKOUT}", "program.cpp", "-o", "program"]
    subprocess.run(command, cwd=tmp_path, check=True)
    assert subprocess.run(["./program"], cwd=tmp_path, check=True, capture_output=True, text=True).stdout == TOLD
