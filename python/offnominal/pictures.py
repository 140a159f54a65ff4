"""Pictures of what is told, drawn with matplotlib: they read in print, in grey and without colour sight.

Each function draws into the axes it is given, or into new ones, and gives the axes back:

    from offnominal import pictures
    pictures.ledger(expected).figure.savefig("ledger.pdf")

matplotlib is an extra, imported only when a picture is drawn.
"""

import numpy as np

from offnominal import _tables, _units

__all__ = ["budget", "capacity", "ledger", "verdict"]

_INK, _SOFT, _BAND, _ACCENT = "#1a1a1a", "#6a6a6a", "#d9d9d9", "#1f5a92"


def _axes(ax, size, what):
    """The axes to draw into, in the one style of all pictures."""
    pyplot = _tables.library("matplotlib.pyplot", what)
    if ax is None:
        _, ax = pyplot.subplots(figsize=size, layout="constrained")
    for side in ("top", "right"):
        ax.spines[side].set_visible(False)
    ax.tick_params(colors=_INK, labelsize=9)
    return ax


def _check_ratio(proof):
    if proof.ratio is None:
        raise ValueError(f"proof: there is no ratio ({proof.reason})")


def _unit(name):
    return name.replace("delta_", "").replace("degF", "°F").replace("degC", "°C")


def _words(name):
    return name.replace("_", " ")


def ledger(expected, *, of="total", ax=None):
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
    steps = [step for step in expected.ledger if step["of"] == of]
    if not steps:
        raise ValueError(f"of: {of!r}: the ledger tells nothing of it")
    ax = _axes(ax, (7, 0.42 * len(steps) + 1.5), "a picture")
    unit = _unit(expected.fields["power" if of == "power" else "total_capacity"])
    rows = [(_words(step["step"]), step["before"], step["after"]) for step in steps]
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
    ax.set_xlabel(f"{of} [{unit}] (the axis does not start at 0)")
    return ax


def verdict(proof, *, ax=None):
    """Delivered over expected with its 95 % interval, beside the limit, of everything that was compared.

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
    ax = _axes(ax, (7, 0.45 * len(rows) + 1.4), "a picture")
    for k, (_, ratio, low, high) in enumerate(rows):
        ax.plot([low, high], [k, k], color=_ACCENT if k == 0 else _SOFT, linewidth=7 if k == 0 else 4, solid_capstyle="butt")
        ax.plot(ratio, k, "o" if k == 0 else "s", color=_INK, markersize=7 if k == 0 else 5)
        ax.annotate(f"{ratio:.3f}", (ratio, k), xytext=(0, 9), textcoords="offset points", ha="center", fontsize=9)
    limit = proof.sensible_limit if proof.judge == "sensible" else proof.limit
    ax.axvline(limit, color=_INK, linestyle=(0, (5, 3)), linewidth=1.3)
    ax.annotate(f"limit {limit:g}", (limit, 1), xycoords=("data", "axes fraction"), ha="center", va="bottom", fontsize=9)
    ax.axvline(1.0, color=_SOFT, linewidth=0.8)
    ax.set_yticks(range(len(rows)), [name for name, *_ in rows])
    ax.set_ylim(len(rows) - 0.5, -0.8)
    ax.set_xlabel("delivered or measured, over expected; bars hold 95 %")
    ax.set_title(_words(proof.outcome), loc="left", fontsize=12, pad=18)
    return ax


def budget(proof, *, ax=None):
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
    rows = [(_words(line["input"]), line["share"], line["ratio"]) for line in proof.budget if line["share"] >= 0.001]
    rows.append(("page and make", proof.expected_share, proof.expected_u))
    rows.sort(key=lambda row: -row[1])
    ax = _axes(ax, (6, 0.36 * len(rows) + 1.1), "a picture")
    ax.barh(range(len(rows)), [100 * share for _, share, _ in rows], height=0.62, color=_SOFT, edgecolor=_INK)
    for k, (_, share, ratio) in enumerate(rows):
        ax.annotate(f"{100 * share:.0f} %, moves it {100 * abs(ratio):.1f} %", (100 * share, k), xytext=(4, 0),
                    textcoords="offset points", va="center", fontsize=9)  # fmt: skip
    ax.set_yticks(range(len(rows)), [name for name, *_ in rows])
    ax.invert_yaxis()
    ax.set_xlim(0, 150 * rows[0][1])
    ax.set_xlabel("share of the ratio's variance [%]")
    return ax


def capacity(system, *, units, x, y, what="total_capacity", at=None, ax=None, **fixed):
    """What a system should deliver over two of its conditions: lines of equal capacity, where the coil is dry, and where the page
    has no answer.

    Parameters
    ----------
    system : System
    units : {"IP", "SI"}
    x, y : tuple of (str, float, float)
        Arguments of `System.expect`, each with the least and the greatest value to draw.
    what : str
        A number told of each answer.
    at : tuple of (float, float), optional
        A point to mark.
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
    ax = _axes(ax, (6.5, 5), "a picture")
    values = getattr(answers, what)
    ax.contourf(across, up, (~answers.answered).astype(float), levels=[0.5, 1.5], colors=[_BAND])
    dry = np.char.find(answers.footing.astype(str), "dry") >= 0
    if dry.any():
        ax.contourf(across, up, dry.astype(float), levels=[0.5, 1.5], colors=["none"], hatches=["...."])
    lines = ax.contour(across, up, values, levels=10, colors=_ACCENT, linewidths=1.2)
    ax.clabel(lines, fmt=lambda value: f"{value:,.0f}", fontsize=8)
    if at is not None:
        ax.plot(*at, "o", color="white", markeredgecolor=_INK, markersize=8)
    asked = _units.units_of_question(units, system.speed_unit)
    for name, label in ((x_name, ax.set_xlabel), (y_name, ax.set_ylabel)):
        label(f"{_words(name)} [{_unit(asked[name])}]" if name in asked else _words(name))
    ax.set_title(f"{_words(what)} [{_unit(answers.fields[what])}]", loc="left", fontsize=11)
    ax.annotate("dots: dry coil; grey: no answer", (1, 1), xycoords="axes fraction", ha="right", va="bottom", fontsize=8)
    return ax
