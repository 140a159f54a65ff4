"""A pasted page becomes a system file that says what the page says, and nothing else."""

import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import offnominal as on
from offnominal.__main__ import main

DEMO = Path(__file__).resolve().parents[2] / "tables/demo"

# An invented page, as somebody copies it from print.
PAGE = """\
odb   airflow  ewb   total  sensible  power  bypass
degF  scfm     degF  MBh    MBh       kW     1
85    1000     63    33.3   29.90     2.19   0.10
85    1000     67    35.8   25.7      2.23   0.10   # smudged
85    1200     63    34.3   33.0      2.19   0.12
85    1200     67    36.9   28.1      2.23   0.12
95    1000     63    31.50  29.1      2.48   0.10
95    1000     67    33.9   24.9      2.52   0.10
# the last two are on the next page
95    1200     63    32.5   32.5d     2.48   0.12
95    1200     67    -      -         -      -
"""
SAID = {"name": "Unit A, invented", "basis": {"capacity": "gross", "sensible_at": "80 degF"}}


def as_cells(page, separator):
    lines = []
    for line in page.splitlines():
        body, mark, comment = line.partition("#")
        lines.append(separator.join(body.split()) + (" " if body.split() else "") + mark + comment)
    return "\n".join(lines) + "\n"


def texts(system):
    (page,) = system.pages(units="IP")
    return {role: values.reshape(-1).tolist() for role, values in page.typed.items()}


def test_a_page_of_the_demo_comes_out_as_it_is_held():
    made = on.transcribe({"low": DEMO / "alder-low.csv"}, **SAID)
    demo = next(page for page in on.load(DEMO / "alder.yaml").pages(units="SI") if (page.mode, page.stage) == ("cooling", "low"))
    (page,) = made.system.pages(units="SI")
    assert {role: texts.tolist() for role, texts in page.typed.items()} == {role: t.tolist() for role, t in demo.typed.items()}
    for role, values in demo.columns.items():
        assert np.array_equal(page.columns[role], values)
    assert np.array_equal(page.marks, demo.marks)


@pytest.mark.parametrize("separator", ["\t", ",", ";", "   ", "|csv|"])
def test_the_same_page_in_any_paste(separator):
    page = as_cells(PAGE, separator) if separator != "|csv|" else re.sub(r"([^,\n#]+),", r'"\1", ', as_cells(PAGE, ","))
    made = on.transcribe(page, **SAID)
    assert made.text == on.transcribe(PAGE, **SAID).text
    assert texts(made.system) == texts(on.transcribe(PAGE, **SAID).system)
    assert "        85    1000     63    33.3   29.90     2.19   0.10\n" in made.text
    assert "        85    1000     67    35.8   25.7      2.23   0.10    # smudged\n" in made.text
    assert "        # the last two are on the next page\n        95    1200     63    32.5   32.5d" in made.text


def test_what_is_not_said_is_unknown_and_told():
    made = on.transcribe(
        PAGE,
        name="A",
        basis={"sensible_at": "80 degF"},
        source={"document": "D: 4, #2", "page": "7", "transcriber": "null", "revision": ""},
    )
    assert "    capacity: unknown\n    airflow: unknown\n    standard_pound: unknown\n    power: unknown\n" in made.text
    assert "    # not stated: elevation, tolerance\n" in made.text
    (page,) = made.system.pages(units="IP")
    assert (page.basis["capacity"], page.basis["elevation"], page.basis["tolerance"]) == ("unknown", None, None)
    assert made.system.source == {"document": "D: 4, #2", "revision": "", "page": "7", "transcriber": "null", "checker": ""}
    report = made.report()
    assert "full: 8 nodes, 1 blank, 1 dry\n" in report
    for note in ("gross or net unknown", "power basis of the page unknown", "elevation of the page unknown", "tolerance unknown"):
        assert f"  - {note}" in report or note in report
    assert page.notes == made.system.pages(units="SI")[0].notes
    everything = {
        "capacity": "gross",
        "airflow": "standard",
        "standard_pound": "dry",
        "power": "system",
        "sensible_at": "80 degF",
        "elevation": "0 ft",
        "tolerance": "5 %",
    }
    assert "what follows" not in on.transcribe(PAGE, name="A", basis=everything).report()


PRINTED = """\
Outdoor Ambient   CFM    EWB    Total (MBh)   SC@75   SC @ 80    KW
85                1000   63     33.3          24.5    29.9       2.19
                         67     35.8          20.7    25.7       2.23
                         77     39.0          -       19.0       2.29
95                1000   63     31.5          23.7    29.1       2.48
                         67     33.9          19.5    24.9       2.52
                         77     37.1          -       18.1       2.58
"""


