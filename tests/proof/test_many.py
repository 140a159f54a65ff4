"""Many visits at once: the digits of one by one, and rows that are no visit."""

import copy
import json
import pickle
import re
from pathlib import Path

import numpy as np
import pytest
import yaml

import offnominal as on
from offnominal import _tables
from offnominal.__main__ import main

pd = pytest.importorskip("pandas")
DEMO = Path(__file__).parents[2] / "tables/demo"
SYSTEM = on.load(DEMO / "alder.yaml")
REVISION = on.parse(
    (DEMO / "alder.yaml").read_text().replace("95    1000     67    34.0", "95    1000     67    33.0"),
    name="revision.yaml",
    folder=DEMO,
)
METERED = yaml.safe_load((DEMO / "library-visit.yaml").read_text())
TOLD = ("ratio", "ratio_u", "ratio_low", "ratio_high", "joint_ratio", "probability", "other_probability", "expected_share")
TOLD += ("sensible_ratio", "power_ratio", "power_ratio_u", "efficiency")
# Where a column's number stands in a visit, and the unit it is typed with.
PLACES = {
    "outdoor_dry_bulb": ("readings/outdoor/dry_bulb", "degF"),
    "return_dry_bulb": ("readings/return/dry_bulb", "degF"),
    "return_relative_humidity": ("readings/return/relative_humidity", ""),
    "supply_dry_bulb": ("readings/supply/dry_bulb", "degF"),
    "supply_relative_humidity": ("readings/supply/relative_humidity", ""),
    "airflow": ("readings/airflow/value", "cfm"),
    "power": ("readings/power/value", "W"),
    "fan_power": ("fan_power/value", "W"),
    "auxiliary_heat": ("auxiliary_heat/value", "W"),
    "elevation": ("site/elevation", "ft"),
    "line_length": ("line_set/length", "ft"),
    "line_suction": ("line_set/suction", "in"),
    "stage": ("stage", None),
    "match": ("match", None),
}


def typed(visit, row):
    """The visit with one row's numbers typed into it."""
    visit = copy.deepcopy(visit)
    for name, (path, unit) in PLACES.items():
        if name not in row:
            continue
        *parents, key = path.split("/")
        at = visit
        for parent in parents:
            at = at[parent]
        if name == "power" and np.isnan(row[name]):
            del visit["readings"]["power"]
        else:
            at[key] = row[name] if unit is None else f"{float(row[name])!r} {unit}".strip()
    return visit


def fleet(rows, seed=1):
    """Invented readings about those of the visit."""
    random = np.random.default_rng(seed)
    return pd.DataFrame(
        {
            "machine": [f"machine {k}" for k in range(rows)],
            "outdoor_dry_bulb": 91.0 + 3.0 * random.standard_normal(rows),
            "return_dry_bulb": 76.6 + random.standard_normal(rows),
            "return_relative_humidity": 0.55 + 0.02 * random.standard_normal(rows),
            "supply_dry_bulb": 58.4 + 0.5 * random.standard_normal(rows),
            "supply_relative_humidity": 0.82 + 0.03 * random.standard_normal(rows),
            "airflow": 1190.0 * (1.0 + 0.05 * random.standard_normal(rows)),
            "power": np.where(np.arange(rows) % 4 == 3, np.nan, 2370.0 + 80.0 * random.standard_normal(rows)),
            "elevation": 4690.0 + 100.0 * random.standard_normal(rows),
            "line_length": np.where(np.arange(rows) % 3 == 0, 30.0, 50.0),
            "line_suction": 0.75,
            "stage": np.where(np.arange(rows) % 5 == 4, "low", "high"),
            "match": "indoor A",
        },
        index=[f"row {k}" for k in range(rows)],
    )


def same(got, proof):
    """Whether a row has every digit of a proof."""
    for name in TOLD:
        value = getattr(proof, name)
        assert got[name] == value or (value is None and np.isnan(got[name])), name
    assert (got["outcome"], got["suspect"], got["reason"]) == (proof.outcome, proof.suspect, proof.reason)
    assert pd.isna(got["method"]) if proof.ratio is None else got["method"] == proof.method
    shares = {line["input"]: line["share"] for line in proof.budget}
    assert np.isnan(got["share_of_airflow"]) or got["share_of_airflow"] == shares.get("airflow", 0.0)
    remedies = proof.settle()
    if not pd.isna(got["next"]):
        assert got["next"] in (remedies[0].remedy, remedies[-1].remedy)


