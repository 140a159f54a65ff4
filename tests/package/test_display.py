"""How values show themselves: at the prompt, and in a notebook."""

import copy
import pickle
import re
from pathlib import Path

import numpy as np
import pytest
import questions

import offnominal as on

DEMO = Path(__file__).resolve().parents[2] / "tables/demo"
SYSTEM = on.load(DEMO / "alder.yaml")
PROOF = SYSTEM.prove(DEMO / "library-visit.yaml", units="IP")
BATCH = SYSTEM.expect(**{**questions.COOLING, "outdoor_dry_bulb": np.array([85.0, 95.0, 140.0])})
SHOWN = {
    "system": SYSTEM,
    "envelope": SYSTEM.envelope(units="IP"),
    "page": SYSTEM.pages(units="IP")[0],
    "expected": PROOF.expected,
    "ledger": PROOF.expected.ledger,
    "delivered": PROOF.delivered,
    "proof": PROOF,
    "proof without units": SYSTEM.prove(DEMO / "library-visit.yaml"),
    "heating proof": SYSTEM.prove(DEMO / "library-heating-visit.yaml", units="SI"),
    "no ratio": SYSTEM.prove(
        on.Visit.parse((DEMO / "library-visit.yaml").read_text(encoding="utf-8").replace("steady: true", "steady: false")),
        units="IP",
    ),
    "batch": BATCH,
    "batch of two columns": SYSTEM.expect(
        **{**questions.COOLING, "outdoor_dry_bulb": np.array([85.0, 95.0])}, columns=("split", "power")
    ),
    "batch without an answer": BATCH[2:],
}


def read(value):
    """What a notebook shows, without its tags."""
    shown = value._repr_html_()
    assert len(re.findall("<(?!/)(?!li|p|t[dhr])", shown)) == len(re.findall("</(?!li|p|t[dhr])", shown)), "a tag is left open"
    return re.sub("<[^>]*>", " ", shown.partition("</style>")[2])


@pytest.mark.parametrize("value", SHOWN.values(), ids=SHOWN)
def test_it_shows_itself_in_its_own_style_without_a_script(value):
    shown = value._repr_html_()
    assert shown.startswith('<div class="offnominal"><style>') and not re.search("script|http|url", shown)
    assert read(value).strip() and "nan" not in read(value) and "None" not in read(value)
    assert len(repr(value)) < 2000 and repr(value).isprintable() or "\n" in repr(value)


def test_numbers_are_those_that_are_told():
    for value, number in ((PROOF.expected, PROOF.expected.total_capacity), (PROOF.delivered, PROOF.delivered.total_capacity)):
        assert f"{number:,.0f} Btu/h".replace(",", "\u202f") in read(value)
    assert "undecided" in read(PROOF) and f"{PROOF.ratio:.3f}" in read(PROOF)
    greatest = np.nanmax(BATCH.total_capacity)
    assert f"{greatest:,.0f} Btu/h".replace(",", "\u202f") in read(BATCH) and re.search(r"outside\s+1\s", read(BATCH))
    assert "and 48 more nodes" in read(SHOWN["page"])


def test_a_ledger_and_an_envelope_are_lists_still():
    for value in (SHOWN["ledger"], SHOWN["envelope"]):
        assert isinstance(value, list) and value == list(value)
        for again in (copy.deepcopy(value), pickle.loads(pickle.dumps(value))):
            assert again == value and type(again) is type(value)
    lines = repr(SHOWN["ledger"]).splitlines()
    assert lines[0].split() == ["step", "factor", "total", "sensible", "power"] and lines[1].startswith("page ")
    assert repr(SHOWN["envelope"]).splitlines()[1].startswith("high ")
    assert repr(type(SHOWN["ledger"])()) and repr(type(SHOWN["envelope"])())  # empty ones


def test_nothing_from_a_file_is_a_tag():
    text = (DEMO / "library-visit.yaml").read_text(encoding="utf-8").replace("name: Library", "name: '<b>Library</b>'  # ")
    assert "<b>" not in SYSTEM.prove(on.Visit.parse(text), units="IP")._repr_html_()
