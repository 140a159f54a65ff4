"""What is kept of a proof."""

import base64
import html.parser
import json
import re
import shutil
from pathlib import Path

import pytest
from chromium import Chromium

import offnominal as on
from offnominal.__main__ import main

pytest.importorskip("jinja2")

DEMO = Path(__file__).resolve().parents[2] / "tables/demo"
VISIT = DEMO / "library-visit.yaml"


@pytest.fixture(scope="module")
def system():
    return on.load(DEMO / "alder.yaml")


@pytest.fixture(scope="module")
def record(system):
    return system.prove(VISIT, units="IP").record()


class Page(html.parser.HTMLParser):
    """What a page is made of: tags, their attributes, and the text that a reader sees or hears, in order."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.text, self._hidden = [], [], [], 0
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += attributes
        self._hidden += tag == "style"

    def handle_endtag(self, tag):
        self._hidden -= tag == "style"

    def handle_data(self, data):
        if not self._hidden and data.strip():
            self.text.append(" ".join(data.split()))


def test_the_page_says_the_verdict_first_and_asks_for_nothing(record):
    page = Page(record.html())
    assert page.text[1:4] == ["Library, reading room (invented) · 2026-07-14", page.text[2], "undecided"]
    order = ["undecided", "What was read", "What it should deliver", "What it delivers", "Evidence", "Notes", "Cautions"]
    places = [page.text.index(heading) for heading in order]
    assert places == sorted(places)
    assert "script" not in page.tags and not {"src", "href", "onload", "onclick"} & {name for name, _ in page.attributes}
    assert "http" not in record.html() and "url(" not in record.html()
    assert any("certifies nothing" in text for text in page.text)


def test_numbers_on_the_page_are_those_of_the_proof(record, system):
    proof = system.prove(VISIT, units="IP")
    text = re.sub(r"(?<=\d) (?=\d{3})", "", " ".join(Page(record.html()).text))
    assert f"{proof.ratio:.3f}" in text and f"total capacity {proof.expected.total_capacity:.0f} Btu/h," in text
    assert f"{proof.delivered.total_capacity:.0f} Btu/h" in text
    assert "76.6 degF" in text  # as typed
    assert "station pressure 12.37 psia" in text
    older = on.Record({name: part for name, part in record.data.items() if name != "station_pressure"})
    assert "12.37 psia" not in older.html() and older.recompute() == []
    assert record.data["visit"]["sha256"] in text


def test_nothing_from_a_file_reaches_the_page_unescaped(system):
    visit = on.Visit.parse(
        VISIT.read_text(encoding="utf-8")
        .replace("name: Library, reading room", "name: '<script>alert(1)</script>")
        .replace("(invented)\n", "(invented)'\n", 1)
    )
    page = system.prove(visit, units="IP").record().html()
    assert "<script" not in page and "&lt;script&gt;alert(1)" in page


def test_a_record_gives_the_same_digits(record, tmp_path):
    path = tmp_path / "library.html"
    record.write(path)
    read = on.read_record(tmp_path / "library.json")
    assert read == record and read.recompute() == []
    assert read.data["proof"]["ratio"] == record.data["proof"]["ratio"]


def test_a_record_keeps_what_changed_since_earlier_visits(system, tmp_path, capsys):
    """The visits themselves are in it, so that the change is computed again; a season that was edited is told."""
    text = VISIT.read_text(encoding="utf-8")
    before = tmp_path / "before.yaml"
    before.write_text(
        text.replace("2026-07-14", "2025-07-10").replace("dry_bulb: 58.4 degF", "dry_bulb: 57.9 degF"), encoding="utf-8"
    )
    earlier = system.prove(before, units="IP")
    proof = system.prove(VISIT, units="IP")
    kept = proof.record(earlier=[earlier])
    change = proof.change_from(earlier)
    assert change.ratio < 1 and kept.data["seasons"] == on.seasons([earlier, proof]).to_rows()
    assert kept.data["seasons"][1]["since_last_ratio"] == change.ratio and kept.recompute() == []
    assert any(f"since the last {100 * (change.ratio - 1):+.1f}" in text for text in Page(kept.html()).text)
    assert "seasons" not in proof.record().data and "Season to season" not in proof.record().html()
    data = kept.data
    data["seasons"][1]["since_last_less"] = 0.0
    assert [one.place for one in on.Record(data).recompute()] == ["seasons[1].since_last_less"]
    data["earlier"][0]["text"] += "\n"
    with pytest.raises(on.InputError, match=r"earlier\[0\]: the text in the record"):
        on.Record(data).recompute()

    page = tmp_path / "kept.html"
    command = ["prove", str(VISIT), "--units", "IP", "--earlier", str(before)]
    assert main([*command, "--record", str(page)]) == 4 and "Season to season" in page.read_text(encoding="utf-8")
    assert main(["recompute", str(tmp_path / "kept.json")]) == 0
    capsys.readouterr()
    assert main(command) == 2 and "--earlier: without --record" in capsys.readouterr().err


def test_a_record_says_what_changed(record):
    data = record.data
    data["proof"]["ratio"] += 0.01
    data["proof"]["budget"][0]["share"] = 0.5
    changed = on.Record(data).recompute()
    assert [change.place for change in changed] == ["ratio", "budget[0].share"]
    data = record.data
    data["visit"]["text"] = data["visit"]["text"].replace("76.6", "77.6")
    with pytest.raises(on.InputError, match="visit: the text in the record is not the one whose fingerprint it keeps"):
        on.Record(data).recompute()


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda data: data.update(offnominal="record/2"), "a record of a newer version needs that version"),
        (lambda data: data.pop("offnominal"), "not a record"),
        (lambda data: data.update(offnominal="x" * 1000), r"offnominal: 'x{56}\.\.\.; accepted: 'record/1'"),
        (lambda data: data["visit"].pop("text"), "visit.text missing in the record"),
        (lambda data: data["visit"].update(text="x" * (4 << 20)), "more than 4,194,304 bytes in a file"),
    ],
)
def test_what_is_no_record_is_refused(record, tmp_path, change, message):
    data = record.data
    change(data)
    path = tmp_path / "record.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    with pytest.raises(on.InputError, match=message):
        on.read_record(path)


def test_a_record_that_could_not_be_read_again_is_not_written(record, tmp_path):
    data = record.data
    data["system"]["text"] += "#" * (4 << 20)
    with pytest.raises(ValueError, match="accepted: at most 4,194,304"):
        on.Record(data).write(tmp_path / "x.html")
    assert not [*tmp_path.iterdir()]


def test_nothing_that_is_there_is_lost(record, tmp_path):
    (tmp_path / "out.json").write_text("mine")
    with pytest.raises(FileExistsError):
        record.write(tmp_path / "out.html")
    with pytest.raises(FileExistsError, match="out.json is there already and is no record's"):
        record.write(tmp_path / "out.html", force=True)
    assert not (tmp_path / "out.html").exists() and (tmp_path / "out.json").read_text() == "mine"
    (tmp_path / "out.json").unlink()
    record.write(tmp_path / "out.html")
    record.write(tmp_path / "out.html", force=True)
    (tmp_path / "out.html").write_text("<html>mine</html>")
    with pytest.raises(FileExistsError, match="out.html is there already and is no record's"):
        record.write(tmp_path / "out.html", force=True)
    with pytest.raises(FileNotFoundError, match="no such folder.*nowhere"):
        record.write(tmp_path / "nowhere/out.html")
    with pytest.raises(ValueError, match="ends in .html"):
        record.write(tmp_path / "out.txt")


def test_a_proof_without_a_ratio_is_kept_too(system):
    text = VISIT.read_text(encoding="utf-8").replace("steady: true", "steady: false")
    record = system.prove(on.Visit.parse(text), units="SI").record()
    page = Page(record.html())
    assert "not comparable" in page.text and "Evidence" not in page.text
    assert record.recompute() == []
    with pytest.raises(AttributeError, match="units are needed"):
        system.prove(VISIT).record()


def test_the_command_keeps_and_recomputes(tmp_path, capsys):
    shutil.copytree(DEMO, tmp_path / "demo")
    visit, out = str(tmp_path / "demo/library-visit.yaml"), str(tmp_path / "out.html")
    assert main(["prove", visit, "--units", "IP", "--record", out]) == 4
    assert main(["prove", visit, "--units", "IP", "--record", out]) == 2
    assert "out.html is there already; --force replaces it" in capsys.readouterr().err
    assert main(["prove", visit, "--units", "IP", "--record", str(tmp_path / "nowhere/out.html")]) == 2
    assert capsys.readouterr().err == f"offnominal: {tmp_path / 'nowhere'}: no such folder\n"
    assert main(["recompute", str(tmp_path / "out.json"), "--csv"]) == 0
    assert capsys.readouterr().out == "place,before,now\n"
    (tmp_path / "binary.json").write_bytes(b"\x00\xff\xfe")
    assert main(["recompute", str(tmp_path / "binary.json")]) == 2
    assert "binary.json: not valid UTF-8; accepted: " in capsys.readouterr().err
    assert main(["recompute", str(tmp_path / "out.json")]) == 0
    assert "the same digits" in capsys.readouterr().out
    data = json.loads((tmp_path / "out.json").read_text(encoding="utf-8"))
    data["proof"]["ratio"] = 0.5
    (tmp_path / "out.json").write_text(json.dumps(data), encoding="utf-8")
    assert main(["recompute", str(tmp_path / "out.json")]) == 1
    assert "ratio: 0.5 in the record" in capsys.readouterr().out


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    program = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "chromium-headless-shell"))), None)
    if program is None:
        pytest.skip("no chromium")
    out = Chromium(program, tmp_path_factory.mktemp("browser"))
    yield out
    out.close()


@pytest.mark.parametrize("visit", ["library-visit.yaml", "library-heating-visit.yaml"])
def test_in_a_browser_it_asks_for_nothing_fits_a_phone_and_prints_to_two_pages(system, visit, browser, tmp_path):
    system.prove(DEMO / visit, units="IP").record().write(tmp_path / "out.html")
    browser.requests.clear(), browser.errors.clear()
    browser("Emulation.setDeviceMetricsOverride", width=390, height=844, deviceScaleFactor=1, mobile=True)
    browser("Page.navigate", url=(tmp_path / "out.html").as_uri())
    browser.until("document.readyState === 'complete' && document.querySelector('h1') !== null")
    assert browser.run("document.documentElement.scrollWidth") == 390
    for width, height in ((8.27, 11.69), (8.5, 11.0)):  # A4 and Letter, inches
        printed = base64.b64decode(browser("Page.printToPDF", paperWidth=width, paperHeight=height)["data"])
        assert 1 <= len(re.findall(rb"/Type\s*/Page\b", printed)) <= 2
    heard = [
        node["name"]["value"]
        for node in browser("Accessibility.getFullAXTree")["nodes"]
        if node["role"]["value"] in ("heading", "region")
    ]
    order = ["verdict", "What was read", "What it should deliver", "Notes", "What was not tested", "Cautions"]
    assert [name for name in heard if name in order] == order
    assert set(browser.requests) == {(tmp_path / "out.html").as_uri()} and browser.errors == []