def test_a_page_as_printed_with_headings_in_the_trade_s_words():
    made = on.transcribe(PRINTED, name="A", units={"odb": "degF", "ewb": "degF", "sensible": "MBh"}, fill_down=["odb", "airflow"])
    (data,) = made.system.pages(units="IP")
    assert data.shape == (2, 1, 3, 2)
    assert data.axes["entering_dry_bulb"] == pytest.approx([75, 80])
    assert data.columns["sensible"][1, 0, 0] == pytest.approx([23700, 29100])
    assert data.marks[:, 0, 2].tolist() == [["blank", "printed"]] * 2
    assert data.typed["odb"].reshape(2, -1)[1].tolist() == ["95"] * 6
    assert data.typed_units["airflow"] == "cfm" and data.basis["airflow"] == "unknown"
    assert "odb filled down in 4 rows" in made.report() and "# odb is printed once for a block of rows\n" in made.text
    # The same by tabs, where the blank cells are cells.
    tabs = re.sub(r"(?m)^ {12,}", "\t\t", re.sub(r"(?<=\S) {2,}", "\t", PRINTED))
    again = on.transcribe(tabs, name="A", units={"odb": "degF", "ewb": "degF", "sensible": "MBh"}, fill_down=["odb", "airflow"])
    assert again.text == made.text


def test_a_ratio_named_by_its_heading_is_one_of_total():
    page = "OAT\tEWB\tTC MBh\tS/T\n85\t63\t33.3\t0.90\n85\t67\t35.8\t0.72\n"
    made = on.transcribe(
        page,
        name="A",
        basis={"sensible_at": "80 degF"},
        units={"odb": "degF", "ewb": "degF"},
        values={"airflow": "1000 scfm", "bypass": "0.10"},
    )
    assert "sensible_ratio_of: total\n" in made.text and "      airflow: 1000 scfm\n" in made.text
    (data,) = made.system.pages(units="IP")
    assert data.columns["sensible"].reshape(-1) == pytest.approx([33300 * 0.90, 35800 * 0.72])


def test_pairs_and_heating_pages():
    pairs = "edb ewb total\ndegF degF MBh\n75 63 31.2\n80 67 33.9\n85 71 36.2\n"
    made = on.transcribe(pairs, name="A", indoor="points", values={"odb": "95 degF", "airflow": "1200 scfm"})
    (data,) = made.system.pages(units="IP")
    assert data.axes["indoor_pair"] == pytest.approx(np.array([[75, 63], [80, 67], [85, 71]]))
    heating = "odb capacity power\ndegF MBh kW\n17 20.6 2.20\n47 34.2 2.61\n"
    made = on.transcribe(
        {"high": heating}, name="A", frost="integrated", basis={"printed_at": "70 degF"}, values={"airflow": "1200 scfm"}
    )
    (data,) = made.system.pages(units="IP")
    assert (data.mode, data.frost, data.columns["capacity"].reshape(-1).tolist()) == (
        "heating",
        "integrated",
        pytest.approx([20600, 34200]),
    )
    assert "frost and defrost" not in made.text and "    stages:\n      high:\n" in made.text


@pytest.mark.parametrize(
    ("change", "more", "place", "words"),
    [
        (("1200     67    -      -         -      -", "1200     67    34.9   27.3      2.52"), {}, (11, 1), "6 values under 7 columns"),
        (("33.3", "33,3"), {}, (3, 22), "column 'total': a comma in a number: '33,3'; accepted: a point before the decimals"),
        (("33.3", "33300"), {}, (3, 1), "total capacity does not fit the airflow"),
        (("85    1000     63", "58    1000     63"), {}, (3, 1), "odb has this value in one row only: '58'"),
        (("29.90", "39.90"), {}, (3, 1), "sensible capacity above total capacity"),
        (("2.48", "2.4B"), {}, (7, 39), "column 'power': not a number: '2.4B'"),
        (("MBh    MBh", "MBQ    MBh"), {}, (2, 22), "column 'total': not a unit of a power"),
        (("degF  scfm     degF", "degF  degF     degF"), {}, (2, 7), "column 'airflow': a unit of a temperature where an airflow is due"),
        (("odb ", "temp"), {}, (1, 1), "a heading that may mean more than one thing (odb or edb): 'temp'; accepted: odb, airflow"),
        (("power", "Comp KW"), {}, (1, 39), "(power, of the compressor: --power compressor): 'Comp KW'; accepted: odb"),
        (("total ", "total@"), {}, (1, 22), "total@"),
        (("power", "total"), {}, (1, 39), "a column given twice: 'total'"),
        (("ewb ", "edb "), {}, (1, 1), "no column 'ewb'"),
        (("airflow", "cfmish "), {"columns": {"cfmish": "ignore"}}, (1, 1), "or one value for all of the page: --value 'airflow=1200 scfm'"),
        (("degF  scfm     degF  MBh    MBh       kW     1\n", ""), {}, (1, 1), "no unit for column 'odb': 'odb'; accepted: a line of units "
                                                                              "under the names, or --unit odb=UNIT"),
        (("", ""), {"units": {"total": "kW"}}, (1, 22), "column 'total' has two units: MBh by the line of units, kW by --unit total"),
        (("", ""), {"values": {"airflow": "1000 scfm"}}, None, "airflow: beside a column of that name"),
        (("", ""), {"values": {"tonnage": "3"}}, None, "unknown key: 'tonnage'"),
        (("", ""), {"basis": {"capacity": "gros"}}, None, "cooling: basis: capacity: not one of the accepted words: 'gros'"),
        (("", ""), {"basis": {"sensibel_at": "80 degF"}}, None, "cooling: basis: unknown key: 'sensibel_at'; accepted: capacity, fan"),
        (("", ""), {"basis": {}}, None, "the sensible column needs the entering dry bulb it is printed for; accepted: sensible_at: 80 degF"),
        (("", ""), {"units": {"totals": "kW"}}, None, "--unit totals: not a role; accepted: odb, airflow"),
        (("", ""), {"fill_down": ["rh"]}, None, "--fill-down rh: there is no such column"),
    ],
    ids=lambda value: value if isinstance(value, str) else None,
)  # fmt: skip
def test_what_is_wrong_is_shown_where_it_was_pasted(change, more, place, words):
    assert change[0] in PAGE
    with pytest.raises(on.InputError) as caught:
        on.transcribe(PAGE.replace(*change, 1), **{**SAID, **more})
    assert words in str(caught.value)
    if place is not None:
        assert (caught.value.file, caught.value.line, caught.value.column) == ("<pasted>", *place)


