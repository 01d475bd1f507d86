"""The places printed in rulesets/README.md are whole: each loads, and the site beside it is checked as the text says."""

import re
import shutil
from pathlib import Path

from oktocover.check import check
from oktocover.findings.checked import Checked
from oktocover.quantities import read_date
from oktocover.reading.site_file import read_site
from oktocover.rules.declared_places import declared_for
from oktocover.rules.library import Library
from oktocover.rules.prove import prove

RULESETS = Path(__file__).resolve().parents[2] / "rulesets"
README = (RULESETS / "README.md").read_text("utf-8")
DAY = read_date("2026-06-15")


def printed(heading: str) -> list[str]:
    """The YAML blocks of one section."""
    section = README.partition(f"\n## {heading}\n")[2].partition("\n## ")[0]
    return re.findall(r"```yaml\n(.*?)```", section, re.S)


def checked(folder: Path, place: str, site: str) -> Checked:
    (folder / "place.yaml").write_text(place)
    (folder / "site.yaml").write_text(site)
    library = Library()
    declared = declared_for(library, "place.yaml", beside=folder)
    adopted = library.adopt("place.yaml", [], folder)
    adopted.rules.check()
    return check(read_site(folder / "site.yaml", DAY, declared), adopted, DAY, "all")


def test_facts_a_place_declares(tmp_path: Path) -> None:
    place, site = printed("Facts a place declares")
    found = {one.rule: one for one in checked(tmp_path, place, site).findings}
    head = found["tallow-flat.drain-head"]
    assert (head.verdict, head.required, head.margin) == ("not met", "at least 5 ft", "short by 1 ft")
    assert head.remedy == "Fill the drains to at least 5 ft above the highest fitting."
    assert found["tallow-flat.meter-guard"].verdict == "met"


def test_inspections_of_a_place(tmp_path: Path) -> None:
    (place,) = printed("Inspections of a place")
    site = "permit: {jurisdiction: place.yaml}\nbuilding: {storeys: 1}\n"
    visits = {one.name: one for one in checked(tmp_path, place, site).visits}
    assert (visits["wallboard"].covers, visits["wallboard"].only_if) == (True, "no")
    test = visits["gas pressure test"]
    assert (test.notice, test.counted, test.answer_within) == ("24 h", "working days", "48 h")
    assert [line.text for line in (*test.must_be, *test.who)] == [
        "Test on with the gauge in sight",
        "Registered gas piping installer",
    ]
    assert [line.name for line in visits["final"].after] == ["insulation", "wallboard"]
    assert "rough electrical" not in [line.name for line in visits["framing"].after]


def test_cases_of_the_inspections_printed(tmp_path: Path) -> None:
    (place,) = printed("Inspections of a place")
    shutil.copytree(RULESETS, tmp_path / "rulesets", ignore=shutil.ignore_patterns("jurisdictions", "jobs"))
    (tmp_path / "rulesets" / "jurisdictions").mkdir()
    (tmp_path / "rulesets" / "jurisdictions" / "tallow-flat.yaml").write_text(place)
    proofs = {one.rule: one for one in prove(Library(tmp_path / "rulesets"), "Tallow Flat")}
    for change in ("gas test seen", "no waiting for the wiring", "guard of the meter"):
        assert (proofs[f"change {change}"].failed, proofs[f"change {change}"].not_proven) == ([], [])
