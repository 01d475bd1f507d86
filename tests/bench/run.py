"""Benchmarks: figures to look at, never assertions. `python tests/bench/run.py` prints them all.

1. a cold `check` of the main example, as a process of its own;
2. evaluating rules beside the same checks hand-written in plain Python, and beside two general-purpose expression
   libraries (rule-engine and simpleeval, the `bench` extra; left out when they are not installed);
3. growth: the main example once, ten times and a hundred times as large;
4. loading and checking all shipped rulesets;
5. refusing hostile files;
6. many sites, by one process and by two;
7. the report in a browser: size, opening, a filter over 500 findings (left out without a browser).
"""

from __future__ import annotations

import copy
import datetime
import importlib.util
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "properties"))

from pages import pages  # noqa: E402
from sites import LISTS, Plain, adopted_for, data_of  # noqa: E402

from oktocover.check import check  # noqa: E402
from oktocover.measures.subject import Subject  # noqa: E402
from oktocover.quantities import read  # noqa: E402
from oktocover.reading.kept import FOLDER  # noqa: E402
from oktocover.reading.site_file import make_site  # noqa: E402
from oktocover.rules.evaluate import judge  # noqa: E402
from oktocover.rules.library import Library  # noqa: E402
from oktocover.rules.scope import Env  # noqa: E402

MAIN = ROOT / "examples" / "ceramics-studio" / "site.yaml"
TODAY = datetime.date(2026, 6, 15)


def timed(work: Callable[[], Any], times: int = 5) -> tuple[float, float]:
    """(least, median) seconds."""
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken), statistics.median(taken)


def cold() -> None:
    """A process from nothing to the first screen, with its modules compiled as an installation leaves them."""
    command = [sys.executable, "-m", "oktocover", "check", str(MAIN), "--today", "2026-06-15"]
    with tempfile.TemporaryDirectory() as cache:
        env = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        env["PYTHONPYCACHEPREFIX"] = cache

        def run() -> None:
            subprocess.run(command, capture_output=True, env=env)

        run()
        least, median = timed(run, 7)
    print(f"cold check of the main example: least {least:.3f} s, median {median:.3f} s (budget 0.6 s)")


def rulesets() -> None:
    """Every shipped place adopted, folded and checked: as the first run does it, and as every later one."""

    def run() -> None:
        library = Library(ROOT / "rulesets")
        for place in library.places:
            library.adopt(place, []).rules.check()

    before = os.environ.get(FOLDER)
    os.environ[FOLDER] = "none"
    first, _ = timed(run, 3)
    with tempfile.TemporaryDirectory() as cache:
        os.environ[FOLDER] = cache
        run()
        least, median = timed(run, 3)
    os.environ.pop(FOLDER)
    os.environ.update({} if before is None else {FOLDER: before})
    print(
        f"all shipped jurisdictions loaded and checked: least {least:.3f} s, median {median:.3f} s (budget 0.15 s); "
        f"the first time, before anything is kept, {first:.3f} s"
    )


def pressure_by_hand(test: dict[str, Any], factor: Fraction, floor: Fraction) -> bool:
    """The pressure of a gas test, as a person would write it in Python."""
    return bool(test["pressure"] >= max(factor * test["working"], floor))


def evaluation(count: int = 20_000) -> None:
    """One rule of the gas book over many tests, four ways."""
    adopted = Library(ROOT / "rulesets").adopt("model codes", [])
    rule = adopted.rules.rule("ifgc.test-pressure")
    if rule is None:
        print("evaluation: the gas book has no rule test-pressure")
        return
    psi, floor = read("1 psi", "pressure").exact, read("3 psi", "pressure").exact
    assert psi is not None and floor is not None
    facts = [{"pressure": psi * (index % 9), "working": psi * (index % 3)} for index in range(count)]

    def engine() -> list[str]:
        found = []
        for one in facts:
            subject = Subject("gas_test", "T", {"pressure": one["pressure"], "working": one["working"]})
            found.extend(judged.verdict for judged in judge(rule, Env(subject, {})))
        return found

    def by_hand() -> list[str]:
        found = []
        for one in facts:
            subject = Subject("gas_test", "T", {"pressure": one["pressure"], "working": one["working"]})
            plain = {"pressure": subject.value("pressure"), "working": subject.value("working")}
            found.append("met" if pressure_by_hand(plain, Fraction(3, 2), Fraction(floor)) else "not met")
        return found

    assert engine() == by_hand()
    ways: dict[str, Callable[[], Any]] = {"plain Python on the same subjects": by_hand, "the rule engine": engine}
    ways.update(libraries(facts, floor))
    base = timed(by_hand, 3)[0]
    for name, way in ways.items():
        least = timed(way, 3)[0]
        print(f"evaluating, {name}: {least / count * 1e6:.1f} µs a subject, {least / base:.1f} times plain Python")


