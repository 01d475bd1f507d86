"""What a finding says beside its figures: the label that tells where to stand, and the line that closes it."""

from __future__ import annotations

import pytest

import oktocover.measures.trades as trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import Judged, judge
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env
from oktocover.rules.wording import close_with, label

assert trades
RULES = {rule.id: rule for rule in RuleSet(Library().folded("ifgc 2021", "irc 2021", "nec 2020")).rules()}

SITE = """
spaces:
  mechanical: {use: mechanical, size: 6 ft x 7 ft, ceiling: 9 ft}
walls:
  W-1: {sides: [mechanical.north], exterior: yes, rating: none}
receptacles:
  R-1: {wall: mechanical.north, at: 1 ft, height: 44 in, what: 5-20 duplex}
appliances:
  BO-1: {space: mechanical, what: boiler, fuel: natural gas, draft: natural draft}
vents:
  V-1: {serves: [BO-1], material: B vent}
vent connectors:
  VC-1: {appliance: BO-1, vent: V-1, material: B vent, slope: 1/8 in per ft}
  VC-2: {appliance: BO-1, vent: V-1, material: B vent}
concealed spaces:
  K-1: {wall: mechanical.north, what: soffit, joints: 2}
"""
VIEW = SiteView(read_site_text(SITE).site)


def judged(rule: str, element: str, kind: str, item: str = "") -> Judged:
    """The verdict of one item of a rule on one subject of the site above."""
    (subject,) = [one for one in VIEW.of(kind) if one.id == element]
    (found,) = [one for one in judge(RULES[rule], Env(subject, VIEW.roots, {})) if one.name.endswith(item)]
    return found


@pytest.mark.parametrize(
    ("element", "words"),
    [
        ("K-1", "soffit K-1, mechanical, north wall"),
        ("BO-1", "boiler BO-1, mechanical"),
        ("R-1", "receptacle R-1, mechanical, north wall"),  # a configuration is no name for a thing
        ("VC-1", "vent connector VC-1"),
    ],
)
def test_labels_say_where_to_stand(element: str, words: str) -> None:
    """Common practice: what it is, its id, the room, the wall."""
    assert label(VIEW.elements[element]) == words


def test_a_label_of_its_own_is_kept() -> None:
    """A wall entry has its sides in its label already."""
    (wall,) = VIEW.of("assembly")
    assert label(wall) == "W-1, mechanical.north"


def test_what_is_not_met_is_closed_by_the_rules_own_line() -> None:
    """A slope of 1/8 in per ft where 1/4 is needed."""
    found = judged("ifgc.connector-slope", "VC-1", "vent_connector", ".rising")
    assert (found.verdict, close_with(found, "slope: 1/4 in per ft")) == ("not met", "slope: 1/4 in per ft")


def test_what_is_not_recorded_is_closed_by_the_missing_fact() -> None:
    """The fact itself, with what it means; a yes or no is asked as such."""
    slope = judged("ifgc.connector-slope", "VC-2", "vent_connector", ".rising")
    dips = judged("ifgc.connector-slope", "VC-2", "vent_connector", ".no_dip")
    assert close_with(slope, "x") == "slope: <least rise toward the vent, such as 1/4 in per ft>"
    assert close_with(dips, "x") == "dips: <yes or no>"


def test_a_fact_of_another_entry_names_that_entry() -> None:
    """The distance to the lot line belongs to the wall; the input of the boiler to the boiler, not to the room."""
    room = judged("ifgc.combustion-air", "mechanical air", "combustion_space")
    assert close_with(room, "own line") == "BO-1: {input: <input rating on the plate>}"
    rated = judged("irc.lot-line-rating", "W-1", "assembly", ".rating_held")
    assert close_with(rated, "rating: 1 h").startswith("lot line: <distance from the outside face")


def test_a_record_is_closed_by_its_whole_line() -> None:
    """What no number decides is a record with the rule, the element, who and when."""
    found = judged("ifgc.vent-firestop", "V-1", "vent")
    line = "records: [{for: ifgc.vent-firestop, element: V-1, answer: yes, by: <initials>, day: <date>}]"
    assert close_with(found, "") == line