def test_a_table_has_the_digits_of_one_by_one():
    """What shares an instrument, a meter that was not there, stages, lines and elevations that differ from row to row; on two threads."""
    rows = fleet(30)
    how = dict(units="IP", columns=(*TOLD, "share_of_airflow"))
    got = SYSTEM.prove_many(rows, METERED, **how, threads=2)
    assert list(got.index) == list(rows.index) and list(got["machine"]) == list(rows["machine"])
    assert "airflow" not in got and got.attrs["units"]["efficiency"] == "Btu/Wh"
    for label, row in rows.iterrows():
        same(got.loc[label], SYSTEM.prove(typed(METERED, row), units="IP"))
    pd.testing.assert_frame_equal(got, SYSTEM.prove_many(rows, METERED, **how))


def test_a_power_below_a_watt_is_refused_in_its_row():
    """Over 4e-322 W a capacity overflows; no machine runs on less than a watt."""
    rows = fleet(4).assign(power=[2400.0, 4e-322, 0.99, 1.0])
    got = SYSTEM.prove_many(rows, METERED, units="IP", columns=("efficiency",))
    assert list(got["reason"][1:3]) == ["outside"] * 2 and list(got["about"][1:3]) == ["power"] * 2
    assert "outside" not in (got["reason"].iloc[0], got["reason"].iloc[3])
    assert not np.isinf(got["efficiency"]).any()


def test_heating_has_the_digits_of_one_by_one():
    visit = on.Visit(DEMO / "library-heating-visit.yaml")
    rows = {"outdoor_dry_bulb": [40.0, 30.0, 25.0], "supply_dry_bulb": [100.6, 96.0, 70.0], "power": [2110.0, np.nan, 1900.0]}
    got = SYSTEM.prove_many(rows, visit, units="IP", columns=("ratio", "ratio_u", "power_ratio"))
    text = (DEMO / "library-heating-visit.yaml").read_text()
    for k in range(3):
        one = text.replace("40.0 degF", f"{rows['outdoor_dry_bulb'][k]} degF").replace(
            "100.6 degF", f"{rows['supply_dry_bulb'][k]} degF"
        )
        if np.isnan(rows["power"][k]):
            one = "\n".join(line for line in one.splitlines() if "power: {value: 2110" not in line)
        proof = SYSTEM.prove(on.Visit.parse(one.replace("2110 W", f"{rows['power'][k]} W")))
        assert got["outcome"][k] == proof.outcome and got["reason"][k] == proof.reason
        for name in ("ratio", "ratio_u", "power_ratio"):
            assert got[name][k] == getattr(proof, name) or (getattr(proof, name) is None and np.isnan(got[name][k]))


def test_first_order_alone_is_what_prove_tells_where_it_decides():
    """Without draws the budget and the ratio's uncertainty are those of `prove`; where first order decides, everything is."""
    rows = fleet(12, seed=2)
    got = SYSTEM.prove_many(rows, METERED, units="IP", columns=TOLD, draws=False)
    assert set(got["method"].dropna()) == {"first_order"}
    drawn = SYSTEM.prove_many(rows, METERED, units="IP", columns=TOLD)
    np.testing.assert_array_equal(got["expected_share"], drawn["expected_share"])
    np.testing.assert_array_equal(got["power_ratio_u"], drawn["power_ratio_u"])
    np.testing.assert_allclose(got["ratio"], drawn["ratio"], rtol=0.01)


