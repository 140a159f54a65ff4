"""Pictures say what the numbers say. How they look was looked at."""

from pathlib import Path

import numpy as np
import pytest

import offnominal as on
from offnominal import pictures

matplotlib = pytest.importorskip("matplotlib")
matplotlib.use("agg")

DEMO = Path(__file__).resolve().parents[2] / "tables/demo"


@pytest.fixture(scope="module")
def system():
    return on.load(DEMO / "alder.yaml")


@pytest.fixture(scope="module", params=["IP", "SI"])
def proof(system, request):
    return system.prove(DEMO / "library-visit.yaml", units=request.param)


@pytest.fixture(scope="module")
def heating(system):
    return system.prove(DEMO / "library-heating-visit.yaml", units="IP")


@pytest.fixture(scope="module")
def survey(system):
    """Of invented readings."""
    rows = {
        "supply_dry_bulb": np.linspace(56.0, 62.0, 30),
        "power": np.full(30, 2370.0),
        "installer": np.array(["north", "south", "east"] * 10),
    }
    return on.survey(system, rows, DEMO / "library-visit.yaml", units="IP", by="installer", draws=False)


DAY = dict(units="IP", stage="high", match="indoor A", line_set="reference", entering_dry_bulb=80, airflow=1000, airflow_basis="standard",
           elevation=0, boundary="coil")  # fmt: skip
MAP = dict(x=("outdoor_dry_bulb", 70, 120), y=("entering_wet_bulb", 57, 73), at=(91, 65))


@pytest.fixture(autouse=True)
def closed():
    yield
    matplotlib.pyplot.close("all")


def written(ax):
    ax.figure.canvas.draw()
    return [text.get_text() for text in ax.texts]


def test_a_ledger_is_a_waterfall_from_the_page_to_the_answer(proof):
    ax = pictures.ledger(proof.expected)
    steps = [step for step in proof.expected.ledger if step["of"] == "total"]
    bars = [(bar.get_x(), bar.get_x() + bar.get_width()) for bar in ax.patches]
    assert bars[0] == (0.0, steps[0]["after"]) and bars[-1][1] == pytest.approx(proof.expected.total_capacity)
    assert [sorted(bar) for bar in bars[1:-1]] == [pytest.approx(sorted((s["before"], s["after"]))) for s in steps[1:]]
    assert f"{proof.expected.total_capacity:,.0f}" in written(ax)
    assert [label.get_text() for label in ax.get_yticklabels()][0] == "page"
    with pytest.raises(ValueError, match="the ledger tells nothing of it"):
        pictures.ledger(proof.expected, of="humidity")


def test_a_verdict_shows_every_ratio_beside_the_limit(proof):
    ax = pictures.verdict(proof)
    assert [label.get_text() for label in ax.get_yticklabels()] == ["total", "sensible", "split", "power", "efficiency"]
    assert {f"{proof.ratio:.3f}", "limit 0.9"} <= set(written(ax))
    assert list(ax.lines[0].get_xdata()) == [proof.ratio_low, proof.ratio_high]
    band = ax.patches[0]
    assert (band.get_x(), band.get_width()) == pytest.approx((proof.limit - proof.guard_band, 2 * proof.guard_band))
    assert ax.get_title(loc="left") == "undecided"


def test_a_budget_shows_all_of_the_variance(proof):
    ax = pictures.budget(proof)
    assert sum(bar.get_width() for bar in ax.patches) == pytest.approx(100, abs=0.5)


def test_what_has_no_ratio_has_no_picture_of_it(system):
    text = (DEMO / "library-visit.yaml").read_text(encoding="utf-8").replace("steady: true", "steady: false")
    proof = system.prove(on.Visit.parse(text), units="IP")
    for picture in (pictures.verdict, pictures.budget):
        with pytest.raises(ValueError, match="there is no ratio .not_steady."):
            picture(proof)


def test_a_picture_of_something_else_is_refused(proof):
    with pytest.raises(TypeError, match="proof: <Expected .* is no Proof"):
        pictures.verdict(proof.expected)
    with pytest.raises(TypeError, match="expected: None is no Expected"):
        pictures.ledger(None)


def test_a_capacity_map_marks_dry_coils_and_what_has_no_answer(system):
    ax = pictures.capacity(system, **MAP, **DAY)
    assert ax.get_xlabel() == "outdoor dry bulb [°F]" and ax.get_title(loc="left") == "total capacity [Btu/h]"
    assert len(ax.collections) == 3  # no answer, dry, lines
    (cell,) = ax.patches
    assert set(map(tuple, cell.get_xy())) == {(85, 63), (95, 63), (95, 67), (85, 67)}  # of the printed page
    wet = pictures.capacity(system, x=("outdoor_dry_bulb", 80, 90), y=("entering_wet_bulb", 67, 70), **DAY)
    assert len(wet.collections) == 2
    with pytest.raises(ValueError, match="no answer anywhere"):
        pictures.capacity(system, x=("outdoor_dry_bulb", 150, 160), y=("entering_wet_bulb", 57, 73), **DAY)


def test_the_air_runs_from_return_through_supply_to_saturation(proof):
    ax = pictures.air(proof)
    points = {line.get_label(): line.get_xydata()[0] for line in ax.lines if not line.get_label().startswith("_")}
    assert list(points) == ["return", "supply, measured", "supply, expected"]
    split = points["return"][0] - points["supply, measured"][0]
    assert split == pytest.approx(proof.delivered.split, abs=1e-9)
    assert points["supply, expected"][0] == pytest.approx(proof.expected.leaving_dry_bulb)
    (saturation,) = (line for line in ax.lines if line.get_linewidth() == 1.6)
    (beyond,) = (line for line in ax.lines if line.get_linewidth() == 1.2)
    dry_bulb, ratio = beyond.get_xydata()[0]
    assert ratio == pytest.approx(np.interp(dry_bulb, *saturation.get_xydata().T), rel=0.01)
    assert {"saturation", "80 %"} <= set(written(ax))


