"""`portfolio`: three lines a job, soonest visit first, texts a trade, the same from any number of processes."""

from __future__ import annotations

import json
import pickle
from pathlib import Path
from typing import Any

import pytest

from oktocover.cli.jobs import Ask, look
from oktocover.cli.portfolio import found_sites, portfolio

from .old_shop import SITE, TOWN

TODAY = "2026-06-15"
WORDS = ("portfolio", "--today", TODAY)


def job(folder: str, held: str = "8 min", booked: str = "", name: str = "", more: str = "") -> None:
    """One site in a folder of its own."""
    Path(folder).mkdir(parents=True, exist_ok=True)
    Path(folder, "my-town.yaml").write_text(TOWN, encoding="utf-8")
    text = SITE % (f", booked: {{{booked}}}" if booked else "", "3 psi")
    text = text.replace("held: 8 min", f"held: {held}").replace("held: 9 min", f"held: {held}")
    text = text.replace("Old shop", name or folder)
    Path(folder, "site.yaml").write_text(text + more, encoding="utf-8")


def lines(run: Any, *words: str) -> list[str]:
    """The three lines of each job."""
    text = run(*WORDS, *words).out
    return list(text.partition("\n")[2].partition("\n\n")[0].splitlines())


def test_three_lines_a_job_soonest_visit_first(run: Any) -> None:
    job("c-shop", "12 min", "final: 2026-07-01")
    job("b-shop", booked="rough: 2026-06-16")
    job("a-shop")
    job("d-shop", "12 min", name='"@d|shop"')
    found = lines(run)
    assert len(found) == 12
    assert [line.split("  ")[0] for line in found[::3]] == ["b-shop", "c-shop", "@d|shop", "a-shop"]
    assert found[0].endswith(" 16 June 2026") and found[3].endswith(" 1 July 2026") and found[6].endswith("not booked")
    assert found[1] == "   rough: do not call yet; 2 corrections likely"
    assert found[2] == "   gas: Held long enough (T-1, T-2)"
    assert found[4].startswith("   final: ready to call")
    assert found[5] == "   nothing blocks it, as written"
    assert max(map(len, found)) <= 96


def test_a_text_a_trade_can_be_pasted(run: Any) -> None:
    job("b-shop", booked="rough: 2026-06-16")
    job("a-shop")
    text = run(*WORDS, "--trade", "gas").out
    assert text == (
        "GAS\n"
        "b-shop, rough on 16 June 2026:\n"
        "- Held long enough: 2 places: T-1, T-2 (measured 8 min, needed at least 10 min, short by 2 min)\n"
        "a-shop, rough:\n"
        "- Held long enough: 2 places: T-1, T-2 (measured 8 min, needed at least 10 min, short by 2 min)\n"
    )
    assert text in run(*WORDS).out
    ran = run(*WORDS, "--trade", "gaz")
    assert (ran.code, ran.out) == (2, "") and "did you mean 'gas'?" in ran.err


def test_what_cannot_be_read_is_told_and_hides_nothing(run: Any) -> None:
    job("good", "12 min")
    job("bad", more="receptacle: {}\n")
    ran = run(*WORDS)
    assert ran.code == 2
    found = lines(run)
    assert [line.strip().split("  ")[0] for line in found[::3]] == ["good", "bad/site.yaml"]
    assert found[4] == "   could not be read" and "bad/site.yaml:9:1: " in found[5]


@pytest.mark.parametrize(("held", "code"), [(("12 min", "12 min"), 0), (("12 min", "8 min"), 1), (("12 min", "~"), 3)])
def test_the_exit_code_is_the_worst(held: tuple[str, str], code: int, run: Any) -> None:
    for name, one in zip(("a", "b"), held, strict=True):
        job(name, one)
    assert run(*WORDS).code == code


