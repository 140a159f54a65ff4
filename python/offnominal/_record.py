"""What is kept of a proof: one page to read and print, and beside it everything that someone else needs to compute it again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import contextlib
import json
import os
from typing import Any, NamedTuple

from offnominal import _core, _display, _tables, _texts, _units, _write
from offnominal._value import Value
from offnominal.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from offnominal._proof import Proof

FORMAT: str = "record/1"
# Of its JSON: a hundred times one with ten earlier visits; what could stand in more would take too much time and memory to read.
_MOST_BYTES = 4 << 20
_PAGE = '<meta name="generator" content="offnominal record">'  # what tells a record's page from others


# What comes of looking for a part of a record that is not there, or is something else.
_NOT_WHOLE = (AttributeError, IndexError, KeyError, OverflowError, RecursionError, TypeError, ValueError)


@contextlib.contextmanager
def _of_a_whole_record(what):
    """A record as anybody may have edited it is refused where `what` cannot be made of it."""
    try:
        yield
    except InputError:
        raise
    except _NOT_WHOLE as error:
        raise InputError(
            f"the record has not all of which {what} is made ({type(error).__name__}: {str(error)[:200]}); "
            "accepted: the JSON that `offnominal prove --record` writes"
        ) from None


def _fingerprint(text):
    import hashlib

    return hashlib.sha256(text.encode()).hexdigest()


class RecordChange(NamedTuple):
    """One number or word that comes out otherwise than a record says. Made by `Record.recompute`.

    Attributes
    ----------
    place : str
        Such as ``"budget[0].share"``.
    before, now
        What the record says, and what comes out now.
    """

    place: str
    before: Any
    now: Any

    def __str__(self):
        return f"{self.place}: {self.before!r} in the record, {self.now!r} now"


class Record(Value):
    """What is kept of a proof. Made by `Proof.record`, or read by `read_record`.

    Attributes
    ----------
    data : dict
        ``offnominal`` (the format), ``version``, ``units``, ``system`` and ``visit`` (``name``, ``text``, ``sha256``), ``proof``
        (everything that `Proof.to_dict` tells), ``station_pressure``, ``texts`` (``verdict``, ``settling``, ``causes``, ``notes``, ``cautions``) and ``report``. Of
        earlier visits ``earlier`` (each as ``visit``), ``seasons`` (the rows of `Seasons.to_rows`), and in words ``texts.seasons``.
    """

    def __init__(self, data: dict[str, Any]) -> None:
        vars(self).update(_text=json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False) + "\n")

    @property
    def data(self) -> dict[str, Any]:
        return json.loads(self._text)

    @property
    def json(self) -> str:
        """str: the record as JSON."""
        return self._text

    def html(self, json_name: str = "the same name with .json") -> str:
        """One page that needs nothing else: no script, no request, to read and to print. Needs Jinja2.

        Parameters
        ----------
        json_name : str
            What the file with the JSON is called.

        Returns
        -------
        str

        Raises
        ------
        InputError
            Where somebody has taken out of the record what its page shows.
        """
        jinja2 = _tables.library("jinja2", "a record's page")
        environment = jinja2.Environment(autoescape=True, undefined=jinja2.StrictUndefined, trim_blocks=True)
        with _of_a_whole_record("its page"):
            return environment.from_string(_display.file_of_package("record.html")).render(
                json_name=json_name, mark=_PAGE, style=_display.page_style(), **_page(self.data)
            )

    def write(self, path: str | os.PathLike[str], *, force: bool = False) -> None:
        """Write the page, and beside it the JSON (``out.html`` and ``out.json``).

        Parameters
        ----------
        path : str or os.PathLike
            Of the page: a name that ends in ``.html``.
        force : bool
            Replace a record that is there already; nothing else is ever replaced.

        Raises
        ------
        ValueError
            For another ending, or a record too large to be read again: 4 MiB of JSON at most.
        FileExistsError
            If one of the files is there and `force` is not true, or it is no record's; then neither is written.
        """
        path = os.fsdecode(path)
        base, ending = os.path.splitext(path)
        if ending != ".html":
            raise ValueError(f"path: {path!r}; accepted: a name that ends in .html")
        size = len(self._text.encode())
        if size > _MOST_BYTES:
            raise ValueError(f"a record of {size:,} bytes; accepted: at most {_MOST_BYTES:,}, which can be read again")
        there = [name for name in (path, base + ".json") if os.path.exists(name)]
        if there and not force:
            raise FileExistsError(f"{there[0]} is there already; force replaces it")
        for name in there:
            if not _is_record(name):
                raise FileExistsError(f"{name} is there already and is no record's; accepted: another name")
        page = self.html(os.path.basename(base + ".json"))
        _write.write_new(base + ".json", self._text, force)
        _write.write_new(path, page, force)

    def recompute(self) -> list[RecordChange]:
        """The same proof once more, by the version that runs.

        Returns
        -------
        list of RecordChange
            What differs; empty where every digit is the same. What a later version tells beside what the record's own did is no
            difference.

        Raises
        ------
        InputError
            Where the record's own texts are not those that it was made of, or something is missing.
        """
        from offnominal._system import parse
        from offnominal._visit import Visit

        data = self.data
        with _of_a_whole_record("its proof"):
            earlier = {f"earlier[{k}]": one for k, one in enumerate(data.get("earlier", ()))}
            kept = {"system": data["system"], "visit": data["visit"], **earlier}
            for part, held in kept.items():
                if _fingerprint(held["text"]) != held["sha256"]:
                    raise InputError(f"{part}: the text in the record is not the one whose fingerprint it keeps")
            system = parse(data["system"]["text"], "system of the record")
            proof, *before = (
                system.prove(Visit.parse(kept[part]["text"], f"{part} of the record"), units=data["units"])
                for part in ("visit", *earlier)
            )
            now = proof.record(earlier=before).data
            more = data["version"] != _core.__version__
            return [
                *_differences("", data["proof"], now["proof"], more=more),
                *_differences("seasons", data.get("seasons"), now.get("seasons"), more=more),
            ]

    def _made_of(self):
        return Record, (self.data,)

    def __repr__(self):
        return f"<Record of {self.data['visit']['name']!r}: {self.data['proof']['outcome']}>"


def _kept(visit):
    text = visit.write()
    return {"name": visit.name, "date": visit.date, "text": text, "sha256": _fingerprint(text)}


def record_of(proof: Proof, earlier: Sequence[Proof]) -> Record:
    """A record of a proof with units."""
    system = proof.system.write()
    data = {
        "offnominal": FORMAT,
        "version": _core.__version__,
        "units": proof.units,
        "system": {"name": proof.system.name, "text": system, "sha256": _fingerprint(system)},
        "visit": _kept(proof.visit),
        "proof": json.loads(proof.to_json()),
        "station_pressure": proof.delivered._air[-1],
        "texts": proof._core.texts(proof.units),
        "report": proof.report(units=proof.units),
    }
    if earlier:
        from offnominal._between import seasons

        found = seasons([*earlier, proof])
        data |= {"earlier": [_kept(one.visit) for one in earlier], "seasons": found.to_rows()}
        data["texts"]["seasons"] = found.report()
    return Record(data)


def read_record(path: str | os.PathLike[str]) -> Record:
    """Read a record's JSON.

    Parameters
    ----------
    path : str or os.PathLike

    Returns
    -------
    Record

    Raises
    ------
    InputError
        For what is no record, or one of a newer format.
    """
    path = os.fsdecode(path)
    text = _write.read_whole(path, _MOST_BYTES)
    try:
        data = json.loads(text)
        form = data["offnominal"]
    except (ValueError, KeyError, TypeError, RecursionError):
        raise InputError(f"{path}: not a record; accepted: the JSON that `offnominal prove --record` writes") from None
    if form != FORMAT:
        raise InputError(
            f"{path}: offnominal: {_texts.in_words(form)}; accepted: {FORMAT!r} (a record of a newer version needs that version)"
        )
    missing = [name for name in ("version", "units", "system", "visit", "proof", "texts") if name not in data]
    for part in ("system", "visit"):
        held = data.get(part, {})
        missing += [f"{part}.{name}" for name in ("name", "text", "sha256") if not isinstance(held, dict) or name not in held]
    if missing:
        raise InputError(f"{path}: {', '.join(missing)} missing in the record")
    with _of_a_whole_record("a file"):
        record = Record(data)
        record.json.encode()  # half a character, which JSON can spell, is none
    return record


def _is_record(path):
    """Whether a file is a record's page or its JSON."""
    try:
        text = _write.read_whole(path)
        return _PAGE in text if path.endswith(".html") else json.loads(text)["offnominal"] == FORMAT
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False


