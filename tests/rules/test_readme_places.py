"""The places printed in rulesets/README.md are whole: each loads, and the site beside it is checked as the text says."""

import re
from pathlib import Path

from oktocover.check import check
from oktocover.findings.checked import Checked
from oktocover.quantities import read_date
from oktocover.reading.site_file import read_site
from oktocover.rules.declared_places import declared_for
from oktocover.rules.library import Library

README = (Path(__file__).resolve().parents[2] / "rulesets" / "README.md").read_text("utf-8")
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
