"""Pictures of what is told, drawn with matplotlib: they read in print, in grey and without colour sight.

Each function draws into the axes it is given, or into new ones, and gives the axes back::

    from offnominal import pictures
    pictures.ledger(expected).figure.savefig("ledger.pdf")

matplotlib is an extra, imported only when a picture is drawn.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from offnominal import _arrays, _display, _tables, _units
from offnominal import air as moist
from offnominal._core import Expected
from offnominal._proof import Proof

if TYPE_CHECKING:
    from typing import Any, Literal
    from offnominal._survey import Survey
    from offnominal._system import System

__all__ = ["air", "audit", "budget", "capacity", "fleet", "ledger", "verdict"]

_INK, _SOFT, _BAND, _ACCENT = "#1a1a1a", "#6a6a6a", "#d9d9d9", "#1f5a92"


def _axes(ax, size):
    """The axes to draw into, in the one style of all pictures."""
    pyplot = _tables.library("matplotlib.pyplot", "a picture")
    if ax is None:
        _, ax = pyplot.subplots(figsize=size, layout="constrained")
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    ax.tick_params(colors=_INK, labelsize=9)
    return ax


def _check_kind(name, value, kind):
    if not isinstance(value, kind):
        raise TypeError(f"{name}: {_arrays.in_words(value)} is no {kind.__name__}")


def _check_ratio(proof):
    _check_kind("proof", proof, Proof)
    if proof.ratio is None:
        raise ValueError(f"proof: there is no ratio ({proof.reason})")


def _references(ax, limit):
    """The limit, if there is one, and what is expected."""
    if limit is not None:
        ax.axvline(limit, color=_INK, linestyle=(0, (5, 3)), linewidth=1.3)
        ax.annotate(f"limit {limit:g}", (limit, 1), xycoords=("data", "axes fraction"), ha="center", va="bottom", fontsize=9)
    ax.axvline(1.0, color=_SOFT, linewidth=0.8)


def _unit(name):
    return _units.spoken(name).replace("degF", "°F").replace("degC", "°C")


def ledger(expected: Expected, *, of: Literal["total", "sensible", "power"] = "total", ax: Any = None) -> Any:
    """Every step behind an expected number, as a waterfall: what the page prints, what each step adds or takes, what comes out.

    Parameters
    ----------
    expected : Expected
    of : {"total", "sensible", "power"}
    ax : matplotlib.axes.Axes, optional

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        Where nothing is told of that.
    """
    _check_kind("expected", expected, Expected)
    steps = [step for step in expected.ledger if step["of"] == of]
    if not steps:
        raise ValueError(f"of: {of!r}: the ledger tells nothing of it")
    ax = _axes(ax, (7, 0.42 * len(steps) + 1.5))
    unit = _unit(expected.fields["power" if of == "power" else "total_capacity"])
    rows = [(_display.words(step["step"]), step["before"], step["after"]) for step in steps]
    rows = [(rows[0][0], 0.0, rows[0][2]), *rows[1:], (f"{of} at {expected.boundary}", 0.0, rows[-1][2])]
    for k, (_, before, after) in enumerate(rows):
        whole = k in (0, len(rows) - 1)
        loses = after < before
        ax.barh(
            k,
            after - before,
            left=before,
            height=0.62,
            color=_BAND if whole else "white" if loses else _SOFT,
            edgecolor=_INK,
            hatch="////" if loses and not whole else None,
        )
        change = f"{after:,.0f}" if whole else f"{after - before:+,.0f}"
        ax.annotate(change, (max(before, after), k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=9)
        if k + 1 < len(rows):
            ax.plot([after, after], [k, k + 1], color=_SOFT, linewidth=0.8)
    ax.set_yticks(range(len(rows)), [name for name, *_ in rows])
    ax.invert_yaxis()
    values = [value for _, *ends in rows for value in ends if value]
    span = max(values) - min(values)
    ax.set_xlim(max(0.0, min(values) - 0.6 * span - 0.05 * max(values)), max(values) + 0.25 * span + 0.02 * max(values))
    ax.xaxis.set_major_formatter("{x:,.0f}")
    ax.set_xlabel(f"{of} [{unit}] (the axis does not start at 0)")
    return ax


def verdict(proof: Proof, *, ax: Any = None) -> Any:
    """Delivered over expected with its 95 % interval, beside the limit, of everything that was compared; hatched the band of ratios of
    total that decide nothing.

    Parameters
    ----------
    proof : Proof
        With a ratio.
    ax : matplotlib.axes.Axes, optional

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        For a proof without a ratio.
    """
    _check_ratio(proof)
    rows = [("total", proof.ratio, proof.ratio_low, proof.ratio_high)]
    for name in ("sensible", "split", "power", "efficiency"):
        ratio, u = getattr(proof, f"{name}_ratio"), getattr(proof, f"{name}_ratio_u")
        if ratio is not None:
            rows.append((name, ratio, ratio - 2 * u, ratio + 2 * u))
    ax = _axes(ax, (7, 0.45 * len(rows) + 1.4))
    band = proof.guard_band if proof.judge != "sensible" else 0.0
    if band:
        ax.use_sticky_edges = False  # its end shows
        ax.barh(
            0,
            2 * band,
            left=proof.limit - band,
            height=0.66,
            color="white",
            edgecolor=_SOFT,
            hatch="////",
            linewidth=0,
            zorder=0.5,
        )
    for k, (_, ratio, low, high) in enumerate(rows):
        ax.plot([low, high], [k, k], color=_ACCENT if k == 0 else _SOFT, linewidth=7 if k == 0 else 4, solid_capstyle="butt")
        ax.plot(ratio, k, "o" if k == 0 else "s", color=_INK, markersize=7 if k == 0 else 5)
        paper = {"facecolor": "white", "edgecolor": "none", "pad": 0.6}
        ax.annotate(f"{ratio:.3f}", (ratio, k), xytext=(0, 9), textcoords="offset points", ha="center", fontsize=9, bbox=paper)
    limit = proof.sensible_limit if proof.judge == "sensible" else proof.limit
    _references(ax, limit)
    least = ax.get_xlim()[0]
    if least < limit:
        ax.axvspan(least, limit, color=_BAND, alpha=0.4, linewidth=0, zorder=0)  # what falls short
        ax.set_xlim(left=least)
    ax.set_yticks(range(len(rows)), [name for name, *_ in rows])
    ax.set_ylim(len(rows) - 0.5, -0.8)
    ax.set_xlabel("delivered or measured, over expected; bars hold 95 %" + ("; hatched: decides nothing" if band else ""))
    ax.set_title(_display.words(proof.outcome), loc="left", fontsize=12, pad=18)
    return ax


def budget(proof: Proof, *, ax: Any = None) -> Any:
    """What the ratio's uncertainty is made of: the share of each input, largest first.

    Parameters
    ----------
    proof : Proof
        With a ratio.
    ax : matplotlib.axes.Axes, optional

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        For a proof without a ratio.
    """
    _check_ratio(proof)
    rows = [(_display.words(line["input"]), line["share"], line["ratio"]) for line in proof.budget if line["share"] >= 0.001]
    rows.append(("page and make", proof.expected_share, proof.expected_u))
    rows.sort(key=lambda row: -row[1])
    ax = _axes(ax, (6, 0.36 * len(rows) + 1.1))
    ax.barh(range(len(rows)), [100 * share for _, share, _ in rows], height=0.62, color=_SOFT, edgecolor=_INK)
    for k, (_, share, ratio) in enumerate(rows):
        part = "under 1" if share < 0.01 else f"{100 * share:.0f}"
        ax.annotate(f"{part} %, moves it {100 * abs(ratio):.1f} %", (100 * share, k), xytext=(4, 0),
                    textcoords="offset points", va="center", fontsize=9)  # fmt: skip
    ax.set_yticks(range(len(rows)), [name for name, *_ in rows])
    ax.invert_yaxis()
    ax.set_xlim(0, 150 * rows[0][1])
    ax.set_xlabel("share of the ratio's variance [%]")
    return ax


def fleet(survey: Survey, *, limit: float | None = None, by: str | None = None, ax: Any = None) -> Any:
    """The ratios of a fleet: how many stand where, in which outcome; or by the values of a column, eight tenths of each as a bar.

    Parameters
    ----------
    survey : Survey
        With a ratio.
    limit : float, optional
        Drawn beside them.
    by : str, optional
        One of ``survey.by``.
    ax : matplotlib.axes.Axes, optional

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        Where no visit has a ratio, or for a column that the survey is not told by.
    """
    whole = survey.groups[0]
    if whole["ratio"] is None:
        raise ValueError("survey: no visit has a ratio")
    if by is not None and by not in survey.by:
        raise ValueError(f"by: {by!r}; accepted: {', '.join(map(repr, survey.by)) or 'nothing: the survey is told by no column'}")
    if by is None:
        ax = _axes(ax, (7, 3.6))
        table = _tables.Frame.of(survey.table)
        ratios, outcomes = table.numbers("ratio"), table.words("outcome")
        told = ~np.isnan(ratios)
        edges = np.histogram_bin_edges(ratios[told], bins=min(40, max(5, int(told.sum() ** 0.5))))
        looks = {
            "falls_short": (_INK, None),
            "undecided": (_BAND, None),
            "meets": (_SOFT, None),
            "implausible": ("white", "////"),
        }
        heaps = {word: ratios[told & np.array([one == word for one in outcomes])] for word in looks}
        heaps = {word: heap for word, heap in heaps.items() if heap.size}
        _, _, bars = ax.hist(list(heaps.values()), bins=edges, stacked=True, edgecolor=_INK, linewidth=0.6)
        for word, bar in zip(heaps, [bars] if len(heaps) == 1 else bars):
            for patch in bar:
                patch.set(facecolor=looks[word][0], hatch=looks[word][1])
            bar.set_label(f"{_display.words(word)} ({heaps[word].size})")
        # Below the axis: bars may stand anywhere above it.
        ax.legend(frameon=False, fontsize=9, ncols=2, loc="upper center", bbox_to_anchor=(0.5, -0.16))
        ax.set_ylabel("visits")
    else:
        groups = [group for group in survey.groups[1:] if group["by"] == by and group["ratio"] is not None]
        ax = _axes(ax, (7, 0.4 * len(groups) + 1.3))
        for k, group in enumerate(groups):
            ax.plot([group["ratio_low"], group["ratio_high"]], [k, k], color=_BAND, linewidth=9, solid_capstyle="butt")
            ax.plot(group["ratio"], k, "o", color=_INK, markersize=6)
        ax.set_yticks(range(len(groups)), [f"{group['value']} ({group['visits']})" for group in groups])
        ax.set_ylim(len(groups) - 0.5, -0.7)
    _references(ax, limit)
    ax.set_xlabel("delivered over expected total" + ("" if by is None else "; bars hold eight tenths of the visits"))
    return ax


def capacity(
    system: System,
    *,
    units: Literal["IP", "SI"],
    x: tuple[str, float, float],
    y: tuple[str, float, float],
    what: str = "total_capacity",
    at: tuple[float, float] | None = None,
    ax: Any = None,
    **fixed: Any,
) -> Any:
    """What a system should deliver over two of its conditions: lines of equal capacity, where the coil is dry, where the page
    has no answer, and thin the lines it is printed at.

    Parameters
    ----------
    system : System
    units : {"IP", "SI"}
    x, y : tuple of (str, float, float)
        Arguments of `System.expect`, each with the least and the greatest value to draw.
    what : str
        A number told of each answer.
    at : tuple of (float, float), optional
        A point to mark, with the cell of the page it lies in.
    ax : matplotlib.axes.Axes, optional
    **fixed
        The other arguments of `System.expect`.

    Returns
    -------
    matplotlib.axes.Axes
    """
    (x_name, x_low, x_high), (y_name, y_low, y_high) = x, y
    across, up = np.meshgrid(np.linspace(x_low, x_high, 121), np.linspace(y_low, y_high, 121))
    answers = system.expect(units=units, **{x_name: across, y_name: up}, **fixed)
    if not answers.answered.any():
        raise ValueError(f"no answer anywhere from {x_low:g} to {x_high:g} and {y_low:g} to {y_high:g}: {answers.reason[0, 0]}")
    ax = _axes(ax, (6.5, 5))
    values = getattr(answers, what)
    ax.contourf(across, up, (~answers.answered).astype(float), levels=[0.5, 1.5], colors=[_BAND])
    dry = np.char.find(answers.footing.astype(str), "dry") >= 0
    if dry.any():
        ax.contourf(across, up, dry.astype(float), levels=[0.5, 1.5], colors=["none"], hatches=["...."])
    lines = ax.contour(across, up, values, levels=10, colors=_ACCENT, linewidths=1.2)
    for text in ax.clabel(lines, fmt=lambda value: f"{value:,.0f}", fontsize=8):
        text.set_bbox({"facecolor": "white", "edgecolor": "none", "pad": 0.5})
    printed = _printed_at(system, units, (x_name, y_name), fixed)
    for values, line in zip(printed, (ax.axvline, ax.axhline)):
        for value in values:
            line(value, color=_SOFT, linewidth=0.5, linestyle=":")
    if at is not None:
        ends = [_cell(values, place) for values, place in zip(printed, at)]
        if all(ends):
            (left, right), (low, high) = ends
            ax.fill([left, right, right, left], [low, low, high, high], fill=False, edgecolor=_INK, linewidth=1.4)
        ax.plot(*at, "o", color="white", markeredgecolor=_INK, markersize=8)
    asked = _units.units_of_question(units, system.speed_unit)
    for name, label in ((x_name, ax.set_xlabel), (y_name, ax.set_ylabel)):
        label(f"{_display.words(name)} [{_unit(asked[name])}]" if name in asked else _display.words(name))
    ax.set_title(f"{_display.words(what)} [{_unit(answers.fields[what])}]", loc="left", fontsize=11)
    ax.annotate(
        "dots: dry coil; grey: no answer; dotted: as printed",
        (1, 1),
        xycoords="axes fraction",
        ha="right",
        va="bottom",
        fontsize=8,
    )
    return ax


def air(proof: Proof, *, ax: Any = None) -> Any:
    """The air of a cooling proof on a psychrometric chart: return and supply as measured, the supply that was expected, and the
    line through return and supply on to saturation, which a coil works along.

    Parameters
    ----------
    proof : Proof
        Of cooling, with units.
    ax : matplotlib.axes.Axes, optional

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        For heating, whose air keeps its moisture.
    """
    delivered, expected = proof.delivered, proof.expected
    if delivered.mode == "heating":
        raise ValueError("proof: of heating, whose air keeps its moisture; accepted: a proof of cooling")
    units, (return_dry, return_ratio, supply_dry, supply_ratio, pressure) = delivered.units, delivered._air
    degree, per = ("°F", "lb/lb") if units == "IP" else ("°C", "kg/kg")
    ax = _axes(ax, (7, 5))
    span = return_dry - supply_dry
    low, high = supply_dry - 0.45 * span, return_dry + 0.35 * span
    dry_bulb = np.linspace(low, high, 200)

    def at(relative_humidity):
        return moist.state(units=units, dry_bulb=dry_bulb, relative_humidity=relative_humidity, pressure=pressure).humidity_ratio

    most, least = max(return_ratio, supply_ratio), min(return_ratio, supply_ratio)
    bottom, top = max(0.0, least - 0.8 * max(most - least, 0.1 * most)), 1.18 * most
    for share in (0.2, 0.4, 0.6, 0.8, 1.0):
        ratio, whole = at(share), share == 1.0
        ax.plot(dry_bulb, ratio, color=_INK if whole else _BAND, linewidth=1.6 if whole else 0.9, zorder=1)
        shown = np.flatnonzero((ratio >= bottom) & (ratio <= top))
        if not shown.size:
            continue
        end = shown[-1]  # where the line leaves the picture: at its right, or at its top
        right = end == len(dry_bulb) - 1
        ax.annotate(
            "saturation" if whole else f"{100 * share:.0f} %",
            (dry_bulb[end], ratio[end]),
            xytext=(-5, 0) if right else (0, 3),
            textcoords="offset points",
            fontsize=8,
            color=_SOFT,
            ha="right" if right else "center",
            va="bottom",
            annotation_clip=False,
        )
    slope = (return_ratio - supply_ratio) / span
    coil = return_ratio + slope * (dry_bulb - return_dry)
    wet = at(1.0)
    crossing = np.flatnonzero((coil[:-1] - wet[:-1]) * (coil[1:] - wet[1:]) <= 0.0)
    if crossing.size:
        end = dry_bulb[crossing[-1]]
        ax.plot([end, supply_dry], [return_ratio + slope * (end - return_dry), supply_ratio], color=_ACCENT, linewidth=1.2,
                linestyle=(0, (2, 2)))  # fmt: skip
    ax.plot([supply_dry, return_dry], [supply_ratio, return_ratio], color=_ACCENT, linewidth=2.2)
    points = [("return", return_dry, return_ratio, "o", _INK), ("supply, measured", supply_dry, supply_ratio, "s", _INK)]
    if expected is not None and expected.leaving_dry_bulb is not None:
        leaving = moist.state(
            units=units, dry_bulb=expected.leaving_dry_bulb, wet_bulb=expected.leaving_wet_bulb, pressure=pressure
        )
        points.append(("supply, expected", expected.leaving_dry_bulb, leaving.humidity_ratio, "D", "white"))
    for name, x, y, marker, face in points:
        ax.plot(x, y, marker, color=face, markeredgecolor=_INK, markersize=8, label=name, linestyle="none", zorder=3)
    ax.set_xlim(low, high)
    ax.set_ylim(bottom, top)
    ax.yaxis.tick_right()
    ax.yaxis.set_label_position("right")
    ax.spines["left"].set_visible(False)
    ax.spines["right"].set_visible(True)
    ax.set_xlabel(f"dry bulb [{degree}]")
    ax.set_ylabel(f"humidity ratio [{per}]")
    ax.legend(frameon=False, fontsize=9, loc="upper left")
    return ax


def audit(
    system: System,
    *,
    units: Literal["IP", "SI"],
    stage: str,
    match: str = "",
    column: str = "total",
    mode: Literal["cooling", "heating"] = "cooling",
    frost: str | None = None,
    ax: Any = None,
) -> Any:
    """A printed page as it lies, with what its audit suspects: the darker a cell, the further it is off what the rest implies.

    Parameters
    ----------
    system : System
    units : {"IP", "SI"}
    stage, match : str
    column : str
        ``"total"``, ``"sensible"``, ``"power"``, ...
    mode : {"cooling", "heating"}
    frost : str, optional
        Of a heating page.
    ax : matplotlib.axes.Axes, optional

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        Where the system has no such page, or the page no such column.
    """
    key = (mode, stage, match, frost or "")
    page = next((p for p in system.pages(units=units) if (p.mode, p.stage, p.match, p.frost or "") == key), None)
    if page is None:
        raise ValueError(f"stage: {stage!r}, match {match!r}: no page of its own in {mode}")
    if column not in page.columns:
        raise ValueError(f"column: {column!r}; accepted: {', '.join(page.columns)}")
    found = next(a for a in system.audit(units=units) if (a.mode, a.stage, a.match, a.frost) == key)
    size = page.shape[-1]
    score, meant = np.zeros(page.marks.size), {}
    for suspect in found.suspects:
        nodes = list(suspect.block) if suspect.node is None else [suspect.node]
        if suspect.column in (column, "row") or suspect.block:
            score[nodes] = np.maximum(score[nodes], suspect.score)
            meant.update(dict.fromkeys(nodes, "label" if suspect.block else suspect.guess))
    shade = np.log1p(score) / max(np.log1p(score).max(), 1.0)
    ax = _axes(ax, (2.5 + 0.9 * size, 1.3 + 0.24 * page.marks.size / size))
    ax.imshow(0.75 * shade.reshape(-1, size), cmap="Greys", vmin=0.0, vmax=1.0, aspect="auto")
    values = page.columns[column].reshape(-1)
    typed = page.typed[column].reshape(-1) if column in page.typed else np.zeros(values.shape, str)
    as_typed = np.all(np.isnan(values) | (typed != ""))
    for node, value in enumerate(values):
        row, at = divmod(node, size)
        text = typed[node] if as_typed else f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"
        if np.isnan(value):
            ax.fill_between(
                (at - 0.5, at + 0.5), row - 0.5, row + 0.5, facecolor="none", edgecolor=_SOFT, hatch="////", linewidth=0.0
            )
            continue
        if node in meant:
            text += f" ({meant[node]}?)"
        ax.text(at, row, text, ha="center", va="center", fontsize=8, color="white" if shade[node] > 0.6 else _INK)
    names = list(page.axes)
    labels = [_breakpoint(page, names[-1], k) for k in range(size)]
    ax.set_xticks(range(size), labels)
    ax.set_xlabel(_axis_words(page, names[-1]))
    places = np.indices(page.shape[:-1]).reshape(len(names) - 1, -1).T
    ax.set_yticks(
        range(len(places)), [", ".join(_breakpoint(page, name, k) for name, k in zip(names, place)) for place in places]
    )
    ax.set_ylabel(", ".join(_axis_words(page, name) for name in names[:-1]))
    ax.set_xticks(np.arange(-0.5, size), minor=True)
    ax.set_yticks(np.arange(-0.5, len(places)), minor=True)
    ax.grid(which="minor", color=_BAND, linewidth=0.8)
    ax.tick_params(which="both", length=0)
    for spine in ax.spines.values():
        spine.set_visible(False)
    unit = page.typed_units[column] if as_typed else page.units[column]
    ax.set_title(f"{page.label}: {_display.words(column)} [{_unit(unit)}]", loc="left", fontsize=11)
    return ax


def _printed_at(system, units, names, fixed):
    """The values that the page is printed at, along each of two arguments; none along what its axes are not, such as an airflow that
    is not the standard one."""
    key = (fixed.get("mode", "cooling"), fixed.get("stage"))
    pages = [p for p in system.pages(units=units) if (p.mode, p.stage) == key and p.match in ("", fixed.get("match", ""))]
    axes = max(pages, key=lambda page: page.match).axes if pages else {}
    return [axes.get(name, np.empty(0)) for name in names]


def _cell(values, place):
    """The two printed values that a place lies between; none outside."""
    k = int(np.searchsorted(values, place))
    if k == 0 and values.size > 1 and place == values[0]:
        k = 1
    return (values[k - 1], values[k]) if 0 < k < values.size else None


def _breakpoint(page, axis, k):
    value = page.axes[axis][k]
    return "/".join(f"{x:g}" for x in np.atleast_1d(value))


def _axis_words(page, axis):
    return f"{_display.words(axis)} [{_unit(page.units[axis])}]"