def test_cells_of_a_spreadsheet_are_taken_one_by_one():
    csv = as_cells(PAGE, ",")
    for change, words in (
        (("33.3", "33,3"), ":3:1: 8 values under 7 columns: '85,1000,63,33,3,29.90,2.19,0.10'; accepted: one value for each column, "
                           "with a point before decimals and nothing between thousands"),
        (("33.3", '"33,30"'), ":3:13: column 'total': a comma in a number: '33,30'"),
        (("33.3", '"33"3'), ":3:16: text behind a closing quote: '\"33\"3'; accepted: quotes around the whole of a value, or none"),
        (("33.3", ""), ":3:12: column 'total': an empty cell; accepted: a number, - for a printed blank, or --fill-down total"),
        (("33.3", "33 .3"), ":3:12: column 'total': a blank inside a cell: '33 .3'"),
    ):  # fmt: skip
        with pytest.raises(on.InputError, match=re.escape(words)):
            on.transcribe(csv.replace(*change, 1), **SAID)


def test_a_value_left_out_is_no_label_left_out():
    """Only a row that starts under the next column lacks its label."""
    page = PRINTED.replace("85                1000   63     33.3 ", "85                1000   63          ")
    said = {"name": "A", "units": {"odb": "degF", "ewb": "degF", "sensible": "MBh"}, "fill_down": ["odb", "airflow"]}
    with pytest.raises(on.InputError, match="<pasted>:2:1: 6 values under 7 columns"):
        on.transcribe(page, **said)
    late = PRINTED.replace("95                1000   63     31.5 ", "95                1000   63          ")
    with pytest.raises(on.InputError, match="<pasted>:5:1: 6 values under 7 columns"):
        on.transcribe(late, **said)


# Pages as print has them. Every form says the same four nodes at each of two outdoor temperatures.

