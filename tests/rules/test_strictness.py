"""Which way limits work, what amendments do to a rule, and what has to be meant or may not be done."""

from pathlib import Path
from typing import Any

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.rules.directions import directions
from oktocover.rules.library import Library
from oktocover.rules.prove import prove
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.strictness import Derive

from .kinds import rule as made
from .test_layers import BASE, PLACE, library

LISTED: dict[str, Any] = {"require": "long >= least", "limits": {"least": "6 ft"}}


def signs(**body: Any) -> dict[str, int]:
    """The direction of each limit of a rule."""
    rule = made(**body)
    found = directions([rule])
    return {name: found.of(limit) for name, limit in rule.all_limits()}


@pytest.mark.parametrize(
    ("require", "limits", "wanted"),
    [
        ("long >= least", {"least": "6 ft"}, {"least": -1}),
        ("long <= most", {"most": "6 ft"}, {"most": 1}),
        ("least <= long <= most", {"least": "1 ft", "most": "6 ft"}, {"least": -1, "most": 1}),
        ("long > least - slack", {"least": "1 ft", "slack": "1 in"}, {"least": -1, "slack": 1}),
        ("long <= wide / pieces", {"pieces": "2"}, {"pieces": -1}),
        ("long <= max(least, share * wide)", {"least": "1 ft", "share": "50 %"}, {"least": 1, "share": 1}),
        ("count_a <= ceil(long / part)", {"part": "2 ft"}, {"part": -1}),
        ("colour in good", {"good": ["red", "green"]}, {"good": 1}),
        ("colour not in bad", {"bad": ["red", "green"]}, {"bad": -1}),
        ("not (long > most)", {"most": "6 ft"}, {"most": 1}),
        ("long == sharp", {"sharp": "6 ft"}, {"sharp": 0}),
        ("long - x <= x", {"x": "1 ft"}, {"x": 1}),
        ("long + x <= x", {"x": "1 ft"}, {"x": 0}),
        ("twice(x) >= long", {"x": "1 ft"}, {"x": 1}),
        ("nearest_part(parts, counts, beyond=past) <= most", {"past": "1 ft", "most": "6 ft"}, {"past": 0, "most": 1}),
        ("count(parts, counts) >= few", {"few": "2"}, {"few": -1}),
        ("long <= due", {"due": "= factor * wide", "factor": "50 %"}, {"due": 1, "factor": 1}),
        (
            "long <= due",
            {"due": {"by": "wide > broad", "rows": {"yes": "1 ft", "no": "= x"}}, "x": "2 ft", "broad": "3 ft"},
            {"due": 1, "x": 1, "broad": 0},
        ),
    ],
)
def test_directions_follow_from_the_expression(require: str, limits: dict[str, Any], wanted: dict[str, int]) -> None:
    """Each sign by hand: raising `least` in `long >= least` makes the requirement harder, and so on."""
    assert signs(require=require, limits=limits) == wanted


def test_a_condition_narrows_a_rule_and_opens_an_exception() -> None:
    limits = {"wide_from": "1 ft"}
    assert signs(when="wide >= wide_from", require="fitted", limits=limits) == {"wide_from": 1}
    excepted = {"require": "fitted", "unless": {"small": {"when": "wide < wide_from", "limits": limits}}}
    assert signs(**excepted) == {"wide_from": 1}
    ways = {
        "join": "any",
        "items": {"a": {"when": "wide >= wide_from", "require": "fitted", "limits": limits}, "b": "marked"},
    }
    assert signs(**ways) == {"wide_from": -1}
    items = {"items": {"a": {"when": "wide >= wide_from", "require": "fitted", "limits": limits}, "b": "marked"}}
    assert signs(**items) == {"wide_from": 1}


