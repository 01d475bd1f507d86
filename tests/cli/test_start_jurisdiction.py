"""`start jurisdiction`: a place file that loads as it is, and of which every commented example loads when uncommented."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from oktocover.measures import trades
from oktocover.rules.library import Library
from oktocover.rules.prove import prove

assert trades
ROOT = Path(__file__).resolve().parents[2]
NOTE = re.compile(r" *## ")
GAS = ("ifgc 2021", "nfpa54 2021", "upc 2021")


def answers(*said: str) -> str:
    return "".join(f"{one}\n" for one in said)


def made(run: Any, gas: str = "not sure") -> str:
    ran = run("start", "jurisdiction", "Elk Fork", "--today", "2026-06-15", typed=answers("", "", gas, ""))
    assert ran.code == 0, ran.err
    return Path("elk-fork.yaml").read_text(encoding="utf-8")


def examples(text: str) -> dict[str, list[int]]:
    """The lines of each commented example, by its first line."""
    found: dict[str, list[int]] = {}
    name = ""
    for number, line in enumerate(text.splitlines()):
        if re.match(r" *# \S", line) and number and (not name or re.match(r"(# |  # )\S", line)):
            name = line.strip("# ").partition(":")[0]
        if re.match(r" *# ", line) and number:
            found.setdefault(name, []).append(number)
        else:
            name = ""
    return found


def uncommented(text: str, *names: str) -> str:
    wanted = {number for name in names for number in examples(text)[name]}
    lines = [line.replace("# ", "", 1) if number in wanted else line for number, line in enumerate(text.splitlines())]
    return "\n".join(lines) + "\n"


def loads(run: Any, text: str) -> str:
    Path("t.yaml").write_text(text, encoding="utf-8")
    ran = run("rules", "--jurisdiction", "t.yaml", "--against", "model codes")
    assert ran.code == 0, ran.err
    return str(ran.out)


def test_it_loads_as_it_is_and_changes_nothing(run: Any) -> None:
    ran = run("start", "jurisdiction", "Elk Fork", "--yes")
    assert ran.code == 0 and ran.out.startswith("elk-fork.yaml is written.")
    same = run("rules", "--jurisdiction", "elk-fork.yaml", "--against", "model codes")
    assert same.out == "No difference between Elk Fork and model codes.\n"


def test_there_are_few_questions(run: Any) -> None:
    ran = run("start", "jurisdiction", typed=answers("Elk Fork", "Tallow Creek", "irc 2021", "upc 2021", "nec 2023"))
    assert ran.code == 0, ran.err
    assert re.findall(r"(?:^|: )(\d)\. ", ran.out) == ["1", "2", "3", "4", "5"]
    data = yaml.safe_load(Path("elk-fork.yaml").read_text(encoding="utf-8"))
    assert data["in"] == "Tallow Creek"
    assert data["adopts"] == {"houses": {"book": "irc 2021"}, "gas": {"book": "upc 2021"}, "wiring": {"book": "nec 2023"}}
    ran = run("start", "jurisdiction", "B", typed=answers("Tallo Creek", "tallow creek", "", "", "nec 20", "nec 2017"))
    assert ran.code == 0 and "did you mean tallow creek?" in ran.out


@pytest.mark.parametrize("gas", GAS)
def test_each_example_loads_when_it_is_uncommented(gas: str, run: Any) -> None:
    text = made(run, gas)
    names = list(examples(text))
    assert len(names) == 13, names
    for name in names:
        also = ("facts",) if name == "meter-out-of-snow" else ()
        said = loads(run, uncommented(text, name, *also))
        if name not in ("bounds", "checked by", "no-foam-for-some-years"):
            assert "No difference" not in said, name


@pytest.mark.parametrize("gas", GAS)
def test_all_of_it_loads_fits_its_schema_and_proves_its_cases(gas: str, run: Any) -> None:
    text = made(run, gas)
    whole = uncommented(text, *examples(text))
    loads(run, whole)
    schema = re.match(r"# yaml-language-server: \$schema=(.+)$", whole.splitlines()[0])
    assert schema and Path(schema[1]).resolve() == (ROOT / "schemas" / "jurisdiction.schema.json").resolve()
    data = yaml.load(whole, Loader=yaml.BaseLoader)
    as_written = yaml.load(text, Loader=yaml.BaseLoader) | {"changes": None}
    for page in (data, as_written):
        assert not list(jsonschema.Draft202012Validator(json.loads(Path(schema[1]).read_text())).iter_errors(page))
    stacked = Path("more/jurisdictions")
    stacked.mkdir(parents=True)
    (stacked / "elk-fork.yaml").write_text(whole, encoding="utf-8")
    proofs = {one.rule: one for one in prove(Library(ROOT / "rulesets", stacked.parent), "Elk Fork")}
    for name, change in data["changes"].items():
        assert f"change {name}" in proofs, {one: proof.failed for one, proof in proofs.items()}
        assert "cases" in change and proofs[f"change {name}"].whole, (name, proofs[f"change {name}"])


def test_what_delete_in_its_entirety_means_is_said_three_times(run: Any) -> None:
    text = made(run)
    notes = " ".join(line.strip("# ") for line in text.splitlines() if NOTE.match(line))
    for word in ("1. duty gone", "2. ban gone", "3. permission gone"):
        assert word in notes
    said = loads(run, uncommented(text, "no-written-record", "opening-into-bedroom", "no-carbon-dioxide"))
    for part in ("(looser; duty gone:", "(looser; ban gone:", "(stricter;"):
        assert part in " ".join(said.split())


def test_nothing_is_overwritten(run: Any) -> None:
    Path("elk-fork.yaml").write_text("mine", encoding="utf-8")
    ran = run("start", "jurisdiction", "Elk Fork", "--yes")
    assert ran.code == 2 and "'elk-fork.yaml' is there already" in ran.err
    assert Path("elk-fork.yaml").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("name", ['Elk "Fork": x', "Ñandú Hollow", "my/elk-fork.yaml", "St. Mary's & Co (east)", "# x"])
def test_any_name_loads(name: str, run: Any) -> None:
    ran = run("start", "jurisdiction", name, "--yes")
    assert ran.code == 0, ran.err
    path = ran.out.partition(" is written")[0]
    assert run("rules", "--jurisdiction", path).code == 0


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["jurisdiction", "Elk", "Fork"], 'start jurisdiction "Elk Fork"'),
        (["jurisdiction", "--yes"], "name the place"),
        (["jurisdiction", "!!", "--yes"], "the place has no name"),
        (["a.yaml", "b.yaml"], "start writes one file"),
        (["a.yaml", "--yes"], "start writes one file"),
    ],
)
def test_a_wrong_call(args: list[str], said: str, run: Any) -> None:
    ran = run("start", *args)
    assert ran.code == 2 and said in ran.err


def test_broken_off_writes_nothing(run: Any) -> None:
    ran = run("start", "jurisdiction", "Elk Fork", typed="\n")
    assert ran.code == 130 and "nothing is written" in ran.err
    assert not Path("elk-fork.yaml").exists()
