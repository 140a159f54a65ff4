"""What a machine should deliver, in bits, must not move with a consumer's compiler, instruction set or contraction."""

import pathlib
import shutil
import subprocess

import pytest

pytestmark = pytest.mark.compiles

HERE = pathlib.Path(__file__).parent
INCLUDE = HERE.parents[1] / "include"
PROGRAM = """
#include <cstdio>
#include <random>
#include "../support/dry_page.hpp"
#include "offnominal/expect/batch.hpp"
using namespace unit_a;
int main() {
    Basis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan.power = 40_W;
    net.fan.per_airflow = from(365, units::W_1000scfm);
    net.tolerance = 0.05;
    const Match b{"b", false, {0.965, 0.99}, 0.14, {}, FanPosition::blow_through, {}};
    const System gross = system(basis(), page(), {b}), netted = system(net, page(), {b}), dry = system(net, dry_page(), {b});
    std::mt19937_64 random(17);
    // Exact in doubles, so that contraction in this very program changes nothing.
    const auto uniform = [&](double lo, double hi) { return lo + (hi - lo) * (static_cast<double>(random() >> 52) * 0x1p-12); };
    int answered = 0;
    for (int i = 0; i < 400; ++i) {
        const double edb = uniform(74, 88), ewb = uniform(60, 67), elevation = uniform(0, 2000);
        Conditions c = dry_question(edb, ewb);
        c.match = "b";
        c.outdoor_dry_bulb.si = degF(i % 3 == 2 ? 95 : uniform(85, 95));
        c.airflow = AirflowReading::standard(Airflow{cfm(i % 3 == 2 ? 1000 : uniform(1000, 1200))});
        c.boundary = Boundary::coil_and_fan;
        c.fan_power.si = uniform(300, 500);
        c.infer = true;
        const System& s = i % 3 == 0 ? gross : i % 3 == 1 ? netted : dry;
        const auto e = try_expect(s, Site::at_elevation(Length{elevation}), c);
        if (!e) continue;
        ++answered;
        std::printf("%a %a %a %a %a\\n", units::Btu_h.from_si(e->total_capacity.si), e->sensible_capacity->si,
                    e->leaving ? units::degF.from_si(e->leaving->wet_bulb.si) : 0.0, e->power->si, e->uncertainty.combined());
    }
    return answered > 100 ? 0 : 1;
}
"""


def runs_v3():
    try:
        flags = pathlib.Path("/proc/cpuinfo").read_text().split()
    except OSError:
        return False
    return "avx2" in flags and "fma" in flags


def output(compiler, march, folder):
    (folder / "bits.cpp").write_text(PROGRAM)
    includes = [f"-I{INCLUDE}", f"-I{HERE}", "-I/usr/include/eigen3"]
    program = folder / f"{compiler}-{march}"
    command = [
        compiler,
        "-std=c++20",
        "-O2",
        f"-march={march}",
        *includes,
        str(folder / "bits.cpp"),
        "-o",
        str(program),
        "-pthread",
    ]
    subprocess.run(command, check=True)
    return subprocess.run([str(program)], check=True, capture_output=True, text=True).stdout


def test_expected_capacities_have_the_same_bits_everywhere(tmp_path):
    if not runs_v3():
        pytest.skip("this processor does not run x86-64-v3")
    expected = output("g++", "x86-64", tmp_path)
    assert expected.count("\n") > 100
    for compiler, march in [("g++", "x86-64-v3"), ("clang++", "x86-64"), ("clang++", "x86-64-v3")]:
        if shutil.which(compiler):
            assert output(compiler, march, tmp_path) == expected, (compiler, march)
