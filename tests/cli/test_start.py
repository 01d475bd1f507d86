"""`start`: at most twelve questions, whatever is answered loads, nothing is overwritten, no measurement is invented."""

from __future__ import annotations

import itertools
import re
from pathlib import Path
from typing import Any

import pytest

from oktocover.reading.site_file import read_site
from oktocover.site.root import element_lists

HEAD = ["Studio", "Tallow Creek", "accessory", "2026-05-03", "bare framing"]
SYSTEMS = 7


def typed(*answers: str) -> str:
    return "".join(f"{answer}\n" for answer in answers)


def test_there_are_at_most_twelve_questions(run: Any) -> None:
    ran = run("start", typed=typed(*HEAD, *["yes"] * SYSTEMS))
    assert ran.code == 0
    asked = re.findall(r"(?:^|: )(\d+)\. ", ran.out)
    assert asked == [str(number) for number in range(1, 13)]


def test_every_combination_of_answers_loads(run: Any) -> None:
    """All 3^7 answers about systems load; a sample of them, and each head, goes through a whole check: exit code 3."""
    for number, said in enumerate(itertools.product(("yes", "no", "not sure"), repeat=SYSTEMS)):
        Path("s.yaml").unlink(missing_ok=True)
        ran = run("start", "s.yaml", typed=typed(*HEAD, *said))
        assert ran.code == 0, ran.err
        assert read_site(Path("s.yaml")).site.permit.jurisdiction == "Tallow Creek"
        if number % 97 == 0 or len(set(said)) == 1:
            assert run("check", "s.yaml").code == 3, said
            assert run("check", "s.yaml", "--for", "all").code == 3, said


@pytest.mark.parametrize("occupancy", ["one family", "two family", "accessory", "business", "other", "not sure"])
@pytest.mark.parametrize("taped", ["bare framing", "finished face", "not sure"])
def test_every_head_loads(occupancy: str, taped: str, run: Any) -> None:
    ran = run("start", typed=typed("not sure", "not sure", occupancy, "not sure", taped, *["not sure"] * SYSTEMS))
    assert ran.code == 0, ran.err
    assert run("check", "site.yaml").code == 3


def test_it_writes_no_measurement_and_no_statement(run: Any) -> None:
    run("start", typed=typed(*HEAD, *["yes"] * SYSTEMS))
    site = read_site(Path("site.yaml")).site
    filled = {name for name in element_lists() if getattr(site, name)}
    assert filled <= {"levels"}
    assert all(value is None for one in site.levels.values() for value in one.model_dump().values())
    assert site.looked == [] and site.records == [] and site.alternates == []
    written = [line.partition("#")[0] for line in Path("site.yaml").read_text(encoding="utf-8").splitlines()]
    assert not [line for line in written if re.search(r"\d", line) and "applied: 2026-05-03" not in line]


def test_it_never_overwrites(run: Any) -> None:
    Path("site.yaml").write_text("mine", encoding="utf-8")
    ran = run("start", typed=typed(*HEAD, *["yes"] * SYSTEMS))
    assert (ran.code, ran.out) == (2, "")
    assert "is there already" in ran.err and "do:" in ran.err
    assert Path("site.yaml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("answered", range(12))
def test_an_end_in_the_middle_leaves_nothing(answered: int, run: Any) -> None:
    ran = run("start", "new/site.yaml", typed=typed(*[*HEAD, *["yes"] * SYSTEMS][:answered]))
    assert ran.code == 130
    assert "nothing is written" in ran.err
    assert not Path("new").exists()


NAMES = {
    'My "own": #1 studio': "My 'own': #1 studio",
    "O'Neill's {shop} [x], & *y": "O'Neill's {shop} [x], & *y",
    "Werkst\u00e4tte \u30a2 \u00bd": "Werkst\u00e4tte \u30a2 \u00bd",
    "back\\slash": "backslash",
    "- dash": "- dash",
    "yes": "yes",
    "\x1b[31mred": "[31mred",
    "z" * 5_000: "z" * 120,
}


@pytest.mark.parametrize("name", NAMES, ids=lambda name: name[:12].encode("ascii", "replace").decode())
def test_names_with_marks_come_through(name: str, run: Any) -> None:
    ran = run("start", typed=typed(name, *HEAD[1:], *["no"] * SYSTEMS))
    assert ran.code == 0, ran.err
    assert read_site(Path("site.yaml")).site.site == NAMES[name]


@pytest.mark.parametrize("place", ["Tallo Creek", "a: b # c", "{x}", "\u30a2", "my-town.yaml", "y" * 3_000])
def test_a_place_nobody_has_entered_is_said_and_loads(place: str, run: Any) -> None:
    run("start", typed=typed("S", place, *HEAD[2:], *["no"] * SYSTEMS))
    text = Path("site.yaml").read_text(encoding="utf-8")
    assert "nobody has entered it" in text and "Ring the office" in text
    assert ("did you mean tallow creek?" in text) == (place == "Tallo Creek")
    assert run("check", "site.yaml").code == 3


def test_a_wrong_answer_is_asked_again(run: Any) -> None:
    answers = [
        "S",
        "not sure",
        "castle",
        "accessory",
        "yesterday",
        "03/05/2026",
        "2026-05-03",
        "framing",
        "bare framing",
    ]
    ran = run("start", typed=typed(*answers, "maybe", *["no"] * SYSTEMS))
    assert ran.code == 0, ran.err
    text = Path("site.yaml").read_text(encoding="utf-8")
    assert "applied: 2026-05-03" in text and "occupancy: accessory" in text
