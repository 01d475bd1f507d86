"""Worksheets as pages: the title block on each paper, nothing for a screen reader to stumble over."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from oktocover.cli.main import group

MAIN = Path(__file__).resolve().parents[2] / "examples" / "ceramics-studio" / "site.yaml"
PHONE, DESK = (390, 844), (1280, 900)


@pytest.fixture(scope="module")
def sheets(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sheets of the mechanical room, with that of its combustion air and those of its terminals."""
    done = CliRunner().invoke(
        group, ["worksheet", str(MAIN), "mechanical", "--format", "html", "--today", "2026-06-15"]
    )
    assert done.exit_code == 0, done.output
    file = tmp_path_factory.mktemp("sheets") / "sheets.html"
    file.write_text(done.stdout, encoding="utf-8")
    return file


@pytest.mark.parametrize(("size", "dark"), [(PHONE, True), (DESK, False)], ids=["phone, dark", "desk, light"])
def test_axe_finds_nothing_and_no_text_stands_outside(
    open_page: Any, violations: Any, outside: Any, sheets: Path, size: tuple[int, int], dark: bool
) -> None:
    page = open_page(sheets, size, dark)
    assert violations(page) == []
    assert outside(page) == []


@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no pdftotext (Debian: apt-get install poppler-utils)")
def test_each_sheet_begins_a_paper_of_its_own(open_page: Any, sheets: Path, tmp_path: Path) -> None:
    page = open_page(sheets)
    count = page.locator("article.sheet").count()
    assert count > 2
    pdf = tmp_path / "sheets.pdf"
    page.pdf(path=str(pdf), prefer_css_page_size=True)
    text = subprocess.run(["pdftotext", "-layout", str(pdf), "-"], capture_output=True, text=True, check=True).stdout
    pages = text.split("\f")
    assert sum("site.yaml, content" in " ".join(one.split()) for one in pages) == count
