"""A place that changes what a place above it changed says what holds; both can."""

from pathlib import Path

import pytest

from .places import checked, finding, shelf, verdict

STATE = """
place: State
adopts: {all: {book: bk 1}}
changes:
  s: {cite: Act 1, set: {bk.height.least: 7 ft 8 in}}
"""
TOWN = """
place: Town
in: State
changes:
  t:
    cite: Ord. 1
    set: {bk.height.least: 7 ft 4 in}
"""


def problems(folder: Path, town: str, state: str = STATE, **more: str) -> list[str]:
    adopted = shelf(folder, state=state, town=town, **more).adopt(
        "town", [name.removeprefix("standards_") for name in more]
    )
    return [problem.text() for problem in adopted.rules.folded.problems]


def test_nothing_said_is_an_error_with_both_places(tmp_path: Path) -> None:
    found = problems(tmp_path, TOWN)
    assert len(found) == 1 and "is also changed by State ('s', Act 1)" in found[0]
    assert "town.yaml:6:" in found[0] and "state.yaml:4:" in found[0]


@pytest.mark.parametrize(
    ("said", "ceiling", "wanted", "amended"),
    [
        ("later wins", "7 ft 6 in", "met", "Town: Ord. 1"),
        ("later wins", "7 ft 3 in", "not met", "Town: Ord. 1"),
        ("both apply", "7 ft 6 in", "not met", "State: Act 1"),
        ("both apply", "7 ft 9 in", "met", ""),
    ],
)
@pytest.mark.parametrize("where", ["change", "head"])
def test_what_is_said_holds(tmp_path: Path, where: str, said: str, ceiling: str, wanted: str, amended: str) -> None:
    town = (
        TOWN.replace("changes:", f"stacking: {said}\nchanges:") if where == "head" else TOWN + f"    stacking: {said}\n"
    )
    adopted = shelf(tmp_path, state=STATE, town=town).adopt("town", [])
    adopted.check_every()
    found = finding(checked(adopted, ceiling=ceiling))
    assert found.verdict == wanted
    assert amended in found.amended_by[-1]


def test_both_apply_evaluates_the_stricter_town_too(tmp_path: Path) -> None:
    town = TOWN.replace("7 ft 4 in", "8 ft") + "    stacking: both apply\n"
    adopted = shelf(tmp_path, state=STATE, town=town).adopt("town", [])
    found = finding(checked(adopted, ceiling="7 ft 9 in"))
    assert found.verdict == "not met" and found.required == "at least 8 ft"


def test_other_changes_reach_both_versions(tmp_path: Path) -> None:
    """The town's exception holds in the state's version of the figure, too."""
    town = TOWN + "    stacking: both apply\n  e: {cite: Ord. 2, add: {bk.height: {unless: {warm: heated}}}}\n"
    adopted = shelf(tmp_path, state=STATE, town=town).adopt("town", [])
    assert verdict(adopted, ceiling="7 ft") == "met"


def test_a_strike_under_both_apply_leaves_what_stands_above(tmp_path: Path) -> None:
    town = TOWN.replace("set: {bk.height.least: 7 ft 4 in}", "strike: {bk.height: duty gone}")
    assert len(problems(tmp_path, town)) == 1
    adopted = shelf(tmp_path / "b", state=STATE, town=town + "    stacking: both apply\n").adopt("town", [])
    assert verdict(adopted, ceiling="7 ft 6 in") == "not met"
    adopted = shelf(tmp_path / "c", state=STATE, town=town + "    stacking: later wins\n").adopt("town", [])
    assert "bk.height" not in adopted.rules.folded.things["rules"]


def test_other_names_need_no_word(tmp_path: Path) -> None:
    for line in (
        "set: {bk.height.remedy: Other.}",
        "add: {bk.height: {unless: {warm: heated}}}",
        "strike: {bk.height.heights.kitchen: duty gone}",
    ):
        assert not problems(tmp_path / line[-6:-3], TOWN.replace("set: {bk.height.least: 7 ft 4 in}", line))


def test_what_a_place_above_added_counts(tmp_path: Path) -> None:
    state = STATE.replace(
        "set: {bk.height.least: 7 ft 8 in}", "meant: yes, add: {bk.height.heights: [office], bk.warm: {unless: {x: finished}}}"
    )
    for number, (line, count) in enumerate(
        (
            ("strike: {bk.warm.x: permission gone}", 1),
            ("add: {bk.height.heights: [hall]}", 0),
            ("set: {bk.warm.when: use == 'kitchen'}", 0),
        )
    ):
        town = TOWN.replace("set: {bk.height.least: 7 ft 4 in}", line)
        assert len(problems(tmp_path / str(number), town, state)) == count, line


def test_a_jobs_standard_is_a_layer_like_others(tmp_path: Path) -> None:
    own = "place: Own\nchanges:\n  o: {cite: Owner 1, set: {bk.height.least: 8 ft}}\n"
    town = TOWN + "    stacking: later wins\n"
    found = problems(tmp_path, town, standards_own=own)
    assert len(found) == 1 and "is also changed by Town" in found[0]
    both = own.replace("cite: Owner 1", "cite: Owner 1, stacking: both apply")
    adopted = shelf(tmp_path / "b", state=STATE, town=town, standards_own=both).adopt("town", ["own"])
    assert verdict(adopted, ceiling="7 ft 9 in") == "not met"


def test_a_shared_term_cannot_be_two_things(tmp_path: Path) -> None:
    state = STATE.replace("bk.height.least: 7 ft 8 in", "bk.low.low_line: 7 ft 8 in")
    town = TOWN.replace("bk.height.least: 7 ft 4 in", "bk.low.low_line: 7 ft 4 in") + "    stacking: both apply\n"
    assert "is shared by rules" in problems(tmp_path, town, state)[0]


def test_layers_apply_in_the_order_of_places_whatever_the_files_are_called(tmp_path: Path) -> None:
    state = STATE.replace("place: State", "place: A State")
    town = TOWN.replace("in: State", "in: A State") + "    stacking: later wins\n"
    least = {
        adopted.rules.folded.things["rules"]["bk.height"].data["limits"]["least"]
        for adopted in (
            shelf(tmp_path / "1", **{"a-state": state, "town": town}).adopt("town", []),
            shelf(tmp_path / "2", **{"town": town, "a-state": state}).adopt("town", []),
        )
    }
    assert least == {"7 ft 4 in"}