LONG = """\
odb   airflow  ewb   total  sensible  power
degF  cfm      degF  MBh    MBh       kW
75    1000     63    34.9   30.9      1.95
75    1000     67    37.4   26.7      1.99
75    1200     63    35.9   33.9      1.95
75    1200     67    38.6   29.1      1.99
85    1000     63    33.3   29.9      2.19
85    1000     67    35.8   25.7      2.23
85    1200     63    34.3   33.0      2.19
85    1200     67    36.9   28.1      2.23
"""
ROWS = """\
63    1000    34.9    30.9    1.95    33.3    29.9    2.19
67    1000    37.4    26.7    1.99    35.8    25.7    2.23
63    1200    35.9    33.9    1.95    34.3    33.0    2.19
67    1200    38.6    29.1    1.99    36.9    28.1    2.23
"""
PRINT = {
    "outdoor temperatures in the headings": ("""\
              75 TC   75 SC   75 kW   85 TC   85 SC   85 kW
EWB   CFM     MBH     MBH             MBH     MBH
""" + ROWS, {"units": {"odb": "degF"}}),
    "the same, set apart by one blank": (
        "EWB (°F) CFM 75 TC (MBH) 75 SC (MBH) 75 kW 85 TC (MBH) 85 SC (MBH) 85 kW\n" + re.sub(" +", " ", ROWS), {}),
    "headings over several columns": ("""\
INVENTED UNIT A, COOLING
              Outdoor Ambient (°F)
              75                      85
EWB   Air     Total   Sens.   Input   Total   Sens.   Input
°F    Flow    MBH     MBH     kW      MBH     MBH     kW
      cfm
""" + ROWS, {}),
    "in the middle over their columns": ("""\
                      75 °F Outdoor           85 °F Outdoor
EWB   CFM     Total   Sens.   kW      Total   Sens.   kW
°F    CFM     MBH     MBH     kW      MBH     MBH     kW
""" + ROWS, {}),
    "one blank between all words, values across in a line of their own": (
        re.sub(" +", " ", "Outdoor °F\n75 85\nEWB CFM Total Sens. kW Total Sens. kW\n°F CFM MBH MBH kW MBH MBH kW\n" + ROWS), {}),
    "words of two lines": ("""\
Ent.  Indoor  75 °F   75 °F   75 °F   85 °F   85 °F   85 °F
WB    Airflow Total   Sens.   Power   Total   Sens.   Power
°F    CFM     MBH     MBH     kW      MBH     MBH     kW
""" + ROWS, {"across": "odb"}),
    "a block for each": ("""\
Outdoor temperature 75 °F
EWB   CFM     TC      SC      kW
°F    CFM     MBH     MBH     kW
63    1000    34.9    30.9    1.95
67    1000    37.4    26.7    1.99
63    1200    35.9    33.9    1.95
67    1200    38.6    29.1    1.99
- 2 -
85 °F OUTDOOR
EWB   CFM     TC      SC      kW
°F    CFM     MBH     MBH     kW
63    1000    33.3    29.9    2.19
67    1000    35.8    25.7    2.23
Page 3 of 7
EWB   CFM     TC      SC      kW
°F    CFM     MBH     MBH     kW
63    1200    34.3    33.0    2.19
67    1200    36.9    28.1    2.23
""", {}),
    "airflows in blocks, outdoor temperatures across": ("""\
Airflow: 1,000 CFM
EWB   75 TC   75 SC   75 kW   85 TC   85 SC   85 kW
63    34.9    30.9    1.95    33.3    29.9    2.19
67    37.4    26.7    1.99    35.8    25.7    2.23
Airflow: 1,200 CFM
63    35.9    33.9    1.95    34.3    33.0    2.19
67    38.6    29.1    1.99    36.9    28.1    2.23
""", {"units": {"odb": "F", "ewb": "F", "total": "MBH", "sensible": "MBH"}}),
    "wet bulbs across, power once": ("""\
ODB  CFM   total@63  total@67  sensible@63  sensible@67  power@63  power@67
°F   cfm   MBh       MBh       MBh          MBh          kW        kW
75   1000  34.9      37.4      30.9         26.7         1.95      1.99
85   1000  33.3      35.8      29.9         25.7         2.19      2.23
75   1200  35.9      38.6      33.9         29.1         1.95      1.99
85   1200  34.3      36.9      33.0         28.1         2.19      2.23
""", {"units": {"ewb": "degF"}}),
    "airflow across, in a spreadsheet's own text": (
        "ODB,EWB,1000 CFM,,,1200 CFM,,\n°F,°F,,,,,,\n,,TC (MBh),SC (MBh),kW,TC (MBh),SC (MBh),kW\n"
        "75,63,34.9,30.9,1.95,35.9,33.9,1.95\n75,67,37.4,26.7,1.99,38.6,29.1,1.99\n"
        "85,63,33.3,29.9,2.19,34.3,33.0,2.19\n85,67,35.8,25.7,2.23,36.9,28.1,2.23\n", {}),
    "decimal commas": (LONG.replace(".", ","), {}),
    "decimal commas beside semicolons": (as_cells(LONG.replace(".", ","), ";"), {}),
    "no-break blanks and soft hyphens": (LONG.replace("   ", "\u00a0\u00a0 ").replace("sensible", "sen\u00adsible"), {}),
    "footnote marks": (LONG.replace("30.9 ", "30.9*").replace("25.7 ", "25.7\u00b9").replace("1.99", "1.99 \u2020"), {}),
    "units behind the labels": (re.sub(r"(?m)^([78]5)  ", r"\1°F", LONG.replace("degF  cfm ", "°F    cfm ")), {}),
}  # fmt: skip


@pytest.mark.parametrize("form", PRINT)
def test_pages_as_print_has_them(form):
    page, more = PRINT[form]
    made = on.transcribe(page, **SAID, **more)
    first = on.transcribe(LONG, **SAID)
    assert on.collate(first.system, made.system).same, on.collate(first.system, made.system).report()


def test_whole_numbers_with_commas_between_thousands():
    by_hundreds = (
        re.sub(r"(?<= )(\d\d)\.(\d)(?=  )", r"\1,\g<2>00", LONG)
        .replace("MBh", "Btuh")
        .replace("1000", "1,000")
        .replace("1200", "1,200")
    )
    in_watts = re.sub(r"(\d)\.(\d\d)$", r"\1,\g<2>0", by_hundreds.replace("kW", "Watts"), flags=re.M)
    for page in (by_hundreds, in_watts):
        (data,) = on.transcribe(page, **SAID).system.pages(units="IP")
        assert data.typed["total"][0, 0].ravel().tolist() == ["34900", "37400"]
        assert data.columns["total"][0, 0].ravel() == pytest.approx([34900, 37400])
        assert data.axes["standard_airflow"] == pytest.approx([1000, 1200])
        assert data.steps["total"] == data.steps["sensible"] == pytest.approx(100)  # whole hundreds are print of a hundred
        assert data.steps["power"] == pytest.approx(10)