def test_sites_are_found_in_folders_and_lists(run: Any) -> None:
    job("one/a")
    job("one/b/c")
    job(".hidden/x")
    Path("one/b/c/set-aside.yaml").write_text("set aside: []\n", encoding="utf-8")
    Path("one/parts").mkdir()
    Path("one/parts/head.yaml").write_text("site: parts\n", encoding="utf-8")
    Path("one/parts/gas.yaml").write_text("gas systems: {}\n", encoding="utf-8")
    Path("one/two.yaml").write_text("site: two\n", encoding="utf-8")
    Path("one/three.yaml").write_text("site: three\n", encoding="utf-8")
    everything = ["one/three.yaml", "one/two.yaml", "one/a/site.yaml", "one/b/c/site.yaml", "one/parts"]
    assert found_sites(["one"]) == everything
    Path("one/jobs.txt").write_text("# mine\n\na/site.yaml\nb\nparts\na\n", encoding="utf-8")
    assert found_sites(["one/jobs.txt"]) == ["one/a/site.yaml", "one/b/c/site.yaml", "one/parts"]
    assert found_sites(["one/a/site.yaml", "one"]) == ["one/a/site.yaml", *(one for one in everything if one != "one/a/site.yaml")]
    Path("loop").mkdir()
    Path("loop/again").symlink_to(Path("loop").resolve())
    Path("loop/jobs.txt").write_bytes(b"\xff\nnowhere.yaml\njobs.txt\n")
    found = run("portfolio", "loop/jobs.txt", "one/a")
    assert found.code == 2 and found.out.count("could not be read") == 3 and "Old shop" not in found.err
    Path("empty").mkdir()
    ran = run("portfolio", "empty")
    assert ran.code == 2 and "there is no site here" in ran.err
    assert run("portfolio", "nowhere").code == 2


def test_any_number_of_processes_gives_the_same(run: Any) -> None:
    for number in range(5):
        job(f"shop-{number}", f"{number + 8} min", booked=f"rough: 2026-06-{20 - number}")
    one = run(*WORDS, "--jobs", "1")
    assert one.code == 1 and "5 jobs" in one.out
    for count in ("2", "3", "9"):
        other = run(*WORDS, "--jobs", count)
        assert (other.code, other.out) == (one.code, one.out)


def test_a_job_is_a_plain_value_of_a_plain_value(run: Any) -> None:
    """So that anything that runs functions elsewhere can run it."""
    job("a")
    ask = Ask("a/site.yaml", TODAY)
    assert pickle.loads(pickle.dumps(look)) is look
    assert pickle.loads(pickle.dumps(ask)) == ask
    found = look(ask)
    assert pickle.loads(pickle.dumps(found)) == found == look(ask)
    calls: list[Ask] = []

    def elsewhere(function: Any, asks: Any) -> list[Any]:
        calls.extend(asks)
        return [pickle.loads(pickle.dumps(function))(pickle.loads(pickle.dumps(one))) for one in asks]

    assert portfolio([ask, ask], elsewhere) == portfolio([ask, ask]) and calls == [ask, ask]


def test_the_same_from_a_cluster(run: Any) -> None:
    distributed = pytest.importorskip("distributed", reason="the cluster's client is not installed")
    job("a")
    job("b", "12 min")
    asks = [Ask(f"{Path.cwd()}/{name}/site.yaml", TODAY) for name in ("a", "b")]
    with distributed.Client(processes=False, n_workers=1, dashboard_address=None) as client:
        assert portfolio(asks, lambda function, over: client.gather(client.map(function, over))) == portfolio(asks)


def test_json_and_people(run: Any) -> None:
    job("a")
    job("b", "12 min")
    name = json.loads(run("check", "a/site.yaml", "--format", "json").out)["findings"][0]["rule"]
    Path("b/set-aside.yaml").write_text(
        f"set aside:\n  - {{rule: {name}, element: T-9, who: Q.Z., why: old, until: final}}\n", encoding="utf-8")
    told = json.loads(run(*WORDS, "--format", "json").out)
    assert [(one["name"], one["code"], one["visit"]) for one in told["jobs"]] == [("b", 0, "rough"), ("a", 1, "rough")]
    assert told["exit_code"] == 1 and told["jobs"][0]["notes"] >= 1
    for form in ("text", "json"):
        assert "Q.Z." not in run(*WORDS, "--format", form, "--without-people").out


def test_what_is_set_aside_blocks_nothing_and_is_counted(run: Any) -> None:
    job("a")
    run("set-aside", "a/site.yaml", "--who", "M.K.", "--why", "old", "--until", "final", "--today", TODAY)
    ran = run(*WORDS)
    assert ran.code == 0 and "rough: nothing open but what is set aside (2)" in ran.out and "2 set aside" in ran.out


EVIL = r"\e[31mred\x00\u202e\n\r]]>&<b>::error::%0A" + "N" * 600


def test_a_hostile_name_is_harmless(run: Any) -> None:
    job("a", name=f'"{EVIL}"')
    ran = run(*WORDS)
    assert ran.code == 1 and not {char for char in ran.out if ord(char) < 32 and char != "\n"} and "\u202e" not in ran.out
    assert max(map(len, lines(run))) <= 96
