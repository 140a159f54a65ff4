"""Two transcriptions held against each other: what differs is found, with its place, and nothing else is."""

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import offnominal as on
from offnominal.__main__ import main

# An invented page, as the first person typed it.
FIRST = """offnominal: system/1
name: Unit A, invented
refrigerant: R-410A
source: {document: invented, revision: A, page: 4, transcriber: N. N.}
cooling:
  basis: {capacity: gross, airflow: standard, sensible_at: 80 degF, tolerance: 5 %}
  stages:
    full:
      table: |
        odb   airflow  ewb   total  sensible  power  bypass
        degF  scfm     degF  MBh    MBh       kW     1
        85    1000     63    33.3   29.9      2.19   0.10
        85    1000     67    35.8   25.7      2.23   0.10
        85    1200     63    34.3   33.0      2.19   0.12
        85    1200     67    36.9   28.1      2.23   0.12
        95    1000     63    31.5   29.1      2.48   0.10
        95    1000     67    33.9   24.9      2.52   0.10
        95    1200     63    32.5   32.5d     2.48   0.12
        95    1200     67    -      -         -      -
matches:
  A: {reference: true, fan: draw-through}
  B: {total: 0.965, power: 0.99, airflow: [900 scfm, 1150 scfm]}
line_set:
  cooling: |
    length  suction  total  power
    ft      in       1      1
    25      7/8      1.000  1.000
    50      7/8      0.990  0.998
"""


def collated(*changes, first=FIRST):
    second = first
    for old, new in changes:
        assert old in second
        second = second.replace(old, new)
    return on.collate(on.parse(first, "first.yaml"), on.parse(second, "second.yaml"))


def only(collation):
    (difference,) = collation.differences
    return difference


def test_the_same_page_typed_twice_is_the_same():
    rows = FIRST.splitlines()
    shuffled = "\n".join([*rows[:11], *rows[18:10:-1], *rows[19:]]) + "\n"
    for other in (FIRST, shuffled, on.parse(FIRST).write(), FIRST.replace("32.5d", "32.5 ").replace("N. N.", "M. M."),
                  FIRST.replace("name: Unit A, invented", "name: A")):  # fmt: skip
        collation = on.collate(on.parse(FIRST), on.parse(other))
        assert collation.same and collation.differences == [] and collation.worst is None
        assert (collation.nodes, collation.nodes_same, collation.only_first, collation.only_second) == (8, 8, 0, 0)
        assert collation.report().endswith("8 nodes in both, 8 of them the same\nthe two are the same\n")


def test_a_number_is_shown_with_both_places_and_its_size():
    collation = collated(("33.3   29.9 ", "33.8   29.9 "))
    difference = only(collation)
    assert (difference.kind, difference.page, difference.column) == ("value", "full", "total")
    assert difference.where == "odb 85 degF, airflow 1000 scfm, ewb 63 degF"
    assert (difference.first, difference.second) == ("33.3 MBh", "33.8 MBh")
    assert difference.percent == pytest.approx(100 * 0.5 / 33.3)
    assert (difference.first_place, difference.second_place) == ("first.yaml:12:9", "second.yaml:12:9")
    assert str(difference) == ("first.yaml:12:9 | second.yaml:12:9: full: odb 85 degF, airflow 1000 scfm, ewb 63 degF: total "
                               "33.3 MBh | 33.8 MBh (+1.5 %)")  # fmt: skip
    assert (collation.nodes, collation.nodes_same) == (8, 7)
    assert collation.worst == difference


def test_the_worst_cell_of_a_revision_stands_first():
    collation = collated(("33.3   29.9 ", "33.8   29.9 "), ("2.52   0.10", "2.25   0.10"), ("revision: A", "revision: B"))
    kinds = [difference.kind for difference in collation.differences]
    assert kinds == ["metadata", "value", "value"]
    assert collation.worst.column == "power" and collation.worst.percent == pytest.approx(100 * (2.25 - 2.52) / 2.52)
    assert "largest difference: -11 % (full: odb 95 degF, airflow 1000 scfm, ewb 67 degF)\n" in collation.report()
    assert "  source: revision: A | B\n" in collation.report()