def test_where_two_readings_are_possible_it_asks():
    for page, more, words in (
        (PRINT["the same, set apart by one blank"][0].replace("EWB (°F)", "EDB (°F)"), {}, "values across that may be of more than one axis: '75 TC (MBH)'; accepted: odb or ewb; say which: --across odb"),
        ("ODB,EWB,TC (kW)\n°C,°C,kW\n30,17,\"10,250\"\n30,19,\"10,900\"\n", {"values": {"airflow": "500 L/s"}},
         "column 'total': a comma that may stand before decimals or between thousands: '10,250'; accepted: --decimal . or --decimal ,"),
        (LONG.replace("power", "Total kW"), {}, "a heading that may mean more than one thing (total capacity, or total power): 'Total kW'"),
        (LONG.replace("odb ", "temp"), {}, "a heading that may mean more than one thing (odb or edb): 'temp'"),
        ("EDB/EWB TC\n°F MBh\n75/63 31.2\n80/67 33.9\n", {"values": {"odb": "95 degF", "airflow": "1200 scfm"}, "units": {"ewb": "F"}, "basis": {}},
         "pairs of dry and wet bulb: 'EDB/EWB'; accepted: --indoor path, if one may read between two neighbouring pairs, or --indoor points"),
        (as_cells(LONG, ",").replace("34.9", "*"), {}, "not a number: '*'"),
        (LONG.replace("cfm ", "psi "), {}, "psi"),
    ):  # fmt: skip
        with pytest.raises(on.InputError) as caught:
            on.transcribe(page, **{**SAID, **more})
        assert words in str(caught.value)
    assert on.transcribe(
        'ODB,EWB,TC (kW)\n°C,°C,kW\n30,17,"10,25"\n30,19,"10,90"\n', **SAID, values={"airflow": "500 L/s"}
    ).notes == ["commas read as before decimals"]


def test_all_that_is_wrong_is_told_in_one_run():
    page = LONG.replace("1.95", "1.9S", 1).replace("33.9", "39.9").replace("35.8 ", "358  ").replace("2.19\n", "2,19\n", 1)
    with pytest.raises(on.InputError) as caught:
        on.transcribe(page, **SAID)
    told = [(error.line, error.column, error.problem) for error in caught.value.problems]
    assert told == [
        (3, 39, "column 'power': not a number"),
        (5, 1, "sensible capacity above total capacity"),
        (7, 39, "column 'power': a comma in a number"),
        (8, 1, "total capacity does not fit the airflow: wrong unit or a digit too many or too few?"),
    ]
    assert str(caught.value).splitlines() == [str(error) for error in caught.value.problems]
    head = (
        LONG.replace("airflow", "Foo    ")
        .replace("degF  cfm", "degQ  cfm")
        .replace("1.99", "l.99", 1)
        .replace("85    1200     63    34.3   33.0      2.19", "85    1200     63    34.3   33.0")
    )
    with pytest.raises(on.InputError) as caught:
        on.transcribe(head, **SAID)
    assert [(error.line, error.column) for error in caught.value.problems] == [(1, 7), (2, 1), (4, 39), (9, 1)]


def test_of_many_problems_the_first_are_told_and_all_are_kept():
    rows = "".join(f"85 {800 + row} 63 l.99 1.5 2.1\n" for row in range(45))
    with pytest.raises(on.InputError) as caught:
        on.transcribe("odb airflow ewb total sensible power\ndegF cfm degF tons tons kW\n" + rows, **SAID)
    problems, told = caught.value.problems, str(caught.value).splitlines()
    assert len(problems) == 45 and {error.text for error in problems} == {"l.99"}
    assert told == [*map(str, problems[:40]), "and 5 more"]


def test_a_problem_of_a_page_across_is_led_back_to_its_own_cell():
    page = PRINT["outdoor temperatures in the headings"][0].replace("25.7", "95.7").replace("37.4", "3S.4")
    with pytest.raises(on.InputError) as caught:
        on.transcribe(page, **SAID, units={"odb": "degF"})
    assert [(error.line, error.column, error.problem.split(":")[0]) for error in caught.value.problems] == [
        (4, 15, "column 'total'"), (4, 39, "sensible capacity above total capacity")]  # fmt: skip


def test_what_a_footnote_mark_means_is_said_or_noted():
    page = PAGE.replace("32.5d ", "32.5* ").replace("28.1 ", "28.1\u2020")
    made = on.transcribe(page, **SAID, marks={"*": "dry"})
    assert texts(made.system)["sensible"][-2] == "32.5d"
    assert made.notes == [
        "footnote mark \u2020 on 1 number of sensible left out; say what it means: --mark '\u2020=dry', blank, limit or ignore"
    ]
    assert "how it was read\n  - footnote mark" in made.report()
    with pytest.raises(on.InputError, match="--mark \\*=wet: accepted: dry, blank, limit, ignore"):
        on.transcribe(page, **SAID, marks={"*": "wet"})


