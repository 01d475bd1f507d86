"""The verdict table: whom a rule is for, what it asks, what excuses, and what is missing."""

import datetime
import itertools
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.measures.values import Fact, Unknown
from oktocover.rules.evaluate import judge
from oktocover.site.base import HOW_KNOWN

from .kinds import FOOT, INCH, asked, bound, env, members, part, problems, rule, unknown

ANSWERS = {"yes": True, "no": False, "?": None}


def truth(word: str, name: str) -> Any:
    return unknown(name) if ANSWERS[word] is None else ANSWERS[word]


def facts(**words: str) -> dict[str, Any]:
    return {name: truth(word, name) for name, word in words.items()}


def missing(judged: Any) -> set[str]:
    return {one.fact for one in judged.missing}


TABLE = {
    # (applies, ok): (verdict, settled, what is missing)
    ("no", "yes"): ("does not apply", False, set()),
    ("no", "no"): ("does not apply", False, set()),
    ("no", "?"): ("does not apply", False, set()),
    ("yes", "yes"): ("met", False, set()),
    ("yes", "no"): ("not met", False, set()),
    ("yes", "?"): ("not recorded", False, {"fitted"}),
    ("?", "yes"): ("not recorded", True, {"marked"}),
    ("?", "no"): ("not recorded", False, {"marked"}),
    ("?", "?"): ("not recorded", False, {"marked"}),
}


@pytest.mark.parametrize(("applies", "ok"), TABLE)
@pytest.mark.parametrize("form", ["main", "item", "rule"])
def test_the_verdict_table(applies: str, ok: str, form: str) -> None:
    body: dict[str, Any] = {
        "main": {"when": "marked", "require": "fitted"},
        "item": {"items": {"one": {"when": "marked", "require": "fitted"}}},
        "rule": {"when": {"whom": "marked"}, "items": {"one": "fitted"}},
    }[form]
    judged = asked(rule(**body), facts(marked=applies, fitted=ok))["main" if form == "main" else "one"]
    assert (judged.verdict, judged.settled, missing(judged)) == TABLE[applies, ok]
    if applies == "no":
        assert judged.answer.reason.endswith("marked")


@pytest.mark.parametrize(("ok", "excused"), list(itertools.product(ANSWERS, repeat=2)))
@pytest.mark.parametrize("place", ["rule", "item", "own requirement"])
def test_exceptions_only_help(ok: str, excused: str, place: str) -> None:
    body: dict[str, Any] = {
        "rule": {"items": {"one": "fitted"}, "unless": {"other": "listed"}},
        "item": {"items": {"one": {"require": "fitted", "unless": {"other": {"when": "listed"}}}}},
        "own requirement": {"items": {"one": {"require": "fitted", "unless": {"other": {"require": "listed"}}}}},
    }[place]
    judged = asked(rule(**body), facts(fitted=ok, listed=excused))["one"]
    if ok == "yes" or excused == "yes":
        wanted = "met"
    elif ok == "no" and excused == "no":
        wanted = "not met"
    else:
        wanted = "not recorded"
    assert judged.verdict == wanted
    assert judged.answer.exception == ("other" if ok != "yes" and excused == "yes" else "")
    if wanted == "not recorded":
        assert missing(judged) == ({"fitted"} if ok == "?" else {"listed"})


def test_an_exception_needs_its_condition_and_its_own_requirement() -> None:
    made = rule(
        require="fitted", unless={"easier": {"when": "listed", "limits": {"short": "6 in"}, "require": "long >= short"}}
    )
    for listed, long, wanted in [
        ("yes", 6 * INCH, "met"),
        ("yes", 6 * INCH - 1, "not met"),
        ("no", 6 * INCH, "not met"),
        ("?", 6 * INCH, "not recorded"),
        ("?", 6 * INCH - 1, "not met"),
        ("yes", bound(5 * INCH, 7 * INCH), "not recorded"),
        ("yes", bound(6 * INCH, None), "met"),
    ]:
        judged = asked(made, {**facts(fitted="no", listed=listed), "long": long})["main"]
        assert judged.verdict == wanted, (listed, long)
    failed = asked(made, {**facts(fitted="no", listed="yes"), "long": 5 * INCH})["main"]
    assert [one.required for one in failed.answer.comparisons] == ["fitted: yes", "at least 6 in"]
    helped = asked(made, {**facts(fitted="no", listed="yes"), "long": 7 * INCH})["main"]
    assert [one.required for one in helped.answer.comparisons] == ["at least 6 in"]


