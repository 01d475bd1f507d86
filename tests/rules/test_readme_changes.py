"""The places printed under 'Places and changes' of rulesets/README.md are whole, and do what the page says."""

import re
from pathlib import Path

import pytest

from oktocover.reading.problems import InputProblems
from oktocover.rules.adopted import Adopted
from oktocover.rules.layers import Layer
from oktocover.rules.library import Library
from oktocover.rules.prove import prove
from oktocover.rules.prove_changes import prove_place
from oktocover.rules.read_layer import read_layer

from .test_readme_places import printed

BLOCKS = printed("Places and changes")
COUNTY = "place: Tallow County\nadopts: {gas: {book: ifgc 2021}, wiring: {book: nec 2020}}\n"


def layer(folder: Path, text: str, name: str = "place.yaml") -> Layer:
    (folder / name).write_text(text, encoding="utf-8")
    return read_layer([folder / name], {folder / name: name})


def adopted(folder: Path, text: str, above: str = COUNTY) -> Adopted:
    own = layer(folder, text)
    chain = (layer(folder, above, "above.yaml"), own) if own.inside else (own,)
    return Library().adopt_chain(chain, own)


@pytest.mark.parametrize("number", range(len(BLOCKS)))
def test_every_place_printed_stands_in_every_window(tmp_path: Path, number: int) -> None:
    adopted(tmp_path, BLOCKS[number]).check_every()


def test_the_page_prints_what_it_speaks_of() -> None:
    text = "\n".join(BLOCKS)
    for key in (
        "until",
        "from",
        "by",
        "when",
        "choice",
        "without",
        "only",
        "with",
        "status",
        "wakes",
        "stacking",
        "bounds",
        "reach",
    ):
        assert re.search(rf"\b{key}:", text), key
    assert len(BLOCKS) == 10


def outcomes(folder: Path, word: str) -> int:
    block = next(block for block in BLOCKS if word in block)
    return len(list(adopted(folder, block).every()))


def test_windows_printed_are_so_many(tmp_path: Path) -> None:
    assert outcomes(tmp_path, "gas.issued") == 4  # either wiring edition, with and without gas
    assert outcomes(tmp_path, "building.use not in") == 2
    assert outcomes(tmp_path, "choice:") == 2
    assert outcomes(tmp_path, "only: sections") == 1


def test_sections_struck_that_hit_nothing_are_listed(tmp_path: Path) -> None:
    found = adopted(tmp_path, next(block for block in BLOCKS if "no-sprinklers" in block))
    assert found.struck == (
        "Tallow Creek: Tallow Creek Code 15.04.060 strikes irc sections R602.11, R313.1.1 to R313.2.1",
    )


def test_the_county_printed_holds_its_towns(tmp_path: Path) -> None:
    county = next(block for block in BLOCKS if "bounds:" in block)
    town = "place: T\nin: Tallow County\nchanges: {c: {cite: x, set: {ifgc.test-hold.most: 12 h}}}\n"
    messages = [problem.message for problem in adopted(tmp_path, town, county).rules.folded.problems]
    assert len(messages) == 2 + any("hazard" in one for one in messages)
    assert any("may not weaken" in one for one in messages) and any("may not differ" in one for one in messages)


def test_the_first_place_printed_proves_itself(tmp_path: Path) -> None:
    block = BLOCKS[0].replace("in: Tallow County ", "#")
    folder = tmp_path / "jurisdictions"
    folder.mkdir()
    (folder / "tallow-creek.yaml").write_text(block, encoding="utf-8")
    with pytest.raises(InputProblems):
        Library().adopt("tallow-marsh", [])
    proofs = [one for one in prove(Library(None, tmp_path), "Tallow Creek") if "longer-gas-test" in one.rule]
    assert proofs and all(one.whole for one in proofs), [(one.failed, one.not_proven) for one in proofs]


def test_the_reach_printed_is_proven_by_its_case(tmp_path: Path) -> None:
    block = next(block for block in BLOCKS if "reach:" in block)
    found = list(prove_place(Library(), layer(tmp_path, block), []))
    assert [(one.what, one.failed, one.not_proven) for one in found] == [("reach", [], [])]