def test_rows_that_are_no_visit_say_so_by_column_and_the_rest_is_answered():
    rows = fleet(9).assign(power=2370.0, stage="high", airflow=1190.0).astype({"airflow": object})
    rows.loc["row 0", "supply_dry_bulb"] = np.nan
    rows.loc["row 1", "return_relative_humidity"] = 55.0
    rows.loc["row 2", "airflow"] = "n/a"
    rows.loc["row 3", "power"] = -3.0
    rows.loc["row 5", "stage"] = "turbo"
    rows.loc["row 6", "elevation"] = 40000.0
    rows.loc["row 7", "outdoor_dry_bulb"] = 190.0
    got = SYSTEM.prove_many(rows, METERED, units="IP")
    assert list(got["about"])[:8] == [
        "supply_dry_bulb",
        "return_relative_humidity",
        "airflow",
        "power",
        "nothing",
        "stage",
        "elevation",
        "outdoor_dry_bulb",
    ]
    refused = ["row 0", "row 1", "row 2", "row 3", "row 5", "row 6"]
    assert got.loc[refused, "outcome"].isna().all() and got.loc[refused, "ratio"].isna().all()
    assert got.loc["row 7", "outcome"] == "not_comparable" and got.loc["row 7", "reason"] == "outside"
    assert got.loc[["row 4", "row 8"], "ratio"].notna().all()
    with pytest.raises(TypeError, match="airflow, row 2 .*'n/a' is not a number"):
        SYSTEM.prove_many(rows, METERED, units="IP", strict=True)


def test_what_is_masked_is_not_given():
    table = {"supply_dry_bulb": np.ma.array([58.0, 58.0], mask=[True, False])}
    assert list(SYSTEM.prove_many(table, METERED, units="IP")["outcome"]) == [None, "undecided"]
    counted = on.survey(SYSTEM, table, METERED, units="IP").groups[0]
    assert (counted["no answer"], counted["undecided"]) == (1, 1)
    flips = on.revised(SYSTEM, REVISION, table, METERED, units="IP")
    assert flips.visits == 2 and {one.row for one in flips.flips} <= {1}


def test_one_table_of_machines_of_many_systems():
    rows = fleet(6).drop(columns=["line_suction", "line_length"]).assign(system=["alder", "oak", "alder", "", "alder", "alder"])
    got = on.prove_many({"alder": SYSTEM}, rows, METERED, units="IP")
    assert list(got["reason"]) == ["none", "unknown_system", "none", "unknown_system", "none", "none"]
    assert got["about"].iloc[1] == "system" and list(got["system"]) == list(rows["system"])
    alone = SYSTEM.prove_many(rows.drop(columns="system"), METERED, units="IP")
    for name in ("ratio", "ratio_u", "probability"):
        np.testing.assert_array_equal(got[name].to_numpy()[[0, 2, 4, 5]], alone[name].to_numpy()[[0, 2, 4, 5]])


def test_every_kind_of_table_has_the_same_door():
    pl, pa = pytest.importorskip("polars"), pytest.importorskip("pyarrow")
    rows = fleet(5).reset_index(drop=True)
    rows.loc[1, "airflow"] = -1.0
    expected = SYSTEM.prove_many(rows, METERED, units="IP", draws=False)
    arrow = SYSTEM.prove_many(pa.Table.from_pandas(rows), METERED, units="IP", draws=False)
    polars = SYSTEM.prove_many(pl.DataFrame(rows.to_dict("list")), METERED, units="IP", draws=False)
    columns = SYSTEM.prove_many({name: rows[name].to_numpy() for name in rows}, METERED, units="IP", draws=False)
    assert isinstance(arrow, pa.Table) and isinstance(polars, pl.DataFrame)
    for name in ("ratio", "probability"):
        np.testing.assert_array_equal(columns[name], expected[name])
        np.testing.assert_array_equal(arrow[name].to_numpy(), expected[name])
        np.testing.assert_array_equal(polars[name].to_numpy(), expected[name])
    words = [None if pd.isna(word) else word for word in expected["outcome"]]
    assert list(columns["outcome"]) == arrow["outcome"].to_pylist() == polars["outcome"].to_list() == words
    assert words[1] is None


@pytest.mark.parametrize(
    "column, problem",
    [
        ("return_wet_bulb", "return_relative_humidity"),
        ("suply_dry_bulb", "is 'supply_dry_bulb' meant"),
        ("auxiliary_heat", "mode: heating"),
    ],
)
def test_a_column_for_what_the_visit_does_not_have_is_named(column, problem):
    with pytest.raises((on.InputError, ValueError), match=problem):
        SYSTEM.prove_many(fleet(2).assign(**{column: 60.0}), METERED, units="IP")


