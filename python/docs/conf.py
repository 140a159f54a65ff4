"""How Sphinx makes the documentation site, from the docstrings of the installed package and the examples beside it.

python -m sphinx -W python/docs OUT
"""

import argparse
import inspect
import os
import textwrap
from pathlib import Path

import offnominal as on
from offnominal import __main__ as command

project = "offnominal"
version = release = on.__version__
extensions = ["sphinx.ext.autodoc", "sphinx.ext.napoleon"]
default_role = "py:obj"
highlight_language = "text"
toc_object_entries = False
autodoc_typehints = "none"
autodoc_member_order = "bysource"
napoleon_use_ivar = True
suppress_warnings = ["ref.python"]  # that a name such as power stands in several classes
html_theme = "alabaster"
html_theme_options = {
    "description": on.__doc__.splitlines()[0],
    "font_family": "system-ui, sans-serif",
    "head_font_family": "system-ui, sans-serif",
    "page_width": "80rem",
    "code_font_size": "0.8em",
    "show_powered_by": "false",
    "link": "#1f5a92",
}
html_show_copyright = False
html_sidebars = {"**": ["about.html", "navigation.html", "searchbox.html"]}
os.environ["COLUMNS"] = "100"  # how wide --help is set
EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
TITLES = {
    "target_for_a_test_day": "A target for a test day",
    "prove_a_visit": "A visit, proved",
    "survey_a_fleet": "A fleet, surveyed",
    "wait_until_steady": "A log, read until it is steady",
    "what_a_long_line_costs": "What 120 ft of line cost",
    "the_same_unit_at_5000_ft": "The same unit at 5,000 ft",
    "find_the_typo": "Find the typo",
    "choose_for_a_design_day": "A choice for the design day",
    "sweep_and_map": "A sweep and a map",
}


def indented(text):
    return textwrap.indent(text.rstrip() + "\n", "   ")


def underlined(title, line):
    return f"{title}\n{line * len(title)}\n\n"


def examples():
    """The page of the examples: each story, what it prints, and its lines."""
    out = underlined("Examples", "=") + "Each runs as it stands, from the files of the demo that come with the package.\n\n"
    for name, title in TITLES.items():
        text = (EXAMPLES / f"{name}.py").read_text(encoding="utf-8")
        _, story, lines = text.split('"""', 2)
        story, _, printed = story.partition("It prints:\n\n")
        out += underlined(title, "-") + f"{story}.. code-block:: python\n\n{indented(lines.strip())}\n"
        out += f"It prints::\n\n{printed}\n"
    return out


def commands():
    """The page of the command: what ``--help`` says, once the exit statuses, then each command."""
    parser = command._parser()
    (choices,) = (action.choices for action in parser._actions if isinstance(action, argparse._SubParsersAction))
    statuses = indented(parser.epilog)
    out = underlined("The command", "=") + f"Whatever ends, it says by its status what came of it::\n\n{statuses}\n"
    for name, one in choices.items():
        one.epilog = None
        out += underlined(f"offnominal {name}", "-") + f"::\n\n{indented(one.format_help())}\n"
    return out


def names():
    """The page of Python: everything that the package shows, module by module."""
    out = underlined("Python", "=") + ".. currentmodule:: offnominal\n\n"
    for name in on.__all__:
        what = getattr(on, name)
        if inspect.isclass(what):
            kind = "autoexception" if issubclass(what, Exception) else "autoclass"
            members = "" if issubclass(what, tuple) else "   :members:\n   :inherited-members: Exception\n"
            out += f".. {kind}:: {name}\n{members}\n"
        elif inspect.isfunction(what):
            out += f".. autofunction:: {name}\n\n"
    for name in ("air", "airflow", "second_capacity", "standard205", "pictures"):
        out += underlined(f"offnominal.{name}", "-") + f".. automodule:: offnominal.{name}\n   :members:\n\n"
    return out


PAGES = {"examples": examples, "command": commands, "python": names}


def made(app, docname, source):
    """Pages that are made here stand in the folder as a line that says so."""
    if docname in PAGES:
        source[0] = PAGES[docname]()


def setup(app):
    app.connect("source-read", made)
    return {"parallel_read_safe": True}
