"""Draws of a visit's ratio: those of its proof, more of them, and the same again."""

from pathlib import Path

import numpy as np
import pytest

import offnominal as on

DEMO = Path(__file__).resolve().parents[2] / "tables/demo"
SYSTEM = on.load(DEMO / "alder.yaml")
VISIT = DEMO / "library-visit.yaml"


def test_the_first_draws_are_those_of_the_proof_and_more_tell_the_same():
    # Near saturation, where draws decide: 512 of them tell this verdict.
    visit = on.Visit.parse(VISIT.read_text(encoding="utf-8").replace("relative_humidity: 86.4 %", "relative_humidity: 94.5 %"))
    proof = SYSTEM.prove(visit)
    assert proof.method == "draws"
    few, many = SYSTEM.monte_carlo(visit, 512), SYSTEM.monte_carlo(visit, 50_000)
    assert few.mean() == pytest.approx(proof.ratio, rel=1e-12) and few.std() == pytest.approx(proof.ratio_u, rel=1e-12)
    assert np.mean(few >= proof.limit) == pytest.approx(proof.probability, abs=1e-12)
    assert many.size == 50_000 and np.array_equal(many[:512], few) and len(np.unique(many)) > 49_000
    assert many.mean() == pytest.approx(proof.ratio, abs=0.003) and many.std() == pytest.approx(proof.ratio_u, rel=0.05)
    assert SYSTEM.monte_carlo(visit, 3).tolist() == few[:3].tolist()


def test_where_first_order_decides_draws_tell_the_same():
    proof, drawn = SYSTEM.prove(VISIT), SYSTEM.monte_carlo(VISIT, 50_000)
    assert proof.method == "first_order"
    assert drawn.mean() == pytest.approx(proof.ratio, abs=0.001) and drawn.std() == pytest.approx(proof.ratio_u, rel=0.02)
    assert np.mean(drawn >= proof.limit) == pytest.approx(proof.probability, abs=0.01)


def test_what_has_no_ratio_has_no_draws(tmp_path):
    text = VISIT.read_text(encoding="utf-8").replace("dry_bulb: 58.4 degF", "dry_bulb: 76.0 degF")
    visit = tmp_path / "visit.yaml"
    visit.write_text(text, encoding="utf-8")
    assert SYSTEM.prove(visit).ratio is None
    with pytest.raises(on.Refused):
        SYSTEM.monte_carlo(visit, 100)
    for n in (0, 2.5, 10**9):
        with pytest.raises(ValueError, match="n: "):
            SYSTEM.monte_carlo(VISIT, n)