@pytest.mark.parametrize(
    ("require", "sign"),
    [
        ("count(parts, near) >= few", 1),
        ("count(parts, near) <= few", -1),
        ("every(parts, near)", 1),
        ("nearest_part(parts, near) <= least", 1),  # the nearest of more parts is no farther
        ("nearest_part(parts, near) >= least", -1),
        ("middle_part(parts, near) >= least", 0),  # nobody said how the middle moves as the list grows
    ],
)
def test_directions_go_through_terms_and_lists(tmp_path: Path, require: str, sign: int) -> None:
    """The term `along <= near_line` holds of more parts as its limit rises."""
    base = (
        "book: tst\nedition: '1'\nusual: {trade: general, stage: final, severity: correction, basis: {check: memory}}\n"
        "terms:\n  near: {of: gizmo_part, is: along <= near_line, limits: {near_line: 1 ft}, section: '1'}\n"
        "rules:\n  a:\n    title: A\n    section: '2'\n    each: gizmo\n    remedy: R.\n"
        f"    limits: {{{'few: 2' if 'few' in require else 'least: 2 ft' if 'least' in require else ''}}}\n"
        f"    require: {require}\n"
    )
    rules = RuleSet(library(tmp_path, base=base, next="book: tst\nedition: '2'\n").folded("tst 1"))
    rules.check()
    found = directions(rules.rules())
    term = rules.term("tst.near")
    assert term is not None and found.of(term.scope.limits("near_line")) == sign


def effect_of(folder: Path, line: str) -> tuple[str, bool]:
    """What one line of a town's change does to the made-up book: strictness, and whether hazard is touched."""
    town = PLACE + f"    meant: yes\n    {line}\n"
    adopted = library(folder, town=town).adopt("town", [])
    edits = [edit for edit in adopted.rules.folded.edits if edit.change.place]
    assert edits, adopted.rules.folded.problems
    effect = Derive(adopted.rules).effect(edits[-1])
    return effect.strictness, effect.hazard


@pytest.mark.parametrize(
    ("line", "wanted"),
    [
        ("set: {tst.one.least: 7 ft}", "stricter"),
        ("set: {tst.one.least: 5 ft}", "looser"),
        ("set: {'tst.one.due[yes]': 1/2 in}", "looser"),
        ("set: {tst.one.due: {by: fitted, rows: {yes: 1 in, no: 3 in}}}", "stricter"),
        ("set: {tst.one.due: {by: fitted, rows: {yes: 1/2 in, no: 3 in}}}", ""),
        ("set: {tst.one.due: {by: marked, rows: {yes: 1 in, no: 3 in}}}", ""),
        ("set: {tst.one.colours: [red, green, blue]}", "stricter"),  # whom the rule is for: more of them
        ("set: {tst.one.colours: [red]}", "looser"),
        ("add: {tst.one.colours: [blue]}", "stricter"),
        ("strike: {tst.one.colours.red: duty gone}", "looser"),
        ("strike: {tst.one.first: duty gone}", "looser"),
        ("strike: {tst.one.old: permission gone}", "stricter"),
        ("strike: {tst.one.whom: condition gone}", "stricter"),
        ("strike: {tst.one.second.when: condition gone}", "stricter"),
        ("strike: {tst.one.excused.when: condition gone}", "looser"),
        ("strike: {tst.two: duty gone}", "looser"),
        ("add: {tst.one: {items: {third: fitted}}}", "stricter"),
        ("add: {tst.one: {unless: {small: listed}}}", "looser"),
        ("add: {tst.one: {when: {more: listed}}}", "looser"),
        ("add: {tst.one: {items: {third: fitted}, unless: {small: listed}}}", ""),
        ("add: {tst.one.first: {unless: {spared: listed}}}", "looser"),
        ("add: {tst.one.second: {note: Mind it}}", "other"),
        ("set: {tst.one.severity: hazard}", "stricter"),
        ("set: {tst.one.severity: advisory}", "looser"),
        ("set: {tst.one.join: any}", None),
        ("set: {tst.one.remedy: Do it}", "other"),
        ("set: {tst.one.first: long > least}", ""),
        ("set: {tst.good.fine: [red, green, blue]}", "looser"),
        ("set: {'tst.sizes[1/2 in, most]': 3 in}", "looser"),
        ("set: {'tst.sizes[1/2 in, most]': 1 in}", "stricter"),
        ("take: {tst.one.least: tst 2}", "stricter"),
    ],
)
def test_effects_of_amendments(tmp_path: Path, line: str, wanted: str | None) -> None:
    if wanted is None:
        with pytest.raises(AssertionError):
            effect_of(tmp_path, line)
        return
    assert effect_of(tmp_path, line)[0] == wanted