def test_speeds_modes_and_multipliers():
    page = """\
MINIMUM SPEED 30 Hz
ODB   CFM    EWB    TC     SC     kW
°F    cfm    °F     MBh    MBh    kW
85    500    63     16.3   13.9   1.10
85    500    67     18.8   12.9   1.23
Maximum speed, 90 Hz
85    1000   63     33.3   29.9   2.10
85    1000   67     35.8   25.9   2.23
"""
    made = on.transcribe(page, **SAID)
    assert made.system.stages == ["minimum", "maximum"] and "modulation: variable" in made.text
    assert [p.speed for p in made.system.pages(units="SI")] == [30, 90]
    beside = """\
      COOLING                            HEATING
ODB    EWB    TC     SC     kW      ODB    HC      kW
°F     °F     MBh    MBh    kW      °F     MBh     kW
85     63     33.3   29.9   2.19    17     20.6    2.20
85     67     35.8   25.7   2.23    47     34.2    2.61
EDB multipliers
EDB °F    60     70     75
Capacity  1.02   1.00   0.99
kW        0.95   1.00   1.03
"""
    made = on.transcribe(
        beside, name="A", basis={**SAID["basis"], "printed_at": "70 degF"}, values={"airflow": "1000 scfm", "bypass": "0.1"}
    )
    cooling, heating = made.system.pages(units="IP")
    assert (cooling.mode, cooling.shape, heating.frost, heating.shape) == ("cooling", (1, 1, 2), "unknown", (2, 1, 3))
    assert heating.axes["entering_dry_bulb"] == pytest.approx([60, 70, 75]) and heating.basis["capacity"] == "gross"


def test_what_a_page_says_of_itself_holds_for_that_page_alone():
    heating = "HEATING\nOutdoor °C   L/s   Capacity kW   Power W\n-8           400   6.1           1900\n8            400   9.8           2300\n"
    made = on.transcribe({"warm": heating, "cool": LONG}, name="A", basis={**SAID["basis"], "printed_at": "21 degC"})
    assert [(page.mode, page.stage) for page in made.system.pages(units="SI")] == [("cooling", "cool"), ("heating", "warm")]
    (both,) = on.transcribe("Cooling and heating data, invented\n" + LONG, **SAID).system.pages(units="SI")
    assert both.mode == "cooling"
    net = on.transcribe("Net capacities\n" + LONG, name="A", basis={"sensible_at": "80 degF", "fan": "400 W"})
    assert "    capacity: net\n" in net.text
    with pytest.raises(on.InputError, match="capacity net by the heading: 'gross'; accepted: one of them"):
        on.transcribe("Net capacities\n" + LONG, **SAID)


def test_a_data_frame():
    pd = pytest.importorskip("pandas")
    columns = pd.MultiIndex.from_product([[75, 85], ["Total MBh", "Sens MBh", "kW"]])
    numbers = [list(map(float, line.split()[2:])) for line in ROWS.splitlines()]
    index = pd.MultiIndex.from_tuples([tuple(map(int, line.split()[:2])) for line in ROWS.splitlines()], names=["EWB", "CFM"])
    frame = pd.DataFrame(numbers, columns=columns, index=index)
    made = on.transcribe(frame, **SAID, units={"odb": "degF", "ewb": "degF"}, across="odb")
    assert on.collate(on.transcribe(LONG, **SAID).system, made.system).same
    flat = pd.DataFrame([line.split() for line in LONG.splitlines()[2:]], columns=LONG.splitlines()[0].split())
    units = dict(zip(LONG.split()[:6], LONG.split()[6:12]))
    assert on.collate(on.transcribe(LONG, **SAID).system, on.transcribe(flat, **SAID, units=units).system).same
    numbers[1][3] = float("nan")
    frame = pd.DataFrame(numbers, columns=columns, index=index)
    with pytest.raises(on.InputError, match="<frame>:4:6: column 'total': an empty cell"):
        on.transcribe(frame, **SAID, units={"odb": "degF", "ewb": "degF"}, across="odb")


def test_a_spreadsheet(tmp_path):
    openpyxl = pytest.importorskip("openpyxl")
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(["Outdoor °F", "CFM", "EWB °F", "Total MBh", "Sens. MBh", "kW"])
    for n, line in enumerate(LONG.splitlines()[2:]):
        sheet.append([float(cell) if n or m else float(cell) for m, cell in enumerate(line.split())])
        for column in "DE":
            sheet[f"{column}{n + 2}"].number_format = "#,##0.0"
    for first in (2, 6):
        sheet.merge_cells(f"A{first}:A{first + 3}")
    sheet["D2"] = 34.90000001  # as it is shown, that is as it is printed
    book.save(tmp_path / "page.xlsx")
    made = on.transcribe(tmp_path / "page.xlsx", **SAID)
    assert on.collate(on.transcribe(LONG, **SAID).system, made.system).same
    book.create_sheet("second")
    book.save(tmp_path / "two.xlsx")
    with pytest.raises(on.InputError, match=r"a book of several sheets; accepted: .*two.xlsx\[Sheet\] or .*two.xlsx\[second\]"):
        on.transcribe(tmp_path / "two.xlsx", **SAID)
    assert on.transcribe(f"{tmp_path}/two.xlsx[Sheet]", **SAID).text == made.text
    with pytest.raises(on.InputError, match="no such sheet: 'third'"):
        on.transcribe(f"{tmp_path}/two.xlsx[third]", **SAID)
    (tmp_path / "no.xlsx").write_text("no book")
    with pytest.raises(on.InputError, match="not a spreadsheet"):
        on.transcribe(tmp_path / "no.xlsx", **SAID)