def test_what_is_wrong_with_all_rows_is_an_error():
    without = copy.deepcopy(METERED)
    del without["readings"]["power"]
    with pytest.raises(on.InputError, match="power: a column"):
        SYSTEM.prove_many(fleet(2), without, units="IP")
    second = {"by": "refrigerant", "total": "34.2 MBh", "boundary": "coil", "standard": "2 %"}
    with pytest.raises(on.InputError, match="second_capacity: of one visit, where a table has many"):
        SYSTEM.prove_many(fleet(2), {**METERED, "second_capacity": second}, units="IP")
    with pytest.raises(ValueError, match="columns: 'ration'"):
        SYSTEM.prove_many(fleet(2), METERED, units="IP", columns=("ration",))
    with pytest.raises(ValueError, match="no rows"):
        SYSTEM.prove_many(fleet(0), METERED, units="IP")


def test_a_survey_counts_and_names_what_is_wrong(tmp_path):
    rows = fleet(12).assign(installer=["north", "south", "east"] * 4, date=["2026-07-14", "2026-08-02"] * 6)
    rows.loc["row 3", "airflow"] = np.nan
    found = on.survey(SYSTEM, rows, METERED, units="IP", by=("installer", "month"))
    whole, *groups = found.groups
    assert whole["visits"] == 12 and whole["no answer"] == 1
    assert [group["value"] for group in groups] == ["east", "north", "south", "2026-07", "2026-08"]
    assert sum(group["visits"] for group in groups[:3]) == 12 and groups[1]["no answer"] == 1
    assert whole["ratio"] == pytest.approx(float(np.nanmean(found.table["ratio"])), rel=1e-12)
    assert found.problems == [(3, "airflow", "not_given")]
    assert sum(found.shares.values()) == pytest.approx(1.0, abs=1e-9)
    assert set(found.shares) <= {"page", "pressure", *METERED["instruments"]}
    assert list(found.shares.values()) == sorted(found.shares.values(), reverse=True)
    assert "12 visits" in found.report() and "airflow" in found.report().splitlines()[-1]
    assert found.csv().splitlines()[0].startswith("by,value,visits,meets")
    with pytest.raises(ValueError, match="by: no column 'brand'"):
        on.survey(SYSTEM, rows, METERED, units="IP", by="brand")


def test_the_command_surveys_a_csv_file(tmp_path, capsys):
    rows = fleet(4).assign(power=2370.0)
    rows.to_csv(tmp_path / "fleet.csv", index=False)
    command = ["survey", str(tmp_path / "fleet.csv"), "--visit", str(DEMO / "library-visit.yaml"), "--units", "IP"]
    assert main([*command, "--by", "stage", "--rows", str(tmp_path / "rows.csv")]) == 0
    assert "4 visits" in capsys.readouterr().out
    got = pd.read_csv(tmp_path / "rows.csv")
    np.testing.assert_allclose(got["ratio"], SYSTEM.prove_many(rows, METERED, units="IP")["ratio"], rtol=1e-6)
    assert main([*command, "--json", "--first-order"]) == 0
    assert json.loads(capsys.readouterr().out)["groups"][0]["visits"] == 4
    (tmp_path / "fleet.csv").write_text("airflow,airflow\n1,2\n")
    assert main(command) == 2 and "two columns" in capsys.readouterr().err
    for count, said in ((1_000, "no rows"), (1_001, "1,001 columns; accepted: at most 1,000")):
        (tmp_path / "fleet.csv").write_text(",".join(f"c{k}" for k in range(count)) + "\n")
        assert main(command) == 2 and said in capsys.readouterr().err
    (tmp_path / "fleet.csv").write_text('airflow,note\n1,"' + "x" * 200_000 + "\n")
    assert main(command) == 2 and "line 2: field larger than field limit" in capsys.readouterr().err


