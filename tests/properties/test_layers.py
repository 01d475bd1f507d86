"""Layers leave no trace when they are taken off, apply in one order, and what is not written is never guessed."""

from __future__ import annotations

import copy
import json
import random
import re
from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sites import EXAMPLES, LIBRARY, data_of, judged, read, verdicts

from oktocover.measures.view import SiteView
from oktocover.rules.adopted import Adopted
from oktocover.rules.directions import directions
from oktocover.rules.evaluate import judge
from oktocover.rules.fold import Folded
from oktocover.rules.form import Rule
from oktocover.rules.layers import Layer
from oktocover.rules.library import Library
from oktocover.rules.read_layer import read_layer
from oktocover.rules.scope import Env

MAIN = next(path for path in EXAMPLES if path.parent.name == "ceramics-studio" and path.stem == "site")
BOOKS = ("irc 2021", "ifgc 2021", "nec 2020")


def plain(folded: Folded) -> str:
    """The rules as bytes would have them."""
    things = folded.things.items()
    return json.dumps({section: {name: thing.data for name, thing in named.items()} for section, named in things})


def figures() -> list[tuple[str, str]]:
    """Limits of the shipped books that are one length, with their values."""
    folded = LIBRARY.folded(*BOOKS)
    found = []
    for name, thing in folded.things["rules"].items():
        limits = thing.data.get("limits") if isinstance(thing.data, dict) else None
        for limit, value in (limits if isinstance(limits, dict) else {}).items():
            if isinstance(value, str) and re.fullmatch(r"[\d/ -]+ (ft|in)", value):
                found.append((f"{name}.{limit}", value))
    return found


FIGURES = figures()


def town(folder: Path, names: list[int], order: random.Random, name: str = "Town", more: str = "") -> Layer:
    """A place that sets some limits to other values, its changes in any order."""
    changes = [
        f"  c{number}: {{cite: Ord. {number}, meant: yes, set: {{{FIGURES[number][0]}: 91-{2 * (number % 7) + 1}/16 in}}}}\n"
        for number in names
    ]
    order.shuffle(changes)
    path = folder / f"{name.lower()}.yaml"
    adopts = ", ".join(f"b{number}: {{book: {book}}}" for number, book in enumerate(BOOKS))
    path.write_text(f"place: {name}\nadopts: {{{adopts}}}\n{more}changes:\n{''.join(changes)}", encoding="utf-8")
    return read_layer([path], {path: path.name})


some_figures = st.lists(st.integers(0, len(FIGURES) - 1), min_size=1, max_size=6, unique=True)
slow = settings(deadline=None, max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])


@slow
@given(some_figures, st.randoms(use_true_random=False))
def test_amending_and_unamending_gives_the_same_rules(tmp_path: Path, names: list[int], order: random.Random) -> None:
    before = plain(LIBRARY.folded(*BOOKS))
    amended = LIBRARY.adopt_chain((town(tmp_path, names, order),), town(tmp_path, names, order))
    assert plain(amended.rules.folded) != before
    back = "changes:\n" + "".join(
        f"  b{number}: {{cite: Ord. 0, meant: yes, set: {{{FIGURES[number][0]}: {FIGURES[number][1]}}}}}\n"
        for number in names
    )
    path = tmp_path / "back.yaml"
    path.write_text(f"place: Back\nin: Town\nstacking: later wins\n{back}", encoding="utf-8")
    chain = (town(tmp_path, names, order), read_layer([path], {path: path.name}))
    undone = LIBRARY.adopt_chain(chain, chain[-1])
    assert not undone.rules.folded.problems
    assert plain(undone.rules.folded) == before
    assert plain(LIBRARY.folded(*BOOKS)) == before


@slow
@given(some_figures, st.integers(0, 9), st.integers(10, 19))
def test_the_order_of_a_file_does_not_matter(tmp_path: Path, names: list[int], one: int, other: int) -> None:
    folded = [
        LIBRARY.adopt_chain((layer,), layer).rules.folded
        for layer in (town(tmp_path, names, random.Random(seed)) for seed in (one, other))
    ]
    assert plain(folded[0]) == plain(folded[1])
    assert [problem.message for problem in folded[0].problems] == [problem.message for problem in folded[1].problems]


def test_all_shipped_places_fold_backwards_to_the_same_rules() -> None:
    for name in LIBRARY.places:
        place = LIBRARY.place(name)
        turned = copy.copy(place)
        turned.changes = dict(reversed(list(place.changes.items())))
        chain = LIBRARY.places_around(place)
        ways = (LIBRARY.adopt_chain((*chain[:-1], one), one).rules.folded for one in (place, turned))
        assert len({json.dumps(json.loads(plain(one)), sort_keys=True) for one in ways}) == 1