def test_what_several_exceptions_lack_is_all_missing() -> None:
    made = rule(require="fitted", unless={"a": "listed", "b": "colour == 'red'"})
    judged = asked(made, {"fitted": False, "listed": unknown("listed"), "colour": unknown("colour")})["main"]
    assert missing(judged) == {"listed", "colour"}
    later = asked(made, {"fitted": False, "listed": unknown("listed"), "colour": "red"})["main"]
    assert (later.verdict, later.answer.exception) == ("met", "b")


def test_an_exception_of_the_whole_rule_leaves_its_conditions() -> None:
    made = rule(when="marked", items={"one": "fitted"}, unless={"other": "listed"})
    assert asked(made, facts(marked="no", fitted="no", listed="yes"))["one"].verdict == "does not apply"
    judged = asked(made, facts(marked="?", fitted="no", listed="yes"))["one"]
    assert (judged.verdict, judged.settled) == ("not recorded", True)


def test_all_items_are_findings_of_their_own() -> None:
    made = rule(items={"one": "fitted", "two": {"when": "marked", "require": "listed"}})
    judged = asked(made, facts(fitted="yes", marked="no", listed="no"))
    assert {name: one.verdict for name, one in judged.items()} == {"one": "met", "two": "does not apply"}


WAYS = st.tuples(st.sampled_from(list(ANSWERS)), st.sampled_from(list(ANSWERS)))


@settings(max_examples=200)
@given(first=WAYS, second=WAYS, join=st.sampled_from(["any", "all"]))
def test_ways_and_groups_against_every_completion(first: tuple[str, str], second: tuple[str, str], join: str) -> None:
    """A verdict on what is half known is the one of every way in which it may be completed."""
    group = {"one": {"when": "marked", "require": "fitted"}, "two": {"when": "listed", "require": "colour == 'red'"}}
    made = rule(join="any", items=group) if join == "any" else rule(items={"both": {"items": group}})
    words = [*first, *second]

    def verdict(answers: list[str]) -> Any:
        given_facts = facts(**dict(zip(("marked", "fitted", "listed"), answers[:3], strict=True)))
        colour = {"yes": "red", "no": "blue", "?": unknown("colour")}[answers[3]]
        return asked(made, {**given_facts, "colour": colour})["main" if join == "any" else "both"]

    open_at = [index for index, word in enumerate(words) if word == "?"]
    whole = set()
    for pattern in itertools.product(["yes", "no"], repeat=len(open_at)):
        filled = list(words)
        for index, word in zip(open_at, pattern, strict=True):
            filled[index] = word
        whole.add(verdict(filled).verdict)
    judged = verdict(words)
    assert judged.verdict == (whole.pop() if len(whole) == 1 else "not recorded")
    if judged.verdict == "not recorded":
        assert missing(judged)


def test_the_way_that_cannot_be_met_is_not_asked_about() -> None:
    made = rule(
        join="any",
        items={"one": {"when": "marked", "require": "fitted"}, "two": {"require": "listed"}},
    )
    judged = asked(made, facts(marked="?", fitted="no", listed="?"))["main"]
    assert (judged.verdict, missing(judged)) == ("not recorded", {"listed"})