def _differences(place, before, now, more):
    """Where two plain structures differ; `more`: what is there now alone is none."""
    if isinstance(before, dict) and isinstance(now, dict):
        for name in before if more else dict.fromkeys((*before, *now)):
            yield from _differences(f"{place}.{name}" if place else name, before.get(name), now.get(name), more)
    elif isinstance(before, list) and isinstance(now, list) and len(before) == len(now):
        for k, (one, other) in enumerate(zip(before, now)):
            yield from _differences(f"{place}[{k}]", one, other, more)
    elif before != now:
        yield RecordChange(place, before, now)


def _lines(text):
    """The lines under a text's first."""
    return [line.strip() for line in text.splitlines()[1:]]


def _page(data):
    """What the page shows."""
    proof, units = data["proof"], data["units"]
    texts = data["texts"]
    told = {name: _units.unit_of(units, kind) for name, kind, *_ in (*_core.told_of_expected, *_core.told_of_delivered)}
    capacity = told["total_capacity"]
    expected, delivered = proof["expected"], proof["delivered"]

    def of(side, name):
        return _display.number(side.get(name), told[name])

    page = {
        "title": " · ".join(x for x in (data["visit"]["name"] or "visit", data["visit"].get("date")) if x),
        "version": data["version"],
        "system": data["system"],
        "visit": data["visit"],
        "verdict": {"outcome": _display.words(proof["outcome"]), "lines": _lines(texts["verdict"])},
        "picture": _picture(proof),
        "target": None,
        "evidence": _display.evidence(proof, delivered["mode"]),
        "budget": _display.shares(proof),
        "settling": texts["settling"],
        "causes": _lines(texts.get("causes", "")),
        "seasons": texts.get("seasons", "").splitlines(),
        "notes": texts["notes"],
        "cautions": _lines(texts["cautions"]),
    }
    names = ("total_capacity", "sensible_capacity", "latent_capacity", "split", "rise", "standard_airflow", "mass_flow")
    page["delivered"] = [(_display.words(name), of(delivered, name)) for name in names if delivered.get(name) is not None]
    if "station_pressure" in data:  # none in records that were made before it was kept
        pressure = _display.number(data["station_pressure"], _units.unit_of(units, "pressure"))
        page["delivered"].append(("station pressure", pressure))
    if expected:
        told_of = ("total_capacity", "sensible_capacity", "power", "leaving_dry_bulb", "leaving_wet_bulb", "split", "rise")
        words = [f"{_display.words(name)} {of(expected, name)}" for name in told_of if expected.get(name) is not None]
        page["target"] = {
            "words": "At " + expected["boundary"] + ": " + ", ".join(words) + ".",
            "footing": expected["footing"],
            "unit": capacity,
            "steps": _display.Ledger(expected["ledger"]).rows(),
        }
    return page


