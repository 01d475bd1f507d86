"""The forms printed in the README fit the schema that editors use."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

README = (Path(__file__).resolve().parents[3] / "README.md").read_text("utf-8")


def test_each_form_of_the_readme_fits_the_schema(fits: Callable[[str], list[str]]) -> None:
    section = README.partition("## Write it short")[2].partition("\n## ")[0]
    forms = re.findall(r"`((?:rows|tables|typicals|circuits|assume): [^`]+|\{all: [^`]+)`", " ".join(section.split()))
    assert {form.lstrip("{").partition(":")[0] for form in forms} == {"rows", "tables", "typicals", "circuits", "all", "assume"}
    for form in forms:
        assert fits(f"looked: [{form}]" if form.startswith("{") else form) == [], form