def test_the_way_taken_is_shown_alone_and_without_one_all_are_named() -> None:
    made = rule(
        join="any",
        items={"one": {"when": "marked", "require": "fitted"}, "two": {"when": "not marked", "require": "listed"}},
    )
    judged = asked(made, facts(marked="yes", fitted="yes", listed="no"))["main"]
    assert (judged.answer.way, [one.item for one in judged.answer.comparisons]) == ("one", ["one"])
    judged = asked(made, facts(marked="yes", fitted="no", listed="yes"))["main"]
    assert (judged.verdict, [one.item for one in judged.answer.comparisons]) == ("not met", ["one"])
    by_colour = {name: {"when": f"colour == '{name}'", "require": "fitted"} for name in ("red", "blue")}
    neither = rule(join="any", items=by_colour)
    judged = asked(neither, {"colour": "green", "fitted": True})["main"]
    assert judged.verdict == "not met"
    assert [(one.item, one.measured, one.met) for one in judged.answer.comparisons] == [
        ("red", "does not hold", False),
        ("blue", "does not hold", False),
    ]


def test_the_nearest_way_to_being_met_comes_first() -> None:
    limits = {"short": "6 in"}
    made = rule(
        join="any",
        limits=limits,
        items={
            "far": {"items": {"far_a": "long >= short", "far_b": "wide >= short"}},
            "near": {"items": {"near_a": "deep >= short", "near_b": "fitted"}},
        },
    )
    judged = asked(made, {"long": 0, "wide": 0, "deep": 0, "fitted": True})["main"]
    assert judged.verdict == "not met"
    assert "near" in judged.answer.comparisons[0].item


def test_of_two_ways_that_each_want_one_figure_the_one_almost_there_comes_first() -> None:
    made = rule(
        join="any",
        limits={"short": "6 in"},
        items={
            "none_of_it": {"items": {"none_a": "long >= short", "none_b": "fitted"}},
            "almost": {"require": "wide >= short"},
        },
    )
    judged = asked(made, {"long": 0, "wide": 5 * 25_400_000, "fitted": True})["main"]
    assert judged.verdict == "not met"
    assert "almost" in judged.answer.comparisons[0].item


@pytest.mark.parametrize(("written", "wanted"), [(None, "not recorded"), (True, "met"), (False, "not met")])
@pytest.mark.parametrize("place", ["test.thing", "test.thing.seen", "test.thing.other"])
@pytest.mark.parametrize("element", ["G-1", ""])
def test_records(written: bool | None, wanted: str, place: str, element: str) -> None:
    body: dict[str, Any] = {
        "test.thing": {"look": "It is snug"},
        "test.thing.seen": {"items": {"seen": {"look": "It is snug"}}},
        "test.thing.other": {"require": "fitted", "unless": {"other": {"approval": "It is snug"}}},
    }[place]
    records = {} if written is None else {(place, element): (written, HOW_KNOWN.index("looked"))}
    judged = next(iter(asked(rule(**body), {"fitted": False}, records).values()))
    assert judged.verdict == wanted
    if written is None:
        assert [(one.fact, one.found_by) for one in judged.missing] == [
            ("It is snug", "official" if place.endswith("other") else "look")
        ]
        assert judged.missing[0].path == ("records", place)


@pytest.mark.parametrize("how", HOW_KNOWN)
@pytest.mark.parametrize("severity", ["hazard", "correction"])
@pytest.mark.parametrize("needs", [None, "looked", "measured", "tested"])
@pytest.mark.parametrize("ok", [True, False])
def test_how_well_it_is_known(how: str, severity: str, needs: str | None, ok: bool) -> None:
    body: dict[str, Any] = {"require": "fitted", "severity": severity}
    made = rule(**body, **({"needs": needs} if needs else {}))
    judged = asked(made, {"fitted": Fact(ok, (), HOW_KNOWN.index(how))})["main"]
    if ok:
        enough = HOW_KNOWN.index(how) >= HOW_KNOWN.index(needs or "typical")
        assert judged.verdict == ("met" if enough else "not recorded")
    else:
        only = how == "assumed" or (how == "planned" and severity == "hazard")
        assert judged.verdict == ("not recorded" if only else "not met")
    assert judged.known_by == how
    assert bool(judged.missing) == (judged.verdict == "not recorded")


