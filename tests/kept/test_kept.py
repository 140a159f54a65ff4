"""What earlier versions answered and wrote: this one reads all of it, and tells the same digits.

A folder for each minor version, never made again once that version is out. Where a later version means to answer otherwise, what changed is
named in CHANGED, with the version that changed it; the README's list of versions says why.
"""

import json
import re
import sys
from pathlib import Path

import pytest

import offnominal as on

HERE = Path(__file__).resolve().parent
VERSIONS = sorted(path for path in HERE.iterdir() if (path / "answers.json").exists())
sys.path.insert(0, str(HERE.parent / "conformance"))

import run as runner  # noqa: E402

CHANGED = {}  # {("0.2", "answers.json"): "0.3"}: file of a folder that is no longer reproduced
# A note may say better what it says. How many there are, and which, is in answers.json.
REWORDED = re.compile(r"(^|\.)notes\[\d+\]$")


def files(ending):
    return [
        pytest.param(path, id=f"{path.parent.name}/{path.name}")
        for version in VERSIONS
        for path in sorted(version.glob(ending))
        if (version.name, path.name) not in CHANGED
    ]


def test_this_version_is_kept():
    assert ".".join(on.__version__.split(".")[:2]) in [version.name for version in VERSIONS]


@pytest.mark.parametrize("by", ["python", "c"])
@pytest.mark.parametrize("path", files("answers.json"))
def test_answers(path, by, capsys):
    assert runner.main([str(path), "--by", by]) == 0, capsys.readouterr().out


@pytest.mark.parametrize("path", files("*.record.json"))
def test_records(path):
    changes = [str(change) for change in on.read_record(path).recompute() if not REWORDED.search(change.place)]
    assert changes == []


@pytest.mark.parametrize("path", files("*-visit.yaml"))
def test_visits(path):
    """Read from its file, with its log, a visit still has the digits of its record."""
    record = on.read_record(path.with_suffix(".record.json"))
    proof = on.load(path.with_name("alder.yaml")).prove(path, units=record.data["units"])
    assert json.loads(proof.to_json())["ratio"] == record.data["proof"]["ratio"]
    assert on.Visit.parse(record.data["visit"]["text"]) == on.Visit(path)


@pytest.mark.parametrize("path", files("[ab]*r*.yaml"))
def test_systems(path):
    system = on.load(path)
    assert on.parse(system.write()) == system


@pytest.mark.parametrize("path", files("*.bytes"))
def test_bytes(path):
    """What an app was given to embed."""
    assert on.System.from_bytes(path.read_bytes()) == on.load(path.with_suffix(".yaml"))


def test_a_later_version_may_tell_more():
    """What a version did not know yet is no difference; what it told and is not told any more is one."""
    data = on.read_record(HERE / "0.2/library-visit.record.json").data
    data.update(version="0.1.9")
    del data["proof"]["bend"], data["proof"]["expected"]["knee"]
    data["proof"]["gone"] = 0.5
    assert [str(change) for change in on.Record(data).recompute()] == ["gone: 0.5 in the record, None now"]
