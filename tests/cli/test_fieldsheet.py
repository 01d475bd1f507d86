"""`oktocover fieldsheet` and `--with` as a person meets them."""

from __future__ import annotations

import re
from pathlib import Path

from .conftest import ROOT, TODAY, Ran, Run, write

SITE = """\
site: Line
permit: {occupancy: accessory}
described: {electrical: none, fuel gas: yes, fuel burning appliances: none, rated walls: none}
gas systems: {house: {gas: natural gas, working pressure: 7 in w.c.}}
gas meters: {GM-1: {of: house}}
gas pipes: {G-1: {from: GM-1, size: 3/4 in, length: 20 ft}}
gas tests: {GT-1: {of: house, medium: air, gauge: dial}}
"""
ANSWERS = """\
site: Line
by: A.B.
day: 2026-06-14
answers:
  - {element: GT-1, fact: source off, value: yes}
  - {element: GT-1, fact: pressure, value: 2.5 psi, known: tested}
  - {element: GT-1, fact: ended, said: ask}
"""
VISIT = ("--for", "gas pressure test", "--today", TODAY)


def complaints(ran: Ran) -> list[str]:
    """What was said on the error stream, but for how far a slow check was."""
    return [line for line in ran.err.splitlines() if not line.startswith("checking: ")]


def test_the_sheet_is_printed_for_one_visit_and_written_to_a_file(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    ran = run("fieldsheet", *VISIT)
    assert ran.code == 0 and complaints(ran) == []
    assert ran.out.startswith("FIELD SHEET: Line, 15 June 2026")
    assert "GAS PRESSURE TEST:" in ran.out and "ROUGH GAS" not in ran.out
    ran = run("fieldsheet", *VISIT, "--format", "html", "--out", "sheet.html")
    page = Path("sheet.html").read_text(encoding="utf-8")
    assert ran.out.startswith("sheet.html: ") and page.startswith("<!DOCTYPE html>")
    assert "http://" not in page and "https://" not in page
    assert "there is no visit 'gas test'" in run("fieldsheet", "--for", "gas test").err


def test_two_runs_give_the_same_bytes(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    for form in ("text", "html", "yaml"):
        assert run("fieldsheet", *VISIT, "--format", form).out == run("fieldsheet", *VISIT, "--format", form).out


def test_answers_are_laid_into_check_card_and_sheet_and_the_site_stays_as_it_is(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    write(Path("answers.yaml"), ANSWERS)
    before, after = run("fieldsheet", *VISIT), run("fieldsheet", *VISIT, "--with", "answers.yaml")
    assert "Pump or bottle shut off" in before.out and "Pump or bottle shut off" not in after.out
    assert "last time: ask (A.B., 2026-06-14)" in after.out
    checked = run("check", "site.yaml", "--for", "gas pressure test", "--with", "answers.yaml", "--all")
    assert "measured 2.5 psi, needed at least 3 psi" in " ".join(checked.out.split())
    assert "answers.yaml:7" in checked.out
    assert complaints(run("card", "--with", "answers.yaml", "--today", TODAY)) == []
    assert Path("site.yaml").read_text(encoding="utf-8") == SITE


def test_the_answers_in_the_readme_are_laid_in(run: Run) -> None:
    """Into the site that the README writes above them, with boxes."""
    blocks = re.findall(r"```yaml\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.S)
    boxes = "boxes: {B-1: {space: studio}, B-2: {space: studio}, B-3: {space: studio}, B-4: {space: studio}}\n"
    site = next(one for one in blocks if "spaces:" in one).replace("height: 44 in", "what: 5-20 duplex")
    site = site.replace("fuel gas: none, ", "").replace("mount: wall, what: 5-20 duplex", "mount: wall")
    write(Path("site.yaml"), site + boxes)
    write(Path("answers.yaml"), next(one for one in blocks if "answers:" in one))
    ran = run("check", "site.yaml", "--with", "answers.yaml", "--all")
    assert ran.code in (1, 3), ran.err
    assert "cannot reach (A.B., 2026-06-14): free conductor of B-3 (behind the panel)" in " ".join(ran.out.split())


def test_several_files_may_be_given_and_a_conflict_is_an_error(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    write(Path("answers.yaml"), ANSWERS)
    write(Path("more.yaml"), ANSWERS.replace("A.B.", "C.D.").replace("2.5 psi", "3 psi"))
    ran = run("check", "site.yaml", "--with", "answers.yaml", "--with", "more.yaml")
    assert ran.code == 2
    assert "'3 psi' (C.D., 2026-06-14) here, and '2.5 psi' (A.B., 2026-06-14) at answers.yaml:6:" in ran.err
    assert run("check", "site.yaml", "--with", "no-such.yaml").code == 2


def test_answers_may_lie_in_a_folder_and_are_no_part_of_a_site_of_several_files(run: Run) -> None:
    Path("job").mkdir()
    write(Path("job/site.yaml"), SITE)
    write(Path("job/answers-line-2026-06-14-ab-0915.yaml"), ANSWERS)
    asked = run("fieldsheet", "job", *VISIT)
    assert complaints(asked) == [] and "Pump or bottle shut off" in asked.out
    assert "Pump or bottle shut off" not in run("fieldsheet", "job", *VISIT, "--with", "job").out
    Path("none").mkdir()
    assert "the folder 'none' holds no file of answers" in run("fieldsheet", "job", *VISIT, "--with", "none").err


def test_the_full_form_of_a_site_takes_the_answers_over(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    write(Path("answers.yaml"), ANSWERS.replace(", said: ask", ", value: 2026-06-12 9:21"))
    whole = run("show", "site.yaml", "--expanded", "--with", "answers.yaml")
    assert complaints(whole) == [] and "2026-06-12 9:21" in whole.out and "A.B." in whole.out
    laid_in = run("check", "site.yaml", "--for", "gas pressure test", "--all", "--with", "answers.yaml")
    write(Path("site.yaml"), whole.out)
    taken_over = run("check", "site.yaml", "--for", "gas pressure test", "--all")
    verdicts = [
        re.sub(r"site\.yaml:[\d, ]+|RESTS ON WORD.*", "", " ".join(one.out.split())) for one in (laid_in, taken_over)
    ]
    assert laid_in.code == taken_over.code and verdicts[0] == verdicts[1]
    assert "2.5 psi" in run("show", "site.yaml", "GT-1").out


def test_an_empty_file_of_answers_can_be_filled_with_an_editor(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    text = run("fieldsheet", *VISIT, "--format", "yaml").out
    filled = text.replace("by:          # initials", "by: A.B.").replace(
        "fact: source off, known: looked, value: ", "fact: source off, known: looked, value: yes"
    )
    write(Path("answers.yaml"), filled)
    assert "Pump or bottle shut off" not in run("fieldsheet", *VISIT, "--with", "answers.yaml").out
    write(Path("answers.yaml"), text)
    assert "'by' is missing" in run("fieldsheet", *VISIT, "--with", "answers.yaml").err


def test_initials_of_answers_are_left_out_with_the_other_people(run: Run) -> None:
    write(Path("site.yaml"), SITE)
    write(Path("answers.yaml"), ANSWERS)
    assert "A.B." in run("card", "--with", "answers.yaml", "--today", TODAY).out
    assert "A.B." not in run("card", "--with", "answers.yaml", "--without-people", "--today", TODAY).out