def known(value: Any, how: str) -> Fact:
    return Fact(value, (), HOW_KNOWN.index(how))


def test_how_well_known_is_that_of_what_decided() -> None:
    made = rule(require="fitted", unless={"other": "listed"})
    judged = asked(made, {"fitted": known(False, "assumed"), "listed": known(True, "measured")})["main"]
    assert (judged.verdict, judged.known_by) == ("met", "measured")
    judged = asked(made, {"fitted": known(False, "measured"), "listed": known(False, "assumed")})["main"]
    assert judged.verdict == "not recorded"
    group = rule(items={"both": {"items": {"a": "fitted", "b": "listed"}}})
    judged = asked(group, {"fitted": known(False, "measured"), "listed": known(True, "assumed")})["both"]
    assert (judged.verdict, judged.known_by) == ("not met", "measured")
    judged = asked(group, {"fitted": known(True, "measured"), "listed": known(True, "told")})["both"]
    assert (judged.verdict, judged.known_by) == ("met", "told")
    ways = rule(join="any", items={"a": "fitted", "b": "listed"})
    judged = asked(ways, {"fitted": known(True, "planned"), "listed": known(True, "looked")})["main"]
    assert (judged.verdict, judged.answer.way, judged.known_by) == ("met", "b", "looked")


@pytest.mark.parametrize(
    ("require", "given_facts", "measured", "required", "margin", "close"),
    [
        ("long >= least", {"long": FOOT}, "12 in", "at least 6 in", "6 in to spare", False),
        ("long >= least", {"long": 6 * INCH}, "6 in", "at least 6 in", "exactly at the limit", False),
        ("long >= least", {"long": 5 * INCH}, "5 in", "at least 6 in", "short by 1 in", False),
        ("long >= least", {"long": 6 * INCH - INCH // 16}, "5-15/16 in", "at least 6 in", "short by 1/16 in", True),
        ("long <= most", {"long": 9 * INCH}, "9 in", "at most 8 in", "over by 1 in", False),
        ("long < most", {"long": 8 * INCH}, "8 in", "under 8 in", "over by 0 in", False),
        ("least <= long <= most", {"long": 9 * INCH}, "9 in", "from 6 in to 8 in", "over by 1 in", False),
        ("least <= long <= most", {"long": 5 * INCH}, "5 in", "from 6 in to 8 in", "short by 1 in", False),
        ("least <= long <= most", {"long": 7 * INCH}, "7 in", "from 6 in to 8 in", "", False),
        (
            "long * wide >= deep * deep",
            {"long": 11 * INCH, "wide": 12 * INCH, "deep": 12 * INCH},
            "0.9167 ft2",
            "at least 1 ft2",
            "short by 0.08333 ft2",
            False,
        ),
        ("colour in colours", {"colour": "blue"}, "blue", "one of red, green", "", False),
        ("colour == 'red'", {"colour": "blue"}, "blue", "red", "", False),
        ("colour != 'blue'", {"colour": "blue"}, "blue", "other than blue", "", False),
        ("fitted", {"fitted": False}, "fitted: no", "fitted: yes", "", False),
        ("not fitted", {"fitted": True}, "fitted: yes", "fitted: no", "", False),
        ("not fitted", {"fitted": unknown()}, "fitted: not recorded", "fitted: no", "", False),
        ("long >= least", {"long": unknown()}, "not recorded", "at least 6 in", "", False),
    ],
)
def test_figures(
    require: str, given_facts: dict[str, Any], measured: str, required: str, margin: str, close: bool
) -> None:
    limits = {"least": "6 in", "most": "8 in", "colours": ["red", "green"]}
    used = {name: data for name, data in limits.items() if name in require}
    judged = asked(rule(limits=used, require=require), given_facts)["main"]
    (comparison,) = judged.answer.comparisons
    assert (comparison.measured, comparison.required, comparison.margin) == (measured, required, margin)
    assert judged.answer.close is close
    assert comparison.met is {"met": True, "not met": False, "not recorded": None}[judged.verdict]


@pytest.mark.parametrize(
    ("parts", "measured"),
    [
        (
            members(part("P-1", counts=True), part("P-2", counts=False), part("P-3", counts=False)),
            "counts: not P-2, P-3",
        ),
        (members(part("P-1", counts=True)), "counts: each"),
        (members(part("P-1", counts=True), whole=False), "counts: not recorded"),
        (members(part("P-1", counts=False), whole=False), "counts: not P-1"),
        (unknown("parts"), "counts: not recorded"),
    ],
)
def test_what_is_asked_of_each_names_those_that_fail(parts: Any, measured: str) -> None:
    judged = asked(rule(require="every(parts, counts)"), {"parts": parts})["main"]
    (comparison,) = judged.answer.comparisons
    assert (comparison.measured, comparison.required) == (measured, "counts: each")


def test_the_sum_is_written_down() -> None:
    made = rule(limits={"share": "1/2", "least": "6 in"}, require="long >= max(share * wide, least)")
    judged = asked(made, {"long": 7 * INCH, "wide": 16 * INCH})["main"]
    assert judged.verdict == "not met"
    (step,) = judged.answer.steps
    assert step.what == "needed"
    assert "share x wide" in step.how and "16 in" in step.how
    assert step.result == "8 in"
    assert judged.answer.comparisons[0].margin == "short by 1 in"


def test_no_figures_are_made_before_somebody_reads_them(monkeypatch: pytest.MonkeyPatch) -> None:
    from oktocover.rules import figures

    made = rule(limits={"least": "6 in"}, require="long >= least")
    monkeypatch.setattr(figures, "_figures", lambda *_: pytest.fail("figures made unasked"))
    assert asked(made, {"long": FOOT})["main"].verdict == "met"


@settings(max_examples=250)
@given(data=st.data(), words=st.lists(st.sampled_from(list(ANSWERS)), min_size=4, max_size=4))
def test_removing_facts_gives_the_same_verdict_or_not_recorded(data: st.DataObject, words: list[str]) -> None:
    made = rule(
        when={"whom": "marked"},
        items={
            "one": {
                "require": "fitted",
                "unless": {"a": "listed", "b": {"when": "not listed", "require": "colour == 'red'"}},
            },
            "two": {"join": "any", "items": {"x": {"when": "listed", "require": "fitted"}, "y": "colour == 'red'"}},
        },
        unless={"c": "listed and fitted"},
    )
    names = ("marked", "fitted", "listed")
    whole: dict[str, Any] = facts(**dict(zip(names, words[:3], strict=True)))
    whole["colour"] = {"yes": "red", "no": "blue", "?": unknown("colour")}[words[3]]
    kept = {name: value for name, value in whole.items() if data.draw(st.booleans())}
    before, after = asked(made, whole), asked(made, kept)
    assert before.keys() == after.keys()
    for name, judged in after.items():
        assert judged.verdict in (before[name].verdict, "not recorded")
        if before[name].verdict == "not recorded":
            assert judged.verdict == "not recorded"


BANDS = {"up to 5 in": "1 in", "over 5 in": "no limit"}
TEXTS = st.sampled_from(
    [
        {"when": "colour in ['red', 'green']", "limits": {"least": "6 in"}, "require": "long >= least"},
        {"when": {"a": "fitted", "b": "marked"}, "limits": {"most": "2"}, "require": "long <= wide * most"},
        {"limits": {"least": "6 in"}, "require": "long / wide * least > deep", "unless": {"x": "fitted"}},
        {"limits": {"most": "2"}, "require": "count(parts) <= most", "severity": "hazard"},
        {"require": "made == made", "needs": "looked"},
        {"limits": {"due": {"by": "long", "rows": BANDS}}, "require": "wide <= due"},
        {"items": {"one": "fitted", "two": {"when": "marked", "require": "listed"}}, "unless": {"x": "not listed"}},
        {"when": {"h": "marked"}, "items": {"one": {"items": {"a": "fitted", "b": "listed"}}, "two": {"look": "Snug"}}},
        {"join": "any", "items": {"one": "fitted", "two": {"when": "marked", "require": "listed"}}},
        {"limits": {"least": "1 in"}, "require": "board >= least"},
    ]
)


@settings(max_examples=400)
@given(body=TEXTS, data=st.data())
def test_the_quick_way_and_the_walk_agree(body: dict[str, Any], data: st.DataObject) -> None:
    """Whatever is exact, bounded, unknown, a word, infinite or badly known: one verdict, with the same reasons."""
    made = rule(**body)
    lengths = st.sampled_from([0, 5 * INCH, 6 * INCH, FOOT, unknown("long"), bound(0, 9 * INCH), float("inf")])
    truths = st.sampled_from([True, False, unknown("truth")])
    whole: dict[str, Any] = {name: data.draw(lengths) for name in ("long", "wide", "deep")}
    whole.update({name: data.draw(truths) for name in ("fitted", "marked", "listed")})
    whole["colour"] = data.draw(st.sampled_from(["red", "blue", unknown("colour")]))
    whole["parts"] = members(part("a"), part("b"), whole=data.draw(st.booleans()))
    whole["board"] = data.draw(st.sampled_from(["none", 0, 2 * INCH]))
    whole["made"] = datetime.date(2024, 1, 1)
    for name, value in whole.items():
        whole[name] = Fact(value, (), data.draw(st.sampled_from([0, 1, 2, 4, 6])))
    quick, slow = list(judge(made, env(whole))), list(judge(made, env(whole), quick=False))
    assert [(one.name, one.verdict, one.missing, one.settled) for one in quick] == [
        (one.name, one.verdict, one.missing, one.settled) for one in slow
    ]
    assert [(one.answer.comparisons, one.known_by, one.answer.reason) for one in quick] == [
        (one.answer.comparisons, one.known_by, one.answer.reason) for one in slow
    ]


def test_nothing_missing_is_nobodys_question() -> None:
    judged = asked(rule(require="fitted"), {"fitted": unknown("fitted")})["main"]
    assert isinstance(judged.answer.ok, Unknown)
    assert judged.missing == judged.answer.ok.missing


def test_a_sum_shows_two_figures_that_differ_little_as_two() -> None:
    nearly = 500 * 12 * INCH + 12 * INCH // 50
    lengths = {"long": nearly, "deep": 500 * 12 * INCH}
    judged = asked(rule(require="ceil(long / deep) <= count_a"), {**lengths, "count_a": 1})
    (step,) = [one for one in judged["main"].answer.steps if one.what == "measured"]
    assert step.how.endswith("500 ft 0.24 in / 500 ft)")
    assert step.result == "2"


@pytest.mark.parametrize("answers", list(itertools.product(ANSWERS, repeat=3)))
def test_at_least_two_of_three_is_what_every_way_of_filling_in_the_gaps_says(answers: tuple[str, ...]) -> None:
    names = ("fitted", "marked", "listed")
    made = rule(join="at least 2", items={f"is_{name}": name for name in names})
    judged = asked(made, facts(**dict(zip(names, answers, strict=True))))["main"]
    filled = itertools.product(*(("yes", "no") if one == "?" else (one,) for one in answers))
    wanted = {sum(one == "yes" for one in whole) >= 2 for whole in filled}
    assert judged.verdict == {(True,): "met", (False,): "not met"}.get(tuple(wanted), "not recorded")
    if judged.verdict == "met":
        assert judged.answer.way.count("is ") == 2
    if judged.verdict == "not recorded":
        assert missing(judged) <= {name for name, one in zip(names, answers, strict=True) if one == "?"}
        assert len(missing(judged)) == 2 - answers.count("yes")


@pytest.mark.parametrize("join", ["at least 1", "at least 3", "at least 4"])
def test_at_least_as_many_as_there_are_says_nothing_of_its_own(join: str) -> None:
    found = problems(join=join, items={name: name for name in ("fitted", "marked", "listed")})
    assert found == [f"'{join}' of 3 items says nothing of its own"]
