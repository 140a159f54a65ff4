"""The target card: its figures are those of `expect`, and every cell says what it leans on."""

import csv
import io
import json
import pathlib
import pickle

import numpy as np
import pytest

import offnominal as on
from offnominal.__main__ import main

DEMO = pathlib.Path(__file__).parents[2] / "tables" / "demo"
SYSTEM = on.load(DEMO / "alder.yaml")
DAY = dict(
    stage="high",
    match="indoor A",
    line_set="reference",
    entering_dry_bulb=76,
    airflow=1000,
    airflow_basis="standard",
    boundary="coil+fan",
    fan_power=400,
    elevation=4690,
)

# Where the visit is that is forecast.
VISITED = {**DAY, "line_set": {"length": 50, "suction": 3 / 4, "lift": 0}, "fan_power": 420}


def test_figures_are_those_of_expect():
    card = SYSTEM.target_card(units="IP", outdoor_dry_bulb=[85, 95], entering_wet_bulb=[59, 62, 65], **DAY)
    assert card.numbers["total_capacity"].shape == (2, 3)
    for i, outdoor in enumerate((85, 95)):
        for j, wet in enumerate((59, 62, 65)):
            one = SYSTEM.expect(units="IP", outdoor_dry_bulb=outdoor, entering_wet_bulb=wet, **DAY)
            for name, values in card.numbers.items():
                assert values[i, j] == getattr(one, name)
            assert card.footing[i, j] == one.footing
    frame = card.to_pandas()
    assert len(frame) == 6 and frame.attrs["units"]["split"] == "delta_degF"


def test_what_the_page_prints_is_the_default_and_cells_without_an_answer_say_so():
    card = SYSTEM.target_card(units="IP", **DAY)
    assert card.outdoor_dry_bulb == (75, 85, 95, 105, 115) and card.entering_wet_bulb == (59, 63, 67, 71)
    hot = SYSTEM.target_card(units="IP", outdoor_dry_bulb=[95, 130], **DAY)
    assert np.isnan(hot.numbers["power"][1]).all() and (hot.reason[1] == "outside").all()
    assert "– no answer: outside" in str(hot)
    assert "* leans on more than what is printed there: dry, wet line" in str(card)


def test_a_forecast_says_what_to_bring():
    card = SYSTEM.target_card(units="IP", forecast=DEMO / "library-visit.yaml", **VISITED)
    assert card.bring and card.chances and card.bring[0] in str(card)
    page = card.html()
    assert page.startswith("<!doctype html>") and "<script" not in page and card.bring[0][:40] in page
    assert "http" not in page


@pytest.mark.parametrize(
    ("unlike", "said"),
    [
        (dict(stage="low", airflow=800), "stage of 'Library, reading room .*': 'high'; accepted: low, as the card says"),
        (dict(match="indoor B"), "match of 'Library, .*': 'indoor A'; accepted: indoor B"),
        (dict(elevation=0), "elevation of 'Library, .*': '1430 m'; accepted: 0 m"),
        (dict(elevation=None, pressure=14.7), "station pressure of 'Library, .*; accepted: 1.014e.*Pa"),
        (dict(boundary="coil"), "boundary of 'Library, .*': 'coil.fan'; accepted: coil"),
        (dict(line_set="reference"), "line set of 'Library, .*'15.24 m of 19.05 mm, lift 0 m'; accepted: reference"),
    ],
)
def test_a_forecast_of_another_test_than_the_cards_is_refused(unlike, said):
    """Its chances would stand on the card as the card's own."""
    with pytest.raises(on.InputError, match=f"^forecast: {said}"):
        SYSTEM.target_card(units="IP", forecast=DEMO / "library-visit.yaml", **{**VISITED, **unlike})


def test_a_card_of_a_forecast_without_supply_air_is_a_value_too():
    visit = on.Visit(DEMO / "library-visit.yaml").to_dict()
    visit["readings"]["supply"] = {"instrument": "supply probe"}
    card = SYSTEM.target_card(units="IP", forecast=on.Visit(visit, forecast=True), **VISITED)
    again = pickle.loads(pickle.dumps(card))
    assert again == card and card.bring and json.loads(card.to_json()) == json.loads(again.to_json())
    with pytest.raises(ValueError, match="read-only"):
        again.numbers["power"][0, 0] = 0.0