WORDS = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"], exclude_characters="\ufeff\u202a\u202b\u202c\u202d\u202e\u2066"
                              "\u2067\u2068\u2069"), max_size=30).filter(lambda s: not any(ord(c) & 0xFFFE == 0xFFFE for c in s))  # fmt: skip


@given(name=WORDS.filter(bool), document=WORDS, stage=WORDS)
def test_any_words_come_back_from_the_file_and_from_what_is_written_of_it(name, document, stage):
    made = on.transcribe({stage: PAGE}, name=name, source={"document": document}, basis=SAID["basis"])
    for system in (made.system, on.parse(made.system.write())):
        assert (system.name, system.source["document"], system.stages) == (name, document, [stage])


NUMBER = st.tuples(st.integers(25, 40), st.integers(0, 4)).flatmap(
    lambda t: st.from_regex(rf"\A{t[0]}" + (rf"\.[0-9]{{{t[1]}}}\Z" if t[1] else r"\Z")))  # fmt: skip


@given(totals=st.lists(NUMBER, min_size=4, max_size=4))
def test_every_number_keeps_its_text(totals):
    rows = [f"{odb} 1000 {ewb} {total}" for (odb, ewb), total in zip([(85, 63), (85, 67), (95, 63), (95, 67)], totals)]
    made = on.transcribe("\n".join(["odb airflow ewb total", "degF scfm degF MBh", *rows, ""]), name="A")
    for system in (made.system, on.parse(made.system.write())):
        (page,) = system.pages(units="SI")
        assert page.typed["total"].reshape(-1).tolist() == totals
        unit = on._core.units["MBh"]
        assert page.columns["total"].reshape(-1).tolist() == [float(text) * unit[1] / unit[2] for text in totals]


# The command


def run(*arguments, stdin=""):
    result = subprocess.run([sys.executable, "-m", "offnominal", *arguments], input=stdin, capture_output=True, text=True)
    return result.returncode, result.stdout, result.stderr


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "page.txt").write_text(PAGE)
    return tmp_path


ARGUMENTS = ["transcribe", "page.txt", "--name", "A", "--capacity", "gross", "--sensible-at", "80 degF"]


def test_the_command_writes_a_file_and_reports_on_it(folder, capsys):
    more = [
        "--document",
        "expanded ratings",
        "--page",
        "4",
        "--transcriber",
        "N. N.",
        "--fan",
        "20 W",
        "--fan",
        "365 W per 1000 scfm",
    ]
    assert main([*ARGUMENTS, "-o", "a.yaml", *more, "--capacity", "net"]) == 0
    assert capsys.readouterr().out.endswith("written to a.yaml\n")
    system = on.load("a.yaml")
    assert system.source["page"] == "4" and system.source["transcriber"] == "N. N."
    assert system.pages(units="SI")[0].basis["fan_power"] == 20.0
    # Without -o the file itself is printed.
    assert main([*ARGUMENTS]) == 0
    out = capsys.readouterr()
    assert on.parse(out.out).name == "A" and out.err.startswith("A\nfull: 8 nodes")


def test_the_command_never_overwrites_unless_told(folder, capsys):
    assert main([*ARGUMENTS, "-o", "a.yaml"]) == 0
    before = Path("a.yaml").read_bytes()
    assert main(["transcribe", "page.txt", "--name", "B", "--sensible-at", "80 degF", "-o", "a.yaml"]) == 2
    assert "a.yaml is there already; --force replaces it" in capsys.readouterr().err
    assert Path("a.yaml").read_bytes() == before
    # Nor does a page that is wrong, even then, and never the page itself.
    assert main([*ARGUMENTS, "-o", "./page.txt", "--force"]) == 2
    assert "./page.txt: the page itself; accepted: another file" in capsys.readouterr().err
    assert Path("page.txt").read_text() == PAGE
    Path("page.txt").write_text(PAGE.replace("33.3", "3E.3"))
    assert main([*ARGUMENTS, "-o", "a.yaml", "--force"]) == 2
    assert Path("a.yaml").read_bytes() == before
    Path("page.txt").write_text(PAGE)
    assert main(["transcribe", "page.txt", "--name", "B", "--sensible-at", "80 degF", "-o", "a.yaml", "--force"]) == 0
    assert on.load("a.yaml").name == "B"
    with pytest.raises(FileExistsError):
        on.load("a.yaml").write("a.yaml")
    assert on.load("a.yaml").write("b.yaml") == Path("b.yaml").read_text()
    assert sorted(os.listdir()) == ["a.yaml", "b.yaml", "page.txt"]