@pytest.mark.parametrize(
    ("change", "kind", "column", "first", "second"),
    [
        (("33.3 ", "33.30"), "digits", "total", "33.3 MBh", "33.30 MBh"),
        (("63    32.5   32.5d     2.48   0.12", "63    -      -         -      -"), "mark", "", "dry", "blank"),
        (("-      -         -      -", "x      x         x      x"), "mark", "", "blank", "beyond_limit"),
        (("67    -      -         -      -", "67    34.9   27.3      2.52   0.12"), "mark", "", "blank", "printed"),
        (("tolerance: 5 %", "tolerance: 5 %, elevation: 0 ft"), "metadata", "", "", "0 ft"),
        (("capacity: gross", "capacity: unknown"), "metadata", "", "gross", "unknown"),
        (("R-410A", "R-32"), "metadata", "", "R-410A", "R-32"),
        (("page: 4", "page: 5"), "metadata", "", "4", "5"),
        (("total: 0.965", "total: 0.956"), "metadata", "", "0.965", "0.956"),
        (("fan: draw-through", "fan: blow-through"), "metadata", "", "draw-through", "blow-through"),
        (("[900 scfm", "[800 scfm"), "metadata", "", "900 scfm", "800 scfm"),
        (("0.990  0.998", "0.909  0.998"), "metadata", "", "0.99", "0.909"),
    ],
    ids=str,
)
def test_one_slip_is_one_difference(change, kind, column, first, second):
    difference = only(collated(change))
    assert (difference.kind, difference.column, difference.first, difference.second) == (kind, column, first, second)


def test_metadata_in_numbers_is_told_with_its_unit():
    for change, where in (
        (("[900 scfm", "[800 scfm"), "matches: B: least airflow"),
        (("0.990  0.998", "0.909  0.998"), "line_set: length 50 ft, suction 7/8 in: total"),
        (("capacity: gross", "capacity: net, fan: 400 W"), "basis: capacity"),
    ):
        assert where in [difference.where for difference in collated(change).differences]


def test_what_only_one_has():
    column = only(collated(*((f"   {bypass}\n", "\n") for bypass in ("0.10", "0.12")), (" bypass", ""), ("kW     1", "kW"),
                           ("-      -         -      -", "-      -         -")))  # fmt: skip
    assert (column.kind, column.column, column.first, column.second) == ("column", "bypass", "bypass", "")
    row = collated(("        85    1000     63    33.3   29.9      2.19   0.10\n        85    1000     67    35.8   25.7      2.23   0.10\n", ""),
                   ("        95    1000     63    31.5   29.1      2.48   0.10\n        95    1000     67    33.9   24.9      2.52   0.10\n", ""))  # fmt: skip
    assert [d.kind for d in row.differences] == ["node"] * 4 and (row.nodes, row.only_first, row.only_second) == (4, 4, 0)
    assert str(row.differences[0]) == "first.yaml:12:9: full: odb 85 degF, airflow 1000 scfm, ewb 63 degF: only in the first"
    moved = collated(("85    1", "86    1"))
    assert (moved.nodes, moved.only_first, moved.only_second) == (4, 4, 4)
    stage = collated(("    full:", "    high:"))
    assert [(d.kind, d.first, d.second) for d in stage.differences] == [("page", "full", ""), ("page", "", "high")]
    assert "8 nodes only in the first\n8 nodes only in the second\n" in stage.report()
    match = collated(("  B: {total: 0.965, power: 0.99, airflow: [900 scfm, 1150 scfm]}\n", ""))
    assert {d.where.partition(": ")[2].partition(":")[0] for d in match.differences} == {"B"}


SI = """offnominal: system/1
name: the same from the metric edition
refrigerant: R-410A
source: {document: invented, revision: A, page: 4}
cooling:
  basis: {capacity: gross, airflow: standard, sensible_at: 80 degF, tolerance: 5 %}
  stages:
    full:
      bypass: 0.10
      table: |
        odb   airflow  ewb   total  sensible  power
        degC  L/s      degC  kW     kW        kW
        29.4  472      17.2  9.76   8.76      2.19
        29.4  472      19.4  10.49  7.53      2.23
        35.0  472      17.2  9.23   8.53      2.48
        35.0  472      19.4  9.94   7.30      2.52
"""
IP = """offnominal: system/1
name: the same
refrigerant: R-410A
source: {document: invented, revision: A, page: 4}
cooling:
  basis: {capacity: gross, airflow: standard, sensible_at: 80 degF, tolerance: 5 %}
  stages:
    full:
      airflow: 1000 scfm
      bypass: 0.1
      table: |
        odb   ewb   total  sensible  power
        degF  degF  MBh    MBh       W
        85    63    33.3   29.9      2190
        85    67    35.8   25.7      2230
        95    63    31.5   29.1      2480
        95    67    33.9   24.9      2520
"""