WINDOWS = """
place: Windows
adopts:
  houses: {book: irc 2021}
  gas: {book: ifgc 2021}
  wiring old: {book: nec 2017, until: 2021-01-01}
  wiring mid: {book: nec 2020, from: 2021-01-01, until: 2024-01-01, choice: permit.wiring}
  wiring new: {book: nec 2023, from: 2023-01-01, choice: permit.wiring}
changes:
  owners:
    cite: Ord. 1
    when: permit.owner_builder
    set: {ifgc.test-hold.short: 20 min}
  many:
    cite: Ord. 2
    when: building.units > few
    limits: {few: 2}
    set: {ifgc.test-pressure.floor: 5 psi}
"""
PERMIT: dict[str, Any] = {"applied": "2023-06-01", "owner builder": "yes", "choices": {"wiring": "nec 2023"}}


@pytest.fixture(scope="module")
def windows(tmp_path_factory: pytest.TempPathFactory) -> Adopted:
    path = tmp_path_factory.mktemp("place") / "windows.yaml"
    path.write_text(WINDOWS, encoding="utf-8")
    layer = read_layer([path], {path: path.name})
    adopted = LIBRARY.adopt_chain((layer,), layer)
    adopted.check_every()
    return adopted


def without(data: dict[str, Any], names: tuple[str, ...]) -> dict[str, Any]:
    made = copy.deepcopy(data)
    for name in names:
        made["building" if name == "units" else "permit"].pop(name)
    return made


def test_taking_away_what_decides_gives_the_same_or_not_recorded(windows: Adopted) -> None:
    whole = data_of(MAIN)
    whole["permit"] = {**(whole.get("permit") or {}), **PERMIT}
    whole["building"] = {"units": "1"}
    names = (*PERMIT, "units")
    before = verdicts(judged(whole, windows))
    opened = 0
    for gone in (subset for size in (1, 2, len(names)) for subset in combinations(names, size)):
        after = verdicts(judged(without(whole, gone), windows))
        for key, verdict in before.items():
            assert after.get(key) in (verdict, "not recorded"), (gone, key, verdict, after.get(key))
            opened += after[key] != verdict
    assert opened > 5


def test_some_verdicts_hold_whatever_decides(windows: Adopted) -> None:
    """Not all is open when nothing is written: where every edition says the same, it is a verdict."""
    data = data_of(MAIN)
    data["permit"] = {key: value for key, value in (data.get("permit") or {}).items() if key == "occupancy"}
    found = list(verdicts(judged(data, windows)).values())
    assert found.count("not met") and found.count("met") > 20


def moved(rule: Rule) -> Iterator[tuple[Any, int]]:
    """Every single figure of a rule whose direction is derived."""
    signs = directions([rule])
    for _, limit in rule.all_limits():
        value = limit.cell.value if limit.cell is not None else None
        if isinstance(value, (int, Fraction)) and not isinstance(value, bool) and value > 0 and signs.of(limit):
            yield limit, signs.of(limit)


def failing(rule: Rule, view: SiteView) -> set[tuple[str, str]]:
    """What of a rule is not met."""
    envs = (Env(subject, view.roots) for subject in view.of(rule.each))
    return {(one.name, one.subject.id) for env in envs for one in judge(rule, env, False) if one.verdict == "not met"}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_moving_a_limit_the_way_it_is_said_to_help_adds_no_finding(path: Path) -> None:
    """Derived directions against what the rules do: looser never adds 'not met', stricter never takes one away."""
    made = read(data_of(path))
    view, tried, turned = SiteView(made.site, made.known), 0, 0
    for rule in Library(LIBRARY.root).adopt("model codes", []).rules.rules():
        before = failing(rule, view)
        for limit, sign in moved(rule):
            kept = limit.cell.value
            for helps in (True, False):
                limit.cell.value = kept * 3 if helps == (sign > 0) else kept / Fraction(3)
                after = failing(rule, view)
                assert (after <= before) if helps else (after >= before), (rule.id, limit.name, helps)
                tried, turned = tried + 1, turned + (after != before)
            limit.cell.value = kept
    assert tried > 100 and (
        turned > 10 or path.stem == "corrected" or path.parent.name in ("short-shop", "project-repository")
    )


def test_a_library_gives_the_same_rules_twice() -> None:
    for name in LIBRARY.places:
        one, other = (Library(LIBRARY.root).adopt(name, []).rules.folded for _ in range(2))
        assert plain(one) == plain(other)
