"""The conformance set: our own implementations agree with it, its runner can fail, and making it again gives the same files."""

import json
import math
import re
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent
DELIVER, PROVE = HERE / "deliver.json", HERE / "prove.json"
sys.path.insert(0, str(HERE))

import make  # noqa: E402
import run as runner  # noqa: E402


@pytest.fixture
def run(capsys):
    """The runner's exit status, and what it says."""

    def call(*arguments):
        status = runner.main(list(map(str, arguments)))
        return status, capsys.readouterr().out

    return call


def test_python_and_c_agree_with_all_of_it(run):
    status, said = run()
    assert status == 0 and said.endswith(": the same\n"), said
    assert int(said.split()[0]) >= 5000
    status, said = run("--by", "c")
    assert status == 0 and ": the same\n" in said, said
    assert [line.split()[-1] for line in said.splitlines() if line.startswith("not asked")] == ["air"]  # of which it has none


def test_a_command_can_be_held_against_it(run, tmp_path):
    status, said = run("--by", f"{sys.executable} {HERE / 'ours.py'}", DELIVER)
    assert status == 0 and said.endswith(": the same\n"), said
    mute = tmp_path / "mute.py"
    mute.write_text("print('{}')\n")
    with pytest.raises(SystemExit, match=r"mute.py: 1 answers to \d+ questions; exit status 0"):
        run("--by", f"{sys.executable} {mute}", DELIVER)


@pytest.fixture
def perturbed(tmp_path):
    """A file of the set with one answer changed: (path, what to call it)."""

    def make(path, group, name, row, change):
        data = json.loads(path.read_text(encoding="utf-8"))
        for system in data["systems"].values():
            system["file"] = str((HERE / system["file"]).resolve())
        group = data["groups"][group]
        group["answers"][name][row] = change(group["answers"][name][row])
        (tmp_path / path.name).write_text(json.dumps(data), encoding="utf-8")
        return tmp_path / path.name, f"{path.name}: {group['name']}, row {row}: {name} is "

    return make


@pytest.mark.parametrize("by", ["python", "c"])
def test_one_bit_otherwise_is_named(run, perturbed, by):
    path, where = perturbed(DELIVER, 3, "total_capacity", 7, lambda x: math.nextafter(x, math.inf))
    status, said = run("--by", by, path)
    assert status == 1 and said.startswith(where) and said.endswith(": 1 answered otherwise\n"), said
    assert run("--by", by, "--within", "1e-12", path)[0] == 0


def test_tolerances_are_those_that_stand_in_it(run, perturbed):
    path, where = perturbed(PROVE, 0, "ratio", 2, lambda x: x + 2e-12)
    status, said = run(path)
    assert status == 1 and said.startswith(where), said
    path, _ = perturbed(PROVE, 0, "ratio", 2, lambda x: x + 5e-13)
    assert run(path)[0] == 0
    path, where = perturbed(PROVE, 0, "outcome", 2, lambda word: "meets")
    assert where + "'meets', not 'undecided'" in run("--within", "0.5", path)[1]


def test_another_system_or_a_newer_format_is_told(run, tmp_path):
    data = json.loads(PROVE.read_text(encoding="utf-8"))
    data["systems"]["alder"].update(file=str(HERE / "systems/net.yaml"))
    path = tmp_path / "set.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(SystemExit, match="net.yaml: not the file that its answers were made of"):
        run(path)
    path.write_text(json.dumps({**data, "offnominal": "conformance/2"}), encoding="utf-8")
    with pytest.raises(SystemExit, match="'conformance/2'; accepted: 'conformance/1'"):
        run(path)


TYPES = {
    "object": dict,
    "array": list,
    "string": str,
    "number": (int, float),
    "integer": int,
    "boolean": bool,
    "null": type(None),
}


def is_a(value, name):
    return isinstance(value, TYPES[name]) and (name in ("boolean", "null") or not isinstance(value, bool))


def faults(schema, value, at="", root=None):
    """Where a value is not as a JSON schema says, for the keywords that ours uses; an unknown one is a mistake of the schema."""
    root = root or schema
    for key, said in schema.items():
        match key:
            case "$schema" | "title" | "$defs":
                continue
            case "$ref":
                part = root
                for name in said.removeprefix("#/").split("/"):
                    part = part[name]
                yield from faults(part, value, at, root)
                continue
            case "properties":
                for name in said.keys() & value.keys():
                    yield from faults(said[name], value[name], f"{at}/{name}", root)
                continue
            case "additionalProperties":
                for name in value.keys() - schema.get("properties", {}).keys():
                    yield from [f"{at}/{name}"] if said is False else faults(said, value[name], f"{at}/{name}", root)
                continue
            case "propertyNames":
                for name in value:
                    yield from faults(said, name, f"{at}/{name}", root)
                continue
            case "items":
                for k, one in enumerate(value):
                    yield from faults(said, one, f"{at}/{k}", root)
                continue
            case "anyOf":
                holds = any(not [*faults(one, value, at, root)] for one in said)
            case "type":
                holds = any(is_a(value, name) for name in ([said] if isinstance(said, str) else said))
            case "const":
                holds = value == said
            case "enum":
                holds = value in said
            case "required":
                holds = set(said) <= value.keys()
            case "pattern":
                holds = re.search(said, value)
            case "minimum":
                holds = value >= said
            case "exclusiveMinimum":
                holds = value > said
            case "minItems" | "minProperties":
                holds = len(value) >= said
            case _:
                raise ValueError(key)
        if not holds:
            yield f"{at}: {key}"
            return


def test_each_file_is_as_the_schema_says():
    schema = json.loads(runner.SCHEMA.read_text(encoding="utf-8"))
    for path in (*runner.FILES, *HERE.parent.glob("kept/*/answers.json")):
        assert [*faults(schema, json.loads(path.read_text(encoding="utf-8")))] == [], path
    data = json.loads(DELIVER.read_text(encoding="utf-8"))

    def wrong(change):
        other = json.loads(json.dumps(data))
        change(other)
        return [*faults(schema, other)]

    assert wrong(lambda x: x.pop("told")) == [": required"]
    assert wrong(lambda x: x.update(more=1)) == ["/more"]
    assert wrong(lambda x: x["groups"][0].update(ask="guess")) == ["/groups/0/ask: enum"]
    assert wrong(lambda x: x["groups"][1].update(rows=0)) == ["/groups/1/rows: minimum"]
    assert wrong(lambda x: x["groups"][1]["same"].pop("units")) == ["/groups/1/same: required"]
    assert wrong(lambda x: x["groups"][0]["answers"].update(total_capacity=[True])) == ["/groups/0/answers/total_capacity: anyOf"]
    assert wrong(lambda x: x["told"]["deliver"].update(split=-1)) == ["/told/deliver/split: anyOf"]


def test_made_again_it_is_the_same(tmp_path):
    make.main(tmp_path)
    files = [path.name for path in runner.FILES]
    assert sorted(path.name for path in tmp_path.glob("*.json")) == files
    assert [name for name in files if (tmp_path / name).read_bytes() != (HERE / name).read_bytes()] == []
    assert sum(path.stat().st_size for path in runner.FILES) <= 1.5e6