def _picture(proof):
    """The ratio, its interval and the limit along a line."""
    if proof["ratio"] is None:
        return None
    limit = proof["sensible_limit"] if proof["judge"] == "sensible" else proof["limit"]
    seen = (proof["ratio_low"], proof["ratio_high"], limit, 1.0)
    least = min(0.7, 0.1 * (min(seen) // 0.1))
    greatest = max(1.2, 0.1 * (max(seen) // 0.1 + 1))

    def x(ratio):
        return round(20 + 600 * (ratio - least) / (greatest - least), 1)

    ticks = range(round(10 * least), round(10 * greatest) + 1)
    every = max(1, round(len(ticks) / 8))
    return {
        "low": x(proof["ratio_low"]),
        "width": round(x(proof["ratio_high"]) - x(proof["ratio_low"]), 1),
        "ratio": x(proof["ratio"]),
        "limit": x(limit),
        "ticks": [{"x": x(tick / 10), "text": f"{tick / 10:.1f}"} for tick in ticks if tick % every == 0],
        "words": f"Delivered over expected: {proof['ratio']:.3f}. The bar, from {proof['ratio_low']:.3f} to {proof['ratio_high']:.3f}, "
        "holds the true ratio with a chance of 95 %, lopsided where its distribution is; ± in the verdict is twice the standard "
        f"uncertainty. The limit is {limit:g}.",
    }