def test_heating_has_no_coil_line(system):
    with pytest.raises(ValueError, match="of heating, whose air keeps its moisture"):
        pictures.air(system.prove(DEMO / "library-heating-visit.yaml", units="SI"))


def test_an_audit_shows_the_page_as_typed_and_what_it_suspects():
    text = (DEMO / "alder.yaml").read_text(encoding="utf-8").replace("33.5 ", "35.3 ", 1)
    slip = on.parse(text, folder=DEMO)
    ax = pictures.audit(slip, units="IP", stage="high")
    assert "35.3 (33.5?)" in written(ax) and "31.7" in written(ax)
    shade = ax.images[0].get_array().reshape(-1)
    assert np.count_nonzero(shade) == 1 and shade[17] > 0.5
    assert ax.get_title(loc="left") == "high: total [MBh]"
    heating = pictures.audit(slip, units="SI", stage="high", mode="heating", frost="integrated", column="capacity")
    assert heating.get_title(loc="left") == "heating, integrated: high: capacity [W]"
    for more, message in (({"stage": "off"}, "no page of its own"), ({"stage": "high", "column": "noise"}, "accepted: total")):
        with pytest.raises(ValueError, match=message):
            pictures.audit(slip, units="IP", **more)


def test_axes_that_are_given_are_drawn_into(proof):
    figure, axes = matplotlib.pyplot.subplots(1, 2)
    assert pictures.ledger(proof.expected, ax=axes[0]) is axes[0]
    assert pictures.verdict(proof, ax=axes[1]).figure is figure
    assert np.all([ax.has_data() for ax in axes])


def test_a_fleet_is_counted_by_outcome_and_shown_by_a_column(survey):
    ax = pictures.fleet(survey, limit=0.9)
    whole = survey.groups[0]
    heights = sum(patch.get_height() for patch in ax.patches)
    assert heights == sum(whole[word] for word in ("meets", "falls_short", "undecided", "implausible"))
    ax = pictures.fleet(survey, by="installer")
    assert [label.get_text() for label in ax.get_yticklabels()] == ["east (10)", "north (10)", "south (10)"]
    with pytest.raises(ValueError, match="by: 'brand'"):
        pictures.fleet(survey, by="brand")


def looks(ax):
    """How what is drawn looks: of each line, area and point its lightness (CIE L*, which is what is left of it in grey), and what tells
    it from others without any colour."""

    def lightness(color):
        red, green, blue, alpha = matplotlib.colors.to_rgba_array(color)[0]
        linear = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in (red, green, blue)]  # IEC 61966-2-1
        shone = alpha * np.dot([0.2126, 0.7152, 0.0722], linear) + 1.0 - alpha
        return round(116 * np.cbrt(shone) - 16) if shone > 0.008856 else round(903.3 * shone)

    seen = set()
    for line in ax.lines:
        face, dashes = line.get_markerfacecolor(), line._unscaled_dash_pattern[1]
        style = (line.get_marker(), line.get_linewidth(), tuple(dashes or ()))
        seen.add(("line", line.get_color(), style, lightness(line.get_color()), lightness(face)))
    for patch in ax.patches:
        if patch.get_fill():
            seen.add(("area", patch.get_facecolor(), patch.get_hatch(), lightness(patch.get_facecolor())))
    for many in ax.collections:
        hatch = getattr(many, "hatches", None) or many.get_hatch()
        for color in (*many.get_facecolor(), *(() if len(many.get_facecolor()) else many.get_edgecolor())):
            seen.add(("collection", tuple(color), str(hatch), tuple(many.get_linewidths()), lightness(color)))
    return seen


def alike_in_grey(seen):
    """Pairs of looks of another colour that nothing else tells apart: no style, and less than 20 of 100 in lightness."""
    seen = sorted(seen, key=repr)
    pairs = [(a, b) for k, a in enumerate(seen) for b in seen[k + 1 :] if a[0] == b[0] and a[1] != b[1] and a[2] == b[2]]
    return [(a, b) for a, b in pairs if all(abs(x - y) < 20 for x, y in zip(a[3:], b[3:]) if isinstance(x, int))]


@pytest.mark.parametrize("picture", pictures.__all__)
def test_nothing_is_told_by_hue_alone(picture, system, heating, survey):
    """In grey, and to whom two hues are one, everything that differs in colour differs in lightness or in style too."""
    proof = system.prove(DEMO / "library-visit.yaml", units="IP")
    drawn = {
        "air": lambda: [pictures.air(proof)],
        "audit": lambda: [pictures.audit(system, units="IP", stage="high")],
        "budget": lambda: [pictures.budget(proof)],
        "capacity": lambda: [pictures.capacity(system, **MAP, **DAY)],
        "fleet": lambda: [pictures.fleet(survey, limit=0.9), pictures.fleet(survey, by="installer", limit=0.9)],
        "ledger": lambda: [pictures.ledger(proof.expected), pictures.ledger(heating.expected)],
        "verdict": lambda: [pictures.verdict(proof), pictures.verdict(heating)],
    }
    for ax in drawn[picture]():
        seen = looks(ax)
        assert alike_in_grey(seen) == [] and (seen or ax.images)


def test_hue_alone_is_found():
    """The test above can fail: red and green of one lightness."""
    _, ax = matplotlib.pyplot.subplots()
    for color in ("#b04030", "#4a7a20"):
        ax.plot([0, 1], [0, 1], color=color)
    assert len(alike_in_grey(looks(ax))) == 1
