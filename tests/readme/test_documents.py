"""What README.md and DEVELOPERS.md point to is there: headings, files, symbols, the version."""

import re
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
README, DEVELOPERS = "README.md", "DEVELOPERS.md"
DOCUMENTS = (README, DEVELOPERS)
# Where a name in a document may start from.
ROOTS = [CHECKOUT, CHECKOUT / "include/offnominal", CHECKOUT / "src/proof"]
CODE = {".hpp", ".ipp", ".h", ".cpp", ".py", ".pyi", ".sh", ".txt"}


def text_of(document):
    return (CHECKOUT / document).read_text(encoding="utf-8")


def without_blocks(text):
    return re.sub(r"^```.*?^```$", "", text, flags=re.M | re.S)


def anchors(document):
    """The names by which headings are linked to: small letters, no punctuation, hyphens for blanks."""
    headings = re.findall(r"^#+ (.*)$", without_blocks(text_of(document)), re.M)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


def quoted(document):
    return set(re.findall(r"`([^`\n]+)`", without_blocks(text_of(document))))


@pytest.mark.parametrize("document", DOCUMENTS)
def test_links_lead_somewhere(document):
    links = re.findall(r"\]\(([^)#]*)(?:#([^)]*))?\)", without_blocks(text_of(document)))
    assert links
    for path, anchor in links:
        assert (CHECKOUT / path).exists()
        if anchor:
            assert anchor in anchors(path or document), f"{path}#{anchor}"


def test_the_contents_have_every_section():
    headings = re.findall(r"^## (.*)$", without_blocks(text_of(README)), re.M)
    assert re.findall(r"^- \[(.*?)\]\(#", text_of(README), re.M) == [one for one in headings if one != "Contents"]


@pytest.mark.parametrize("document", DOCUMENTS)
def test_files_are_there(document):
    for name in quoted(document):
        if re.fullmatch(r"[\w./-]*(/|\.(hpp|cpp|py|sh|md|yaml|toml))", name) and not name.startswith("."):
            assert any((root / name).exists() for root in ROOTS), name


def test_every_word_of_a_footing_is_explained():
    words = re.findall(r'\{Footing::\w+, "([^"]+)"\}', (CHECKOUT / "include/offnominal/answer.hpp").read_text(encoding="utf-8"))
    row = next(line for line in text_of(README).splitlines() if line.startswith("| footing |"))
    assert len(words) > 5 and [word for word in words if f"`{word}`" not in row] == []


def test_symbols_are_there():
    """Every name in code that DEVELOPERS.md quotes stands in the code."""
    files = [
        path
        for folder in ("include", "src", "python", "tests")
        for path in (CHECKOUT / folder).rglob("*")
        if path.suffix in CODE and path != Path(__file__)
    ]
    words = set(re.findall(r"\w+", "\n".join(path.read_text(encoding="utf-8") for path in files)))
    for name in quoted(DEVELOPERS):
        if re.fullmatch(r"[A-Za-z_][\w:<>.]*", name) and not re.search(r"\.(hpp|cpp|py|md)$", name):
            assert set(re.findall(r"\w+", name)) <= words, name


def test_the_newest_heading_is_the_version():
    versions = re.findall(r"^### (\d+)\.(\d+)", text_of(README), re.M)
    header = (CHECKOUT / "include/offnominal/version.hpp").read_text(encoding="utf-8")
    assert versions[0] == tuple(re.findall(r"VERSION_(?:MAJOR|MINOR) (\d+)", header))
    assert versions == sorted(versions, key=lambda version: tuple(map(int, version)), reverse=True)
    for consumer in (CHECKOUT / "tests/consumers").rglob("CMakeLists.txt"):
        for asked in re.findall(r"find_package\(offnominal ([\d.]+)", consumer.read_text(encoding="utf-8")):
            assert asked == ".".join(versions[0])