def libraries(facts: list[dict[str, Any]], floor: Any) -> dict[str, Callable[[], Any]]:
    """The same predicate in two expression libraries, on floats (they know no fractions)."""
    floats = [{key: float(value) for key, value in one.items()} for one in facts[:2_000]]
    scale = len(facts) // len(floats)
    found: dict[str, Callable[[], Any]] = {}
    text = f"pressure >= 1.5 * working and pressure >= {float(floor)}"
    if importlib.util.find_spec("rule_engine"):
        import rule_engine

        made = rule_engine.Rule(text)
        found["rule-engine"] = lambda: [made.matches(one) for _ in range(scale) for one in floats]
    if importlib.util.find_spec("simpleeval"):
        import simpleeval

        evaluator = simpleeval.SimpleEval()
        tree = evaluator.parse(text)

        def simple() -> list[Any]:
            answers = []
            for _ in range(scale):
                for one in floats:
                    evaluator.names = one
                    answers.append(evaluator.eval(text, previously_parsed=tree))
            return answers

        found["simpleeval"] = simple
    return found


def scaled(data: dict[str, Any], times: int) -> dict[str, Any]:
    """The same building many times over, side by side, with ids of their own."""
    made = copy.deepcopy(data)
    for name in LISTS:
        made[name] = {}
    names = {one for section in LISTS for one in data.get(section) or {}}
    for copy_number in range(times):
        for section in LISTS:
            for one, element in (data.get(section) or {}).items():
                made[section][f"{one}x{copy_number}"] = renamed(element, names, copy_number)
    made["looked"] = [
        {**renamed(said, names, number), "list": said["list"]} for said in data.get("looked") or () if "in" in said
        for number in range(times)] + [said for said in data.get("looked") or () if "in" not in said]
    made["records"] = [renamed(said, names, number) for said in data.get("records") or () for number in range(times)]
    for number in range(times):
        for one in data.get("spaces") or {}:
            moved(made["spaces"][f"{one}x{number}"], 300 * number)
    return made


def moved(space: dict[str, Any], feet: int) -> None:
    """Put a room that many feet to the east."""

    def shift(point: str) -> str:
        east, north = point.split(",")
        inches = Fraction(read(east.strip(), "length").exact or 0) / 25_400_000 + 12 * feet
        return f"{inches} in,{north}" if inches.denominator == 1 else f"{int(inches)}-{inches % 1} in,{north}"

    if "corner" in space:
        space["corner"] = shift(space["corner"])
    if "outline" in space:
        space["outline"] = [
            shift(point) if isinstance(point, str) else {**point, "at": shift(point["at"])} for point in space["outline"]]


WORDS = ("use", "purpose", "line is", "what")
"""Facts whose words may look like the name of a room."""


def renamed(node: Any, names: set[str], number: int) -> Any:
    """Every reference to an element as one to its copy."""
    if isinstance(node, dict):
        return {key: value if key in WORDS else renamed(value, names, number) for key, value in node.items()}
    if isinstance(node, list):
        return [renamed(value, names, number) for value in node]
    if isinstance(node, str):
        first, dot, rest = node.partition(".")
        return f"{first}x{number}{dot}{rest}" if first in names else node
    return node


def growth() -> None:
    """Seconds for reading and checking, against size."""
    data = data_of(MAIN)
    adopted = adopted_for(data, MAIN.parent)
    base = 0.0
    for times in (1, 10, 100):
        big = scaled(data, times)

        def run(site: dict[str, Any] = big) -> None:
            check(make_site([Plain(site)], "site.yaml", TODAY), adopted, TODAY, "all")  # type: ignore[list-item]

        least = timed(run, 1 if times == 100 else 2)[0]
        base = base or least
        print(f"growth: {times} times the main example: {least:.2f} s, {least / base:.1f} times the time")


def hostile() -> None:
    """Time and memory to refuse a file."""
    bomb = "a: &a [x]\n" + "".join(f"{chr(98 + i)}: &{chr(98 + i)} [{', '.join(['*' + chr(97 + i)] * 9)}]\n" for i in range(9))
    for name, text in {"alias bomb": bomb, "a million deep": "[" * 1_000_000, "empty": ""}.items():
        code = ("import sys,resource;from oktocover.reading.site_file import read_site_text;from oktocover.reading.problems import "
                "InputProblems\ntry:\n read_site_text(sys.stdin.read())\nexcept InputProblems: pass\n"
                "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)")
        start = time.perf_counter()
        done = subprocess.run([sys.executable, "-c", code], input=text, capture_output=True, text=True)
        print(f"refusing {name}: {time.perf_counter() - start:.2f} s, {int(done.stdout or 0) / 1024:.0f} MB")


def many(count: int = 24) -> None:
    """Seconds for the portfolio of many copies of the main example, as whole commands."""
    with tempfile.TemporaryDirectory() as folder:
        for number in range(count):
            shutil.copytree(MAIN.parent, Path(folder) / f"{number:02}", ignore=shutil.ignore_patterns("corrected.yaml"))

        def run(workers: int) -> Callable[[], Any]:
            words = ["portfolio", folder, "--jobs", str(workers), "--today", "2026-06-15"]
            return lambda: subprocess.run([sys.executable, "-m", "oktocover", *words], capture_output=True)

        one, two = (timed(run(workers), 2)[0] for workers in (1, 2))
    print(f"portfolio of {count} sites: one process {one:.2f} s, two {two:.2f} s: {one / two:.2f} times as fast (budget 1.8)")


if __name__ == "__main__":
    cold()
    rulesets()
    evaluation()
    growth()
    hostile()
    many()
    pages(MAIN, ROOT / "rulesets", TODAY)
