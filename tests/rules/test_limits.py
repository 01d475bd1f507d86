"""Limits in all their forms: what is read, what is found, and that a key half known never gives a wrong figure."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from oktocover.measures.subject import Subject
from oktocover.measures.values import Range, Unknown
from oktocover.rules import intervals
from oktocover.rules.form import Compiler
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.limits import Limit, fit_keys, look_up
from oktocover.rules.scope import Env
from oktocover.rules.types import RuleError, Type, quantity

from .kinds import INCH, bound, env, problems, rule, unknown

BANDS = {"up to 10 in": "1 in", "over 10 in up to 20 in": "2 in", "from 30 in to under 40 in": "3 in"}


def limit(data: Any) -> Limit:
    """A limit as a rule would have it, used by the rule."""
    require = "long in due" if isinstance(data, list) else "long <= due"
    return dict(rule(limits={"due": data}, require=require).all_limits())["due"]


def found(data: Any, **facts: Any) -> Any:
    """The value of a limit in inches, for facts in inches."""
    in_nm = {name: worth * INCH if _is_figure(worth) else worth for name, worth in facts.items()}
    return in_inches(limit(data).get(env(in_nm)))


def _is_figure(worth: Any) -> bool:
    return isinstance(worth, (int, Fraction)) and not isinstance(worth, bool)


def in_inches(got: Any) -> Any:
    if isinstance(got, Range):
        low, high = (None if end is None else end / Fraction(INCH) for end in (got.low, got.high))
        return Range(low, high, got.low_open, got.high_open, got.missing)
    return got / Fraction(INCH) if _is_figure(got) else got


def inches(low: Any, high: Any, low_open: bool = False, high_open: bool = False) -> Range:
    return bound(*(None if end is None else end * INCH for end in (low, high)), low_open, high_open)


@pytest.mark.parametrize(
    ("data", "wanted"),
    [
        ("6 in", 6),
        ("0.5 ft", 6),
        ("no limit", NO_LIMIT),
        ("not allowed", NOT_ALLOWED),
        (["6 in", "1 ft"], (6 * INCH, 12 * INCH)),
    ],
)
def test_plain_forms(data: Any, wanted: Any) -> None:
    assert found(data) == wanted


@pytest.mark.parametrize("data", ["ask the official", "not recorded", "blank in"])
def test_what_somebody_has_to_set_is_not_recorded(data: str) -> None:
    got = found(data)
    assert isinstance(got, Unknown) and got.missing[0].found_by == "official"


def test_an_expression_follows_its_facts() -> None:
    made = rule(limits={"share": "1/2", "due": "= share * wide"}, require="long <= due")
    due = dict(made.all_limits())["due"]
    assert due.get(env({"wide": 8})) == 4
    assert isinstance(due.get(env({"wide": unknown("wide")})), Unknown)
    assert due.get(env({"wide": bound(4, 8)})) == Range(2, 4, missing=bound(4, 8).missing)


@pytest.mark.parametrize(
    ("long", "wanted"),
    [(0, 1), (10, 1), (Fraction(161, 16), 2), (20, 2), (30, 3), (Fraction(639, 16), 3)],
)
def test_band_edges(long: Any, wanted: int) -> None:
    assert found({"by": "long", "rows": BANDS, "note": "the text leaves a gap"}, long=long) == wanted


@pytest.mark.parametrize("long", [21, Fraction(479, 16), 40, 500])
def test_between_and_past_bands_is_outside(long: Any) -> None:
    assert isinstance(found({"by": "long", "rows": BANDS, "note": "the text leaves a gap"}, long=long), Unknown)
    assert found({"by": "long", "rows": BANDS, "outside": "no limit"}, long=long) is NO_LIMIT
    assert found({"by": "long", "rows": BANDS, "outside": "9 in"}, long=long) == 9


STEPS = {"10 in": "1 in", "20 in": "5 in", "30 in": "2 in"}


@pytest.mark.parametrize(
    ("between", "at", "wanted"),
    [
        ("exact", 20, 5),
        ("exact", 19, None),
        ("next row up", 5, 1),
        ("next row up", 10, 1),
        ("next row up", 11, 5),
        ("next row up", 31, None),
        ("next row down", 9, None),
        ("next row down", 10, 1),
        ("next row down", 29, 5),
        ("next row down", 99, 2),
        ("interpolate", 9, None),
        ("interpolate", 10, 1),
        ("interpolate", 15, 3),
        ("interpolate", Fraction(45, 2), Fraction(17, 4)),
        ("interpolate", 31, None),
    ],
)
def test_ways_between_rows(between: str, at: Any, wanted: Any) -> None:
    got = found({"by": "long", "between": between, "rows": STEPS}, long=at)
    assert isinstance(got, Unknown) if wanted is None else got == wanted


def test_words_and_yes_or_no() -> None:
    by_colour = {"by": "colour", "rows": {"red": "1 in", "green": "2 in"}}
    assert found(by_colour, colour="red") == 1
    assert isinstance(found(by_colour, colour="blue"), Unknown)
    assert isinstance(found(by_colour, colour=unknown("colour")), Unknown)
    by_truth = {"by": "fitted or marked", "rows": {"yes": "1 in", "no": "2 in"}}
    assert found(by_truth, fitted=True, marked=unknown("marked")) == 1
    got = found(by_truth, fitted=False, marked=unknown("marked"))
    assert (got.low, got.high) == (1, 2) and got.missing
    every = {"by": "colour", "rows": {"red": "1 in", "green": "2 in", "blue": "3 in"}}
    assert (found(every, colour=unknown("colour")).low, found(every, colour=unknown("colour")).high) == (1, 3)


def test_a_word_of_a_fact_that_is_a_figure_has_its_row() -> None:
    data = {"by": "board", "rows": {"none": "1 in", "up to 2 in": "2 in", "over 2 in": "3 in"}}
    assert found(data, board="none") == 1
    assert found(data, board=2) == 2
    assert found(data, board=inches(3, 4)) == 3


def test_two_keys_and_cells_that_are_lists() -> None:
    rows = {"red": {"yes": "1 in", "no": "2 in"}, "green": {"yes": "3 in", "no": "not allowed"}}
    data = {"by": ["colour", "fitted"], "rows": rows}
    assert found(data, colour="red", fitted=False) == 2
    assert found(data, colour="green", fitted=False) is NOT_ALLOWED
    assert isinstance(found(data, colour="green", fitted=unknown("fitted")), Unknown)
    made = rule(
        limits={"kinds": {"by": "fitted", "rows": {"yes": ["red", "green"], "no": ["red"]}}}, require="colour in kinds"
    )
    due = dict(made.all_limits())["kinds"]
    assert due.get(env({"fitted": False})) == ("red",)


ROWS = st.lists(st.integers(0, 12), min_size=1, max_size=5, unique=True)


@st.composite
def schedules(draw: st.DrawFn) -> dict[str, Any]:
    """A schedule by `long` in whole inches: bands (with gaps), or rows with a way between them."""
    cells = st.integers(0, 9).map(lambda n: f"{n} in") | st.sampled_from(["no limit", "not allowed"])
    outside = draw(st.sampled_from([None, "4 in", "no limit"]))
    rows = sorted(draw(ROWS))
    how = draw(st.sampled_from(["band", "exact", "next row up", "next row down", "interpolate"]))
    if how == "band":
        edges = [0, *rows, 15]
        texts = []
        for low, high in zip(edges, edges[1:], strict=False):
            if low < high and draw(st.integers(0, 3)):
                start = draw(st.sampled_from(["over", "from"])) if not texts else "over"
                end = draw(st.sampled_from(["up to", "to under"]))
                texts.append(f"{start} {low} in {end} {high} in")
        texts = texts or ["up to 7 in"]
        made: dict[str, Any] = {"by": "long", "rows": {text: draw(cells) for text in texts}}
    else:
        figures = st.integers(0, 9).map(lambda n: f"{n} in") if how == "interpolate" else cells
        made = {"by": "long", "between": how, "rows": {f"{row} in": draw(figures) for row in rows}}
        if how == "exact":
            del made["between"]
    return {**made, "outside": outside} if outside else made


@settings(max_examples=300)
@given(
    data=schedules(),
    low=st.integers(0, 14),
    width=st.integers(0, 6),
    opens=st.tuples(st.booleans(), st.booleans()),
    kind=st.integers(0, 4),
)
def test_a_key_half_known_never_gives_a_wrong_figure(
    data: dict[str, Any], low: int, width: int, opens: tuple[bool, bool], kind: int
) -> None:
    """The answer for bounds holds the answer for every value within them."""
    try:
        due = limit(data)
    except AssertionError:  # a schedule whose cells hold no figure at all has no dimension to be compared in
        return
    high = low + max(width, 1)
    if kind == 0:
        vague: Any = unknown("long")
        low, high, opens = 0, 16, (False, False)
    elif kind == 1:
        vague, high = inches(low, None, opens[0]), 18
    else:
        vague = inches(low, high, *opens)
    points = [low + Fraction(high - low) * Fraction(part, 24) for part in range(25)]
    points = points[1 if opens[0] else 0 : 24 if opens[1] and kind > 1 else 25]
    answer = due.get(env({"long": vague}))
    for point in points:
        sure = due.get(env({"long": point * INCH}))
        assert isinstance(answer, Unknown) or admits(answer, sure), (answer, point, sure)


def admits(answer: Any, sure: Any) -> bool:
    if isinstance(answer, Range):
        inside = intervals.both(
            True if answer.low is None else intervals.less(answer.low, sure, not answer.low_open),
            True if answer.high is None else intervals.less(sure, answer.high, not answer.high_open),
        )
        return sure not in (NO_LIMIT, NOT_ALLOWED) and inside is True
    return bool(answer is sure or answer == sure)


def test_a_bounded_key_that_reaches_past_the_bands_is_not_given_the_last_band() -> None:
    data = {"by": "long", "rows": BANDS, "note": "the text leaves a gap"}
    assert found(data, long=inches(12, 20)) == 2
    assert isinstance(found(data, long=inches(12, 21)), Unknown)
    assert (found(data, long=inches(5, 12)).low, found(data, long=inches(5, 12)).high) == (1, 2)
    low = found({**data, "outside": "9 in"}, long=inches(12, 21))
    assert (low.low, low.high) == (2, 9)


def test_the_rows_between_two_ends_count_too() -> None:
    got = found({"by": "long", "between": "next row up", "rows": STEPS}, long=inches(5, 25))
    assert (got.low, got.high) == (1, 5)
    got = found({"by": "long", "between": "interpolate", "rows": STEPS}, long=inches(15, 30))
    assert (got.low, got.high) == (2, 5)


TABLE = {
    "section": "Table 1",
    "keys": {"size": "exact", "use": "word"},
    "columns": ["least", "most"],
    "rows": {
        "1/2 in": {"shop": {"least": "1 in", "most": "2 in"}},
        "1 in": {"shop": {"least": "3 in", "most": "4 in"}},
    },
    "basis": {"check": "common practice"},
}


def table(data: Any) -> Any:
    compiler = Compiler(lambda name, kind: None, lambda name: None)
    made = compiler.table("sizes", data)
    return made, [error.message for _, error in compiler.problems]


def test_shared_tables_have_columns_and_keys_of_their_own_dimension() -> None:
    made, wrong = table(TABLE)
    assert not wrong
    fit_keys(made, [quantity("length"), Type("word")])
    asked = Env(Subject("gizmo", "G-1"), {})
    assert look_up(made, [INCH // 2, "shop"], "most", asked, "sizes") == 2 * INCH
    assert look_up(made, [INCH, "shop"], "least", asked, "sizes") == 3 * INCH
    assert isinstance(look_up(made, [INCH, "store"], "least", asked, "sizes"), Unknown)
    assert isinstance(look_up(made, [2 * INCH, "shop"], "least", asked, "sizes"), Unknown)
    with pytest.raises(RuleError, match="is"):
        fit_keys(made, [quantity("pressure"), quantity("number")])


@pytest.mark.parametrize(
    ("data", "message"),
    [
        ("6", "compares a length with a number"),
        ("6 psi", "compares a length with a pressure"),
        ("6 in or so", "6 in or so"),
        ("at least 6 in", "is a bound"),
        ("six in", "compares a length with a word"),
        ("blank stones", "'stones' is no unit"),
        ([], "words or quantities"),
        (["6 in", "1 psi"], "the list holds a length and a pressure"),
        ({"by": "long"}, "has no rows"),
        ({"rows": {"yes": "1 in"}}, "says what it goes by"),
        ({"by": "fitted", "rows": {"maybe": "1 in"}}, "yes or no"),
        ({"by": "fitted", "rows": {"yes": "1 in", "no": "1 psi"}}, "a length and a pressure"),
        ({"by": "colour", "rows": {"grean": "1 in"}}, "'grean' is not a word its key can be"),
        ({"by": "long", "rows": {"up to 10 psi": "1 in"}}, "psi"),
        ({"by": "long", "rows": {"up to 10 in": "1 in", "from 10 in": "2 in"}}, "overlap"),
        ({"by": "long", "rows": {"1 ft": "1 in", "12 in": "2 in"}}, "overlap"),
        ({"by": "long", "rows": {"over 10 in up to 2 in": "1 in"}}, "no value lies in the row"),
        ({"by": "colour", "between": "next row up", "rows": {"red": "1 in"}}, "nothing lies between"),
        ({"by": "long", "between": "nearest", "rows": {"1 in": "1 in"}}, "no way between rows"),
        ({"by": "long", "row": {"1 in": "1 in"}}, "'row' is not part of a schedule"),
        ({"by": "lang", "rows": {"1 in": "1 in"}}, "'lang' is no fact"),
        ({"by": "long", "between": "interpolate", "rows": {"up to 1 in": "1 in"}}, "is no number"),
        ("= due + due", "defined by itself"),
    ],
)
def test_limits_that_cannot_stand(data: Any, message: str) -> None:
    wrong = problems(limits={"due": data}, require="long <= due")
    assert any(message in one for one in wrong), wrong


@pytest.mark.parametrize(
    ("rows", "gap"),
    [
        ({"up to 10 in": "1 in", "over 10 in": "2 in"}, False),
        ({"up to 10 in": "1 in", "from 10 in to under 20 in": "2 in"}, None),  # ten inches find two rows
        ({"to under 10 in": "1 in", "from 10 in": "2 in"}, False),
        ({"to under 10 in": "1 in", "over 10 in": "2 in"}, True),  # ten inches find none
        ({"up to 10 in": "1 in", "from 11 in": "2 in"}, True),
        ({"up to 10 in": "1 in", "over 10 in up to 20 in": "2 in"}, False),  # past the last row is no gap between rows
    ],
)
def test_a_gap_between_rows_is_said_on_purpose(rows: dict[str, str], gap: bool | None) -> None:
    def told(**more: str) -> list[str]:
        return problems(limits={"due": {"by": "wide", "rows": rows, **more}}, require="long <= due")

    if gap is None:
        assert "overlap" in told()[0]
        return
    assert ("a value finds none" in "".join(told())) == gap
    for meant in ({"outside": "ask the official"}, {"note": "the text leaves it open"}):
        assert not told(**meant)


def test_counts_that_follow_each_other_leave_no_gap() -> None:
    rows = {"up to 5": "1 in", "from 6 up to 9": "2 in"}
    assert not problems(limits={"due": {"by": "count_a", "rows": rows}}, require="long <= due")
    rows = {"up to 5": "1 in", "from 7 up to 9": "2 in"}
    assert problems(limits={"due": {"by": "count_a", "rows": rows}}, require="long <= due")
