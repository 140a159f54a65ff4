"""Pasted pages and records as anybody may have made them, under small seeded mutations: each is read, or refused with an error that says
why. ``OFFNOMINAL_ROUNDS`` tries more of them than every run does."""

import json
import os
import random
from pathlib import Path

import pytest

import offnominal as on

TABLES = Path(__file__).resolve().parents[2] / "tables"
PAGES = json.loads((TABLES / "corpus/pages.json").read_text(encoding="utf-8"))
ROUNDS = int(os.environ.get("OFFNOMINAL_ROUNDS", "1"))
WORDS = ["-", "x", "nan", "inf", "1e999", "1e-999", "-1", "0", "33,5", "1.234.567", "30.8d", "*", "**", "|", "\t", ",", ";", '"', "'", "\n", "\r",
         "\r\n", "  ", "\u00a0", "7/8", "1/0", "@", "@80", "edb", "rh", "TC", "SC", "odb", "degF", "scfm", "kW", "(", ")", "[", "85/72", "0x10", "\0",
         "\u202e", "\ufeff", "\ud800", "\u0660", "9" * 400, "1e99999999", "%", "total", "Outdoor", "=1+1", "#", "\x1b[2J", "a" * 300]  # fmt: skip


def mutated(text, chance):
    """The text with one to three changes."""
    for _ in range(chance.randint(1, 3)):
        at, length = chance.randrange(len(text) + 1), chance.randrange(200 if chance.random() < 0.25 else 8)
        some = text[at : at + length]
        match chance.randrange(5):
            case 0:
                text = text[:at] + chance.choice(WORDS) + text[at:]
            case 1:
                text = text[:at] + text[at + length :]
            case 2:
                to = chance.randrange(len(text) + 1)
                text = text[:to] + some + text[to:]
            case 3:
                text = text[:at] + chance.choice(WORDS) + text[at + length :]
            case 4:  # a line moves
                lines = text.split("\n")
                line = lines.pop(chance.randrange(len(lines)))
                lines.insert(chance.randrange(len(lines) + 1), line)
                text = "\n".join(lines)
    return text


def test_mutated_pages_are_read_or_refused():
    chance = random.Random(5)
    small = sorted(PAGES, key=lambda said: (TABLES / "corpus" / said["page"]).stat().st_size)[:8]
    read = refused = 0
    for _ in range(8 * ROUNDS):
        for said in small:
            page = mutated((TABLES / "corpus" / said["page"]).read_text(encoding="utf-8"), chance)
            how = {key: value for key, value in said.items() if key not in ("page", "system", "holds")}
            try:
                made = on.transcribe(page + "\n", name="mutated", **how)
            except on.InputError as error:
                refused += 1
                assert 0 < len(str(error)) < 20_000
            else:
                read += 1
                assert on.collate(made.system, on.parse(made.text)).same
    assert read > 3 * ROUNDS and refused > 20 * ROUNDS


HOSTILE = [
    None,
    True,
    0,
    -1,
    1e308,
    10**30,
    "",
    "x",
    "\ud800",
    "\0",
    "<script>alert(1)</script>",
    [],
    {},
    [[]],
    [None],
    {"": None},
    float("nan"),
]


def places(tree, path=()):
    """Every place of a JSON tree but the root."""
    for key, value in tree.items() if isinstance(tree, dict) else enumerate(tree):
        yield *path, key
        if isinstance(value, (dict, list)):
            yield from places(value, (*path, key))


def test_a_hostile_record_is_shown_and_recomputed_or_refused(tmp_path):
    pytest.importorskip("jinja2")
    chance = random.Random(6)
    visit = on.Visit(TABLES / "demo/library-visit.yaml")
    whole = on.load(TABLES / "demo/alder.yaml").prove(visit, units="IP").record()
    everywhere = [*places(whole.data)]
    shallow = [place for place in everywhere if len(place) < 3]
    path = tmp_path / "x.json"
    read = 0
    for round in range(30 * ROUNDS):
        data = whole.data
        *parents, key = chance.choice(shallow if round % 2 else everywhere)
        at = data
        for parent in parents:
            at = at[parent]
        if chance.random() < 0.2:
            del at[key]
        else:
            at[key] = chance.choice(HOSTILE)
        path.write_text(json.dumps(data))
        try:
            record = on.read_record(path)
        except on.InputError:
            continue
        read += 1
        for use in (record.html, record.recompute):
            try:
                said = use()
            except on.InputError:
                continue
            assert isinstance(said, list) or "<script>alert" not in said
    assert read > 5 * ROUNDS
    for text in (
        "[" * 100_000,
        '{"offnominal": ' * 100_000,
        "",
        "null",
        "7",
        '"x"',
        "[]",
        "{}",
        "9" * 5000,
        '{"offnominal": NaN}',
    ):
        path.write_text(text)
        with pytest.raises(on.InputError):
            on.read_record(path)