def test_two_editions_in_different_units_agree_within_half_a_printed_step():
    collation = on.collate(on.parse(IP), on.parse(SI))
    # 0.1 and 0.10 are one value beside the table, typed with other digits.
    assert {d.kind for d in collation.differences} == {"digits"} and {d.column for d in collation.differences} == {"bypass"}
    assert collation.nodes == 4
    assert "total: MBh held against kW, to half the last printed place of the first" in collation.notes
    assert "ewb: degF held against degC, to half the last printed place of the first" in collation.notes
    # 9.76 kW are 33.30 MBh; 9.79 kW are 33.4.
    wrong = [d for d in on.collate(on.parse(IP), on.parse(SI.replace("9.76 ", "9.79 "))).differences if d.kind == "value"]
    assert [(d.column, d.first, d.second) for d in wrong] == [("total", "33.3 MBh", "9.79 kW")]


def test_long_form_and_as_printed_are_the_same_page():
    said = {"name": "A", "values": {"odb": "95 degF", "airflow": "1000 scfm"}}
    printed = "ewb total sensible@75 sensible@80 power\ndegF MBh MBh MBh kW\n63 31.5 23.7 29.1 2.48\n67 33.9 19.5 24.9 2.52\n77 37.1 - 18.1 2.58\n"
    long = "edb ewb total sensible power\ndegF degF MBh MBh kW\n75 63 31.5 23.7 2.48\n80 63 31.5 29.1 2.48\n75 67 33.9 19.5 2.52\n" \
        "80 67 33.9 24.9 2.52\n75 77 37.1 - 2.58\n80 77 37.1 18.1 2.58\n"  # fmt: skip
    first, second = (on.transcribe(text, **said).system for text in (printed, long))
    assert on.collate(first, second).same
    # A total where the sensible is blank is held nowhere, but it was typed.
    slip = on.transcribe(long.replace("75 77 37.1", "75 77 37.7"), **said).system
    assert [(d.column, d.first, d.second) for d in on.collate(first, slip).differences] == [("total", "37.1 MBh", "37.7 MBh")]


def test_a_page_that_was_never_typed_is_compared_by_its_numbers():
    typed = on.parse(FIRST)
    written = on.parse(typed.write())
    pages = [system.pages(units="SI")[0] for system in (typed, written)]
    assert all(np.array_equal(pages[0].columns[role], pages[1].columns[role], equal_nan=True) for role in pages[0].columns)


@given(row=st.integers(0, 6), column=st.sampled_from([3, 5]), digit=st.integers(0, 9))
def test_any_changed_digit_is_found_where_it_stands(row, column, digit):
    lines = FIRST.splitlines()
    line = lines[11 + row]
    cells = list(re.finditer(r"\S+", line))
    at = cells[column].end() - 1
    if line[at] == str(digit):
        digit = (digit + 1) % 10
    lines[11 + row] = line[:at] + str(digit) + line[at + 1 :]
    try:
        second = on.parse("\n".join(lines) + "\n", "second.yaml")
    except on.InputError:
        return  # no longer a page: a dry node whose total moved
    difference = on.collate(on.parse(FIRST, "first.yaml"), second).differences[0]
    assert difference.first_place == f"first.yaml:{12 + row}:9" and difference.kind in ("value", "mark")


def test_the_command_says_by_its_status_whether_the_two_are_the_same(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "first.yaml").write_text(FIRST)
    (tmp_path / "second.yaml").write_text(FIRST.replace("33.3 ", "38.3 "))
    assert main(["collate", "first.yaml", "first.yaml"]) == 0
    assert main(["collate", "first.yaml", "second.yaml"]) == 1
    assert "first.yaml:12:9 | second.yaml:12:9: full: odb 85 degF, airflow 1000 scfm, ewb 63 degF: total 33.3 MBh | 38.3 MBh (+15 %)\n" \
        in capsys.readouterr().out  # fmt: skip
    assert main(["collate", "first.yaml", "none.yaml"]) == 2


# Pages as data