MISQUOTED = [
    ('"5"8', "row 1: supply_dry_bulb: text behind a closing quote: .*; accepted: quotes around the whole of a value, or none"),
    ('58"', "row 1: supply_dry_bulb: a quote or a new line within a number: '58\"'; accepted: quotes around the whole"),
    ('"58', "row 1: supply_dry_bulb: a quote that is not closed: '\"58"),
    ('"58\n"', "row 1: supply_dry_bulb: a quote or a new line within a number: '58'"),
]


@pytest.mark.parametrize(("cell", "said"), MISQUOTED)
def test_what_follows_a_closing_quote_is_refused(tmp_path, capsys, cell, said):
    file, visit = str(tmp_path / "fleet.csv"), ["--visit", str(DEMO / "library-visit.yaml"), "--units", "IP"]
    page = str(DEMO / "alder.yaml")
    (tmp_path / "fleet.csv").write_text(f"airflow,supply_dry_bulb,note\n1190,58,a\n\n1190,{cell},b\n1190,58,c\n")
    for command in (["survey", file], ["revised", page, page, file]):
        assert main([*command, *visit]) == 2
        error = capsys.readouterr().err
        assert re.search(said, error) and file in error


def test_quotes_around_the_whole_of_a_value_are_none_of_it(tmp_path):
    (tmp_path / "a.csv").write_text('airflow, "note"\n"1190", 5" pipe\n "1190" ,"5"" pipe, new"\n"1190","two\nlines"\n')
    read = _tables.read_csv(tmp_path / "a.csv", {"airflow"})
    assert read["airflow"].tolist() == [1190.0] * 3
    assert read["note"].tolist() == ['5" pipe', '5" pipe, new', "two\nlines"]
    (tmp_path / "a.csv").write_text('"air"flow,note\n1190,a\n')
    with pytest.raises(ValueError, match="a.csv: heading: column 1: text behind a closing quote"):
        _tables.read_csv(tmp_path / "a.csv", {"airflow"})


def test_what_is_off_in_two_visits_alike_is_off_in_no_change():
    """An instrument that shares its whole error with itself tells a change that it cannot tell from the truth."""
    visit = copy.deepcopy(METERED)
    later = copy.deepcopy(METERED)
    later["readings"]["supply"]["dry_bulb"] = "58.9 degF"
    own = SYSTEM.prove(later, units="IP").change_from(SYSTEM.prove(visit, units="IP"))
    for one in (visit, later):
        for instrument in one["instruments"].values():
            instrument["correlation"] = 1.0
    shared = SYSTEM.prove(later, units="IP").change_from(SYSTEM.prove(visit, units="IP"))
    assert 0.9 < shared.ratio < 1.0 and shared.less > own.less > 0.5
    assert shared.ratio_u < 0.5 * shared.apart_u and shared.ratio_u < own.ratio_u < own.apart_u
    # Apart: the two relative uncertainties in quadrature, to first order.
    before, after = SYSTEM.prove(visit), SYSTEM.prove(later)
    apart = own.ratio * np.hypot(before.ratio_u / before.ratio, after.ratio_u / after.ratio)
    assert own.apart_u == pytest.approx(apart, rel=0.05)
    with pytest.raises(ValueError, match="earlier"):
        SYSTEM.prove(visit).change_from(on.parse(SYSTEM.write().replace("Alder three-ton", "Another")).prove(visit))


def test_a_column_named_as_an_answer_is_refused():
    with pytest.raises(ValueError, match="a column 'ratio', which is what an answer is called"):
        SYSTEM.prove_many(fleet(2).assign(ratio=1.0), METERED, units="IP", draws=False)


def test_a_survey_of_parts_is_that_of_the_whole():
    pa = pytest.importorskip("pyarrow")
    rows = fleet(30, seed=3).reset_index(drop=True).assign(installer=["north", "south", "east"] * 10)
    rows.loc[17, "airflow"] = np.nan
    how = dict(units="IP", by=("installer", "match"), draws=False)
    whole = on.survey(SYSTEM, rows, METERED, **how)
    batches = pa.Table.from_pandas(rows).to_batches(max_chunksize=7)
    assert len(batches) == 5
    for parts in ((rows[k : k + 11] for k in range(0, 30, 11)), iter(batches)):
        found = on.survey(SYSTEM, parts, METERED, **how)
        assert found.table is None and found.problems == whole.problems
        assert (17, "airflow", "not_given") in found.problems
        assert found.groups == whole.groups and found.report() == whole.report()
        assert found.shares == pytest.approx(whole.shares, rel=1e-12)
    with pytest.raises(ValueError, match="no rows"):
        on.survey(SYSTEM, [rows[:0]], METERED, **how)
    with pytest.raises(TypeError, match="frame: 'fleet.csv' is no DataFrame"):
        on.survey(SYSTEM, "fleet.csv", METERED, **how)