def said(folder: Path, line: str, base: str = BASE) -> list[str]:
    town = PLACE + f"    {line}\n"
    return [problem.text() for problem in library(folder, town=town, base=base).adopt("town", []).rules.folded.problems]


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("strike: {tst.one.old: duty gone}", "is an exception: without it the rule is stricter"),
        ("strike: {tst.one.first: permission gone}", "is an item: without it the rule is looser"),
        ("strike: {tst.one.whom: duty gone}", "is a condition: without it the rule is stricter"),
        ("strike: {tst.one.colours.red: permission gone}", "is an entry of a list: without it the rule is looser"),
        ("strike: {tst.two: condition gone}", "is a whole rule: without it the rule is looser"),
        ("strike: {tst.two: permission gone}", "what it permitted is not banned"),
        ("strike: {tst section 1.10: permission gone}", "what it permitted is not banned"),
        ("set: {tst.one.least: 60 ft}", "from 6 ft to 60 ft, 10 times as much"),
        ("set: {tst.one.least: 6 in}", "one part in 12"),
        ("set: {'tst.one.due[yes]': 1 ft}", "from 1 in to 1 ft, 12 times as much"),
        ("set: {tst.good.fine: [red]}\n    effect: looser\n    because: x", "you say 'looser', but"),
        ("set: {tst.one.least: 7 ft}\n    effect: stricter", "is argued"),
    ],
)
def test_what_is_said_must_fit(tmp_path: Path, line: str, message: str) -> None:
    found = said(tmp_path, line)
    assert len(found) == 1 and message in found[0] and "town.yaml:" in found[0], found


HAZARD = BASE.replace("  one:\n    title: One\n", "  one:\n    title: One\n    severity: hazard\n")


@pytest.mark.parametrize(
    "line",
    [
        "set: {tst.one.least: 5 ft}",
        "strike: {tst.one: duty gone}",
        "strike: {tst section 1.2: duty gone}",
        "strike: {tst.one.first: duty gone}",
        "add: {tst.one: {unless: {small: listed}}}",
    ],
)
def test_a_looser_hazard_is_meant(tmp_path: Path, line: str) -> None:
    found = said(tmp_path, line, HAZARD)
    assert len(found) == 1 and "of severity hazard, looser" in found[0] and "meant: yes" in found[0]
    assert not said(tmp_path / "b", line + "\n    meant: yes", HAZARD)
    assert not said(tmp_path / "c", line, BASE)
    assert not said(tmp_path / "d", "set: {tst.one.least: 7 ft}", HAZARD)


def test_three_times_is_the_edge(tmp_path: Path) -> None:
    assert not said(tmp_path, "set: {tst.one.least: 18 ft}")
    assert said(tmp_path / "b", "set: {tst.one.least: 18 ft 1 in}")
    assert not said(tmp_path / "c", "set: {tst.one.least: 2 ft}")
    assert said(tmp_path / "d", "set: {tst.one.least: 1 ft 11 in}")
    assert not said(tmp_path / "e", "set: {tst.one.least: 1 ft}\n    meant: yes")


STATE = """
place: State
adopts: {{all: {{book: tst 1}}}}
bounds:
  held: {{{scope}, lower layers: {lower}, cite: Act 9}}
"""


def under(folder: Path, line: str, scope: str = "trade: general", lower: str = "may not weaken") -> Any:
    """A town's change under a state that sets a bound."""
    town = f"place: Town\nin: State\nchanges:\n  c:\n    cite: Ord. 1\n    {line}\n"
    return library(folder, state=STATE.format(scope=scope, lower=lower), town=town).adopt("town", [])