def test_pages_are_told_in_the_caller_s_units_and_as_typed():
    (ip,), (si,) = (on.parse(FIRST, "first.yaml").pages(units=units) for units in ("IP", "SI"))
    assert (ip.stage, ip.match, ip.mode, ip.frost, ip.shape, ip.infer) == ("full", "", "cooling", None, (2, 2, 2), False)
    assert list(ip.axes) == ["outdoor_dry_bulb", "standard_airflow", "entering_wet_bulb"]
    assert ip.axes["standard_airflow"] == pytest.approx([1000, 1200]) and si.axes["outdoor_dry_bulb"][1] == pytest.approx(35)
    assert ip.columns["total"][0, 1, 0] == pytest.approx(34300) and si.columns["power"][0, 1, 0] == pytest.approx(2190)
    assert np.isnan(ip.columns["total"][1, 1, 1]) and ip.marks[1, 1].tolist() == ["dry", "blank"]
    assert ip.typed["sensible"][1, 1].tolist() == ["32.5d", "-"] and ip.typed_units["sensible"] == "MBh"
    assert ip.units["total"] == "Btu/h" and si.units["total"] == "W"
    assert ip.steps["total"] == pytest.approx(100) and ip.steps["power"] == pytest.approx(10)
    assert ip.places[0] == ("first.yaml", 12, 9)
    assert ip.basis["sensible_at"] == pytest.approx(80) and si.basis["sensible_at"] == pytest.approx(80 / 1.8 - 32 / 1.8)
    assert len(ip.notes) == 3 and repr(ip) == (
        "<Page 'full': 8 nodes over outdoor_dry_bulb, standard_airflow, entering_wet_bulb; total, sensible, power, bypass>")  # fmt: skip
    table = ip.table()
    assert list(table) == [
        "outdoor_dry_bulb",
        "standard_airflow",
        "entering_wet_bulb",
        "total",
        "sensible",
        "power",
        "bypass",
        "mark",
    ]
    assert {len(values) for values in table.values()} == {8} and table["entering_wet_bulb"][:2] == pytest.approx([63, 67])
    with pytest.raises(ValueError, match="units"):
        on.parse(FIRST).pages(units="imperial")


def test_extra_columns_and_pairs_are_told_too():
    text = """offnominal: system/1
name: t
cooling:
  stages:
    full:
      indoor: path
      odb: 95 degF
      airflow: 1000 scfm
      table: |
        edb   ewb   total  suction_pressure  liquid_pressure  eer     split       amps
        degF  degF  MBh    psig              psia             Btu/Wh  delta_degF  A
        75    63    31.2   120.5             400              10.1    20.1        9
        80    67    33.9   -                 401              10.4    19.2        9
"""
    (ip,), (si,) = (on.parse(text).pages(units=units) for units in ("IP", "SI"))
    assert ip.axes["indoor_pair"] == pytest.approx(np.array([[75, 63], [80, 67]]))
    table = ip.table()
    assert table["entering_dry_bulb"] == pytest.approx([75, 80]) and table["entering_wet_bulb"] == pytest.approx([63, 67])
    first = {role: values.flat[0] for role, values in ip.columns.items()}
    assert first == pytest.approx(
        {"total": 31200, "suction_pressure": 120.5, "liquid_pressure": 400, "eer": 10.1, "split": 20.1, "amps": 9}
    )
    assert [ip.units[role] for role in ("suction_pressure", "liquid_pressure", "eer", "split")] == [
        "psig",
        "psia",
        "Btu/Wh",
        "delta_degF",
    ]
    assert [si.units[role] for role in ("suction_pressure", "liquid_pressure", "eer", "split")] == [
        "Pa gauge",
        "Pa",
        "W/W",
        "delta_degC",
    ]
    assert si.columns["eer"].flat[0] == pytest.approx(10.1 * 0.29307107) and np.isnan(ip.columns["suction_pressure"].flat[1])
    assert "read along the page's pairs" in " ".join(ip.notes)


# Visits


def test_a_visit_is_written_as_it_was_typed(tmp_path):
    visit = {
        "offnominal": "visit/1", "name": "kitchen: #2", "site": {"elevation": "0 ft"}, "stage": "full", "boundary": "coil",
        "limit": 0.9, "readings": {
            "outdoor": {"dry_bulb": "91 degF", "instrument": "probe"},
            "return": {"dry_bulb": "76 degF", "relative_humidity": "55 %", "instrument": "probe"},
            "supply": {"dry_bulb": "57.2 degF", "relative_humidity": "92 %", "instrument": "probe"},
            "airflow": {"value": "1120 cfm", "at": "return", "instrument": "grid"}},
        "instruments": {"probe": {"dry_bulb": {"limits": "0.6 delta_degF"}, "relative_humidity": {"limits": "2 %"}},
                        "grid": {"airflow": {"expanded": "7 %"}}}}  # fmt: skip
    text = on.Visit(visit).write(tmp_path / "visit.yaml")
    assert (tmp_path / "visit.yaml").read_text() == text == on.Visit(tmp_path / "visit.yaml").write()
    assert 'name: "kitchen: #2"\n' in text
    assert "  return: {dry_bulb: 76 degF, relative_humidity: 55 %, instrument: probe}\n" in text
    assert "  grid: {airflow: {expanded: 7 %}}\n" in text
    with pytest.raises(FileExistsError):
        on.Visit(visit).write(tmp_path / "visit.yaml")
    proofs = [
        on.parse(FIRST.replace("matches:\n", "matches: {}\n").partition("matches:")[0]).prove(v)
        for v in (visit, tmp_path / "visit.yaml")
    ]
    assert proofs[0].ratio == proofs[1].ratio and proofs[0].ratio_u == proofs[1].ratio_u