def test_partitions_of_dask_on_a_local_cluster_have_the_digits_of_one_table():
    dd = pytest.importorskip("dask.dataframe")
    distributed = pytest.importorskip("distributed")
    rows = fleet(3000, seed=4).assign(match=lambda rows: np.where(rows["airflow"] > 1200.0, "indoor A", "indoor Z"))
    how = dict(units="IP", draws=False)
    expected = SYSTEM.prove_many(rows, METERED, **how)
    table = dd.from_pandas(rows, npartitions=4, sort=False)
    with (
        distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None) as cluster,
        distributed.Client(cluster),
    ):
        proved = SYSTEM.prove_many(table, METERED, **how)
        assert isinstance(proved, dd.DataFrame) and list(proved.columns) == list(expected.columns)
        got = proved.compute()
        found = on.survey(SYSTEM, table, METERED, by="match", **how)
        few = SYSTEM.prove_many(table[table["machine"] == "machine 5"], METERED, **how).compute()  # of most partitions no row
        flipped = on.revised(SYSTEM, REVISION, table, METERED, **how)
        one = on.revised(SYSTEM, REVISION, table[table["machine"] == "machine 5"], METERED, **how)
        with pytest.raises(ValueError, match="frame: no rows"):
            on.revised(SYSTEM, REVISION, table[table["airflow"] < 0.0], METERED, **how)
    assert list(got.index) == list(rows.index) and list(few.index) == ["row 5"]
    for name in expected:
        assert got[name].astype(object).equals(expected[name].astype(object)), name
    assert found.report() == on.survey(SYSTEM, rows, METERED, by="match", **how).report()
    whole = on.revised(SYSTEM, REVISION, rows, METERED, **how)
    assert flipped == whole and one.visits == 1 and {one.row // 750 for one in whole.flips} == {0, 1, 2, 3}  # of each partition


def test_duckdb_proves_in_sql_over_parquet(tmp_path):
    duckdb = pytest.importorskip("duckdb")
    rows = fleet(5000, seed=5).assign(system="alder")
    rows.loc["row 1", "airflow"] = np.nan
    rows.to_parquet(tmp_path / "visits.parquet")
    how = dict(units="IP", draws=False, columns=("ratio", "share_of_airflow"))
    asked = tuple(PLACES)[:8] + ("elevation", "line_length", "line_suction", "stage", "match", "system")
    asked = tuple(name for name in asked if name in rows)
    with duckdb.connect() as connection:
        on.prove_in_duckdb(connection, {"alder": SYSTEM}, METERED, asked=asked, **how)
        table = f"SELECT machine, prove({', '.join(asked)}) AS proof FROM '{tmp_path / 'visits.parquet'}'"
        got = connection.execute(f"SELECT machine, unnest(proof) FROM ({table})").df().set_index("machine")
        (counted,) = connection.execute(f"SELECT count(proof.ratio) FROM ({table})").fetchone()
    expected = SYSTEM.prove_many(rows.drop(columns="system"), METERED, **how).set_index("machine").loc[got.index]
    for name in ("ratio", "share_of_airflow"):
        np.testing.assert_array_equal(got[name], expected[name])
    assert counted == expected["ratio"].notna().sum() < 5000
    for name in ("outcome", "reason", "about", "suspect", "method", "next"):
        assert list(got[name].astype(object).fillna("")) == list(expected[name].astype(object).fillna("")), name
    with duckdb.connect() as connection, pytest.raises(ValueError, match="asked: 'air_flow'; accepted: airflow, "):
        on.prove_in_duckdb(connection, SYSTEM, METERED, asked=("air_flow",), units="IP")


def test_what_a_revised_page_makes_of_decisions_that_were_taken(tmp_path, capsys):
    """Against proofs of each row by either page; the places that changed are those of `collate`."""
    rows = fleet(40).assign(
        stage=np.where(np.arange(40) < 36, "high", "low"), airflow=1060.0, return_dry_bulb=80.0, return_relative_humidity=0.5, supply_relative_humidity=0.85, elevation=1000.0,
        line_length=50.0, supply_dry_bulb=np.linspace(55, 64, 40), outdoor_dry_bulb=95.0,
    )  # fmt: skip
    rows.loc["row 3", "supply_dry_bulb"] = np.nan
    found = on.revised(SYSTEM, REVISION, rows, METERED, units="IP")
    before, after = (
        system.prove_many(rows, METERED, units="IP", columns=("ratio", "probability")) for system in (SYSTEM, REVISION)
    )
    flipped = np.flatnonzero(before["outcome"].astype(object).fillna("") != after["outcome"].astype(object).fillna(""))
    assert [one.row for one in found.flips] == flipped.tolist() and len(flipped) > 0
    assert found.visits == 40 and len(flipped) <= found.moved == 35  # not the other stage, nor the row without an answer
    for one in found.flips:
        assert (one.before, one.after) == (before["outcome"].iloc[one.row], after["outcome"].iloc[one.row])
        assert one.expected == before["ratio"].iloc[one.row] / after["ratio"].iloc[one.row] < 1
    table = found.to_pandas()
    assert table.index.tolist() == flipped.tolist() and table["after"].tolist() == after["outcome"].iloc[flipped].tolist()
    np.testing.assert_array_equal(table["ratio_after"], after["ratio"].iloc[flipped])
    assert [str(one) for one in found.changed] == [str(one) for one in on.collate(SYSTEM, REVISION).differences]
    assert f"{len(flipped)} with another outcome" in found.report() and "ewb 67 degF: total 34.0 MBh | 33.0 MBh" in found.report()
    none = on.revised(SYSTEM, SYSTEM, rows, METERED, units="IP")
    assert (none.moved, none.flips, none.changed) == (0, [], []) and none.to_pandas().empty

    for name, system in (("before", SYSTEM), ("after", REVISION)):
        system.write(tmp_path / f"{name}.yaml")
    rows.to_csv(tmp_path / "fleet.csv", index=False)
    files = [str(tmp_path / name) for name in ("before.yaml", "after.yaml", "fleet.csv")]
    assert main(["revised", *files, "--visit", str(DEMO / "library-visit.yaml"), "--units", "IP", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [one["row"] for one in told["flips"]] == flipped.tolist() and len(told["changed"]) == len(found.changed)
    whole = json.loads(found.to_json())
    assert whole["told"] == "Revised" and whole["moved"] == 35 and whole["flips"] == told["flips"]
    again = pickle.loads(pickle.dumps(found))
    assert again == found and hash(again) == hash(found) != hash(none)


@pytest.mark.parametrize(
    ("there", "here", "said"),
    [
        ("match: indoor A", "match: indoor B", "match: indoor A ('Library, .*'), indoor B ('Another house')"),
        ("4690 ft", "100 ft", "elevation: 1430 m ('Library, .*'), 30.48 m ('Another house')"),
        ("length: 50 ft", "length: 90 ft", "line set: 15.24 m of 19.05 mm, lift 0 m .*, 27.43 m of"),
    ],
)
def test_visits_to_unlike_machines_are_no_seasons(there, here, said):
    """Another house in another climate came out as what had changed at one machine."""
    first = (DEMO / "library-visit.yaml").read_text(encoding="utf-8")
    assert there in first and "58.4 degF" in first
    other = first.replace(there, here).replace("Library, reading room (invented)", "Another house").replace("2026-07", "2027-07")
    earlier, later = (SYSTEM.prove(on.Visit.parse(text)) for text in (first, other))
    said = "visits to unlike machines: " + said.replace("(", "[(]").replace(")", "[)]")
    with pytest.raises(on.InputError, match=said + ".*; accepted: visits to one machine"):
        on.seasons([earlier, later])
    with pytest.raises(on.InputError, match=said):
        later.change_from(earlier)


def test_seasons_tell_what_is_not_alike_from_visit_to_visit():
    first = (DEMO / "library-visit.yaml").read_text(encoding="utf-8")
    other = first.replace("stage: high", "stage: low").replace("2026-07", "2027-07").replace("Library, reading", "The reading")
    found = on.seasons([SYSTEM.prove(on.Visit.parse(text)) for text in (first, other)])
    assert [one.stage for one in found] == [row["stage"] for row in found.to_rows()] == ["high", "low"]
    assert "2027-07-14  stage low, The reading room (invented), " in found.report() and found[1].since_last is not None
    alike = on.seasons([SYSTEM.prove(on.Visit.parse(text)) for text in (first, first.replace("2026-07", "2027-07"))])
    assert "stage" not in alike.report() and "Library" not in alike.report()
    for wrong in ([3], 3, [found]):
        with pytest.raises(TypeError, match="proofs: .* is no proof; accepted: what System.prove gives"):
            on.seasons(wrong)


def test_season_to_season_by_mode(tmp_path, capsys):
    def visit(file, date, supply):
        out = yaml.safe_load((DEMO / file).read_text())
        out["date"] = date
        out["readings"]["supply"]["dry_bulb"] = supply
        return out

    visits = [
        visit("library-visit.yaml", "2028-07-01", "60.4 degF"),
        visit("library-heating-visit.yaml", "2027-01-10", "100.6 degF"),
        visit("library-visit.yaml", "2026-07-14", "58.4 degF"),
        visit("library-visit.yaml", "2027-07-02", "58.9 degF"),
    ]
    proofs = [SYSTEM.prove(on.Visit(one)) for one in visits]
    found = on.seasons(proofs)
    assert [(one.mode, one.date[:4]) for one in found] == [
        ("cooling", "2026"),
        ("cooling", "2027"),
        ("cooling", "2028"),
        ("heating", "2027"),
    ]
    first, second, third, heating = found
    assert first.since_last is first.since_first is heating.since_last is None
    assert second.since_last == second.since_first == proofs[3].change_from(proofs[2])
    assert third.since_last == proofs[0].change_from(proofs[3]) and third.since_first == proofs[0].change_from(proofs[2])
    assert third.since_first.less > third.since_last.less > 0.5
    frame = found.to_pandas()  # once more by pandas, from the proofs' own ratios
    own = pd.DataFrame([(one.visit.mode, one.visit.date, one.ratio) for one in proofs], columns=["mode", "date", "ratio"])
    own = own.sort_values(["mode", "date"], ignore_index=True)
    by_mode = own.groupby("mode")["ratio"]
    pd.testing.assert_frame_equal(frame[["mode", "date", "ratio"]], own)
    np.testing.assert_allclose(frame["since_last_ratio"], by_mode.pct_change() + 1, rtol=1e-12)
    first = by_mode.transform("first").where(by_mode.cumcount() > 0)
    np.testing.assert_allclose(frame["since_first_ratio"], own["ratio"] / first, rtol=1e-12)
    assert frame["since_last_less"].tolist()[1:3] == [second.since_last.less, third.since_last.less]
    assert pickle.loads(pickle.dumps(found)) == found

    paths = []
    for k, one in enumerate(visits):
        paths.append(tmp_path / f"{k}.yaml")
        paths[-1].write_text(json.dumps(one))
    command = ["seasons", *map(str, paths), "--system", str(DEMO / "alder.yaml")]
    assert main(command) == 0
    out = capsys.readouterr().out
    assert (
        out.startswith("cooling:\n  2026-07-14  undecided")
        and out.count("since the last") == 2
        and out.count("since the first") == 1
    )
    assert main([*command, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["seasons"][2]["since_last"]["less"] == third.since_last.less
    del visits[0]["date"]
    with pytest.raises(ValueError, match="has no date"):
        on.seasons([SYSTEM.prove(on.Visit(visits[0]))])
    with pytest.raises(ValueError, match="one or more"):
        on.seasons([])
    with pytest.raises(ValueError, match="of one"):
        other = on.parse(SYSTEM.write().replace("Alder three-ton", "Another"))
        on.seasons([proofs[0], other.prove(on.Visit(visits[1]))])