def test_what_the_page_does_not_say_is_asked_for_by_its_option(folder, capsys):
    assert main(["transcribe", "page.txt", "--name", "A"]) == 2
    assert "the entering dry bulb it is printed for; accepted: --sensible-at '80 degF'\n" in capsys.readouterr().err


def test_what_is_pasted_is_not_lost(folder):
    environment = ["transcribe", "high=-", "--name", "A", "--sensible-at", "80 degF", "-o", "a.yaml"]
    status, _, error = run(*environment, stdin=PAGE.replace("33.3", "33,3"))
    kept = [name for name in os.listdir() if name.startswith("pasted-")]
    assert status == 2 and "<pasted>:3:22: column 'total': a comma in a number" in error
    assert len(kept) == 1 and f"what was pasted is kept in {kept[0]}" in error and not Path("a.yaml").exists()
    assert Path(kept[0]).read_text() == PAGE.replace("33.3", "33,3")
    status, out, _ = run(*environment, stdin=PAGE)
    assert status == 0 and on.load("a.yaml").stages == ["high"] and "high: 8 nodes" in out


def test_a_text_longer_than_any_page_is_none(tmp_path):
    path = tmp_path / "long.txt"
    path.write_text("85 1000 63\n" * 100_000)
    for page in (path, path.read_text()):
        with pytest.raises(on.InputError, match="larger than a page is; accepted: 1048576 characters at most"):
            on.transcribe(page, **SAID)


def test_multiplier_rows_with_fewer_units_than_names():
    """Found by mutation: it was an IndexError."""
    page = "Outdoor  Heating Capacity  Power\n\u00b0F       MBH               kW\n17       21.8              1.60\n47       31.6              1.85\n"
    page += "Entering air multipliers\nEDB  Capacity  Power\n\u00b0F            1\n60   1.032     0.888\n70   1.000     1.000\n"
    with pytest.raises(on.InputError, match=":7:1: fewer units than names of multiplier rows"):
        on.transcribe(page, columns={"Outdoor": "odb"}, **SAID)


def test_headings_with_unlike_numbers_of_values():
    """Found by mutation: it was an IndexError."""
    page = "odb  75 67 total  80 total\ndegF  MBh  MBh\n85  33.1  34.2\n95  32.1  33.2\n"
    with pytest.raises(on.InputError, match=":1:19: fewer values across than over another column: '80 total'"):
        on.transcribe(page, **SAID)


@pytest.mark.parametrize(
    "line, words",
    [("85 1000 63 33\n", 30_000), ("85,1000,63,33\n", 30_000), ("85;1000;63;33\n", 30_000), ("odb ewb airflow total\n", 4_000)],
)
def test_a_page_of_more_words_than_any_page_is_none(line, words):
    """A mebibyte of headings took half a minute. Refused for something else where there are as many as may be."""
    most = line * (words // 4)
    with pytest.raises(on.InputError) as refused:
        on.transcribe(most, **SAID)
    assert "more words" not in str(refused.value)
    with pytest.raises(
        on.InputError, match="more words than a page has; accepted: 30000 at most, of them 4000 that are no numbers"
    ) as refused:
        on.transcribe(most + line.split()[0], **SAID)
    assert refused.value.line == words // 4 + 1


@pytest.mark.parametrize("line", ["", " ", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_a_page_of_more_lines_than_any_page_is_none(line, end):
    most = end.join([line] * 30_000)
    with pytest.raises(on.InputError, match="no rows"):
        on.transcribe(most, **SAID)
    with pytest.raises(on.InputError, match="more lines than a page has; accepted: 30000 at most, empty ones too") as refused:
        on.transcribe(most + end, **SAID)
    assert refused.value.line == 30_001


def test_a_page_of_more_cells_than_any_page_is_none():
    most = "\n".join(["85,1000" + "," * 9_998] * 10)
    with pytest.raises(on.InputError) as refused:
        on.transcribe(most, **SAID)
    assert "more cells" not in str(refused.value)
    with pytest.raises(on.InputError, match="more cells than a page has; accepted: 100000 at most, empty ones too"):
        on.transcribe(most + ",", **SAID)


def test_one_long_line_is_the_name_of_no_file():
    with pytest.raises(
        on.InputError, match="a name longer than any of a file: 'xxx.*accepted: .* a text of several lines"
    ) as refused:
        on.transcribe("x" * 5_000, **SAID)
    assert len(str(refused.value)) < 300


def test_several_pages_become_stages_of_one_file(folder, capsys):
    Path("low.txt").write_text(PAGE.replace("1200", "800"))
    assert main(["transcribe", "high=page.txt", "low=low.txt", "--name", "A", "--sensible-at", "80 degF", "-o", "a.yaml"]) == 0
    assert on.load("a.yaml").stages == ["high", "low"]
    assert main(["transcribe", "page.txt", "low.txt", "--name", "A"]) == 2
    assert "two pages for stage 'full'" in capsys.readouterr().err
    assert main(["transcribe", "none.txt", "--name", "A"]) == 2
    assert capsys.readouterr().err == "offnominal: none.txt: No such file or directory\n"
    with pytest.raises(SystemExit):
        main([*ARGUMENTS, "--unit", "total"])