def test_what_is_refused():
    with pytest.raises(ValueError, match="21 by 21 cells; accepted: 400 in all"):
        SYSTEM.target_card(units="IP", outdoor_dry_bulb=range(75, 96), entering_wet_bulb=range(50, 71), **DAY)
    with pytest.raises(ValueError, match="outdoor_dry_bulb: .*accepted: one number or more"):
        SYSTEM.target_card(units="IP", outdoor_dry_bulb=[float("nan")], entering_wet_bulb=[63], **DAY)
    with pytest.raises(ValueError, match="outdoor_dry_bulb: .*accepted: one number or more"):
        SYSTEM.target_card(units="IP", outdoor_dry_bulb=np.ma.array([95.0, 96.0], mask=[1, 0]), **DAY)
    for word in ("95", True, [True]):
        with pytest.raises(TypeError, match="outdoor_dry_bulb: .* is not a number"):
            SYSTEM.target_card(units="IP", outdoor_dry_bulb=word, **DAY)


def test_the_command(capsys, tmp_path):
    words = [f"--{name.replace('_', '-')}={value}" for name, value in DAY.items()]
    words = ["card", str(DEMO / "alder.yaml"), "--units=IP", *words, "--outdoor-dry-bulb=85,95", "--entering-wet-bulb=63:67:2"]
    page = tmp_path / "card.html"
    assert main([*words, "--page", str(page)]) == 0
    out = capsys.readouterr().out
    assert out.startswith("target card: Alder three-ton, invented\n") and "licensed" in out
    assert page.read_text(encoding="utf-8").startswith("<!doctype html>")
    assert main([*words, "--page", str(page)]) == 2 and "there already" in capsys.readouterr().err
    assert main([*words, "--csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert len(rows) == 6 and rows[0]["outdoor_dry_bulb [degF]"] == "85" and "split [degF]" in rows[0]
    assert main([*words, "--json"]) == 0
    assert len(json.loads(capsys.readouterr().out)["cells"]) == 6
    assert main([*words, "--elevation=0,5000"]) == 2 and "elevation: several values" in capsys.readouterr().err


def test_what_it_stands_on_and_what_such_a_visit_decides():
    line = {"length": 15.24, "suction": 0.01905, "lift": 0}
    card = SYSTEM.target_card(
        units="SI",
        **{**VISITED, "entering_dry_bulb": 24.4, "airflow": 0.47, "elevation": 1430, "line_set": line},
        forecast=DEMO / "library-visit.yaml",
    )
    sound, at_limit, poor = card.chances
    assert (sound.true_ratio, poor.true_ratio) == (1, 0.85) and sound.meets > at_limit.meets > poor.meets
    assert card.decides == tuple(
        line.strip() for line in SYSTEM.plan(DEMO / "library-visit.yaml").report(units="SI").splitlines()[1:4]
    )
    assert all(line in str(card) and line in card.html().replace("&#x27;", "'") for line in card.decides)
    one = SYSTEM.expect(units="IP", outdoor_dry_bulb=95, entering_wet_bulb=63, **DAY)
    alone = SYSTEM.target_card(units="IP", outdoor_dry_bulb=[95], entering_wet_bulb=[63], **DAY)
    assert list(alone.notes) == one.notes and "\n".join(f"  {note}" for note in one.notes) in str(alone)


def test_no_cell_with_an_answer_is_refused_as_expect_refuses():
    with pytest.raises(on.Refused, match="outdoor dry bulb 130 degF is outside 75 degF to 115 degF") as refused:
        SYSTEM.target_card(units="IP", outdoor_dry_bulb=[130], entering_wet_bulb=[63, 67], **DAY)
    assert (refused.value.why, refused.value.about, refused.value.upper) == ("outside", "outdoor_dry_bulb", 115)
    with pytest.raises(on.Refused, match="entering dry bulb"):
        SYSTEM.target_card(units="IP", **{name: value for name, value in DAY.items() if name != "entering_dry_bulb"})
    with pytest.raises(on.InputError, match="target card: mode: 'heating'; accepted: cooling"):
        SYSTEM.target_card(units="IP", mode="heating", frost="integrated", auxiliary_heat=0, **DAY)
    with pytest.raises(ValueError, match="an array; accepted: one value of all but"):
        SYSTEM.target_card(units="IP", **{**DAY, "airflow": [900, 1000]})
    with pytest.raises(TypeError, match="air_flow: no argument of expect; is airflow meant"):
        SYSTEM.target_card(units="IP", air_flow=1000, **DAY)


def test_without_an_airflow_it_says_that_none_is_given():
    for lacking in ({**DAY, "airflow": None}, {name: x for name, x in DAY.items() if name != "airflow"}):
        with pytest.raises(on.Refused, match="^airflow is not given, and there is no default$") as refused:
            SYSTEM.target_card(units="IP", **lacking)
        assert (refused.value.why, refused.value.about) == ("not_given", "airflow")