@pytest.mark.parametrize("scope", ["trade: general", "rules: [tst.one]", "rules: tst.one", "sections: tst 1.2 to 1.4"])
def test_what_may_not_be_weakened(tmp_path: Path, scope: str) -> None:
    found = under(tmp_path, "set: {tst.one.least: 5 ft}", scope).rules.folded.problems
    text = "\n".join(problem.text() for problem in found)
    assert len(found) == 1 and "looser (6 ft -> 5 ft)" in text
    assert "town.yaml:6:" in text and "state.yaml:4:" in text and "Act 9" in text
    assert not under(tmp_path / "b", "set: {tst.one.least: 7 ft}", scope).rules.folded.problems
    elsewhere = under(tmp_path / "c", "set: {tst.three.main: wide < long}", "rules: [tst.one]")
    assert not elsewhere.rules.folded.problems


def test_what_may_not_differ(tmp_path: Path) -> None:
    found = under(tmp_path, "set: {tst.one.least: 7 ft}", lower="may not differ").rules.folded.problems
    assert len(found) == 1 and "is not Town's to change" in found[0].message


def test_what_cannot_be_derived_is_argued_and_both_versions_hold(tmp_path: Path) -> None:
    line = "set: {tst.one.first: long > least}"
    found = under(tmp_path, line).rules.folded.problems
    assert len(found) == 1 and "cannot be derived" in found[0].message
    adopted = under(tmp_path / "b", line + "\n    effect: stricter\n    because: more than, not as much as")
    adopted.rules.check()
    rule = adopted.rules.rule("tst.one")
    assert rule is not None
    versions = [one.body.items["first"].require for one in (rule, *rule.twins)]
    assert [one.text for one in versions if one] == ["long > least", "long >= least"]


def test_a_bound_holds_for_terms_and_tables_of_its_rules(tmp_path: Path) -> None:
    for number, (line, message) in enumerate(
        (
            ("set: {tst.good.fine: [red, green, blue]}", "looser (red, green -> red, green, blue)"),
            ("set: {tst.good.is: fitted}", "a change of the rules themselves"),
            ("set: {'tst.sizes[1/2 in, most]': 3 in}", "looser (2 in -> 3 in)"),
        )
    ):
        found = under(tmp_path / str(number), line).rules.folded.problems
        assert len(found) == 1 and message in found[0].text(), (line, found)
    assert not under(tmp_path / "a", "set: {tst.good.fine: [red]}").rules.folded.problems
    assert not under(
        tmp_path / "b", "set: {tst.good.fine: [red, green, blue]}", "rules: [tst.one]"
    ).rules.folded.problems


def test_a_change_of_a_schedule_is_told_by_its_row(tmp_path: Path) -> None:
    found = under(tmp_path, "set: {tst.one.due: {by: fitted, rows: {yes: 1 in, no: 1 in}}}").rules.folded.problems
    assert "looser (no: 2 in -> no: 1 in)" in found[0].message


def test_a_bound_says_what_and_by_whom(tmp_path: Path) -> None:
    for scope, lower, message in (
        ("trade: general, rules: [tst.one]", "may not weaken", "says what it is about, once"),
        ("trade: general", "must not", "says what lower layers may not do"),
        ("traed: general", "may not weaken", "did you mean 'trade'?"),
    ):
        with pytest.raises(InputProblems) as refused:
            under(tmp_path / lower / message[:5].strip("'"), "set: {tst.one.least: 7 ft}", scope, lower)
        assert message in str(refused.value)


def test_an_edition_is_reviewed_when_it_is_proven(tmp_path: Path) -> None:
    later = (
        "book: tst\nedition: '2'\nfrom: '1'\nchanges:\n"
        "  far: {cite: TST 2 1.2, set: {tst.one.least: 60 ft}}\n"
        "  gone: {cite: TST 2 1.2, strike: {tst.one.old: duty gone}}\n"
    )
    shelf = library(tmp_path, next=later)
    told = [problem.message for problem in shelf.review_edition("tst 2")]
    assert len(told) == 2 and "is an exception" in told[0] and "10 times as much" in told[1]
    proof = next(proof for proof in prove(shelf, "tst 2") if proof.layer == "tst 2")
    assert len(proof.failed) == 2 and "10 times as much" in proof.failed[0]


@pytest.mark.parametrize("edition", sorted(Library().editions))
def test_shipped_editions_say_what_they_do(edition: str) -> None:
    assert not Library().review_edition(edition)
