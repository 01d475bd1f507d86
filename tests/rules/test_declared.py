"""Facts and kinds that a layer declares: what a site of its place may carry, what its rules may ask, and what cannot be."""

import io
import json
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from oktocover.check import check
from oktocover.cli.main import main
from oktocover.findings.finding import Finding
from oktocover.measures import registry
from oktocover.quantities import read_date
from oktocover.reading.problems import InputProblems
from oktocover.reading.site_file import read_site, read_site_text
from oktocover.rules.declared_places import declared_for, who_declares
from oktocover.rules.library import Library
from oktocover.rules.prove import prove
from oktocover.schemas import site_schema
from oktocover.site.declared import NOTHING, Declared, in_force, speaking
from oktocover.site.root import Site, element_lists

DAY = read_date("2026-06-15")
BOOK = """
book: tst
edition: "1"
inspections: {rough: {title: Rough}}
rules:
  far:
    {title: Far, section: "1", trade: gas, stage: rough, severity: correction, each: gas_outlet, limits: {least: 1 psi},
     require: pressure_here >= least, remedy: Mend it., basis: {check: common practice}}
facts:
  gas_outlet.pressure_here: {type: pressure, found by: test, means: pressure at the outlet}
"""
SNOW = """
place: Snow Flat
adopts: {gas: {book: tst 1}}
facts:
  gas_system.out_of_snow: {type: yes or no, found by: look, means: no snow slides onto the meter}
  building.decks: {type: count, means: decks on the house}
  site.snow: {type: surface load, found by: official, means: snow load of the ground}
  permit.fee: {type: money, found by: paper, means: fee of the permit}
kinds:
  drain_test:
    plural: drain tests
    system: plumbing
    means: a test of the drains
    facts:
      medium: {one of: [water, air], means: what they are filled with}
      head: {type: length or none, found by: tape, means: water above the highest fitting}
      begun: {type: day and clock time, means: when it began}
      witness: {type: text, means: who saw it}
      system_tested: {type: gas system, means: something to refer to}
rules:
  guard:
    title: Meter out of sliding snow
    section: "2"
    trade: gas
    stage: rough
    severity: hazard
    each: gas_system
    when: {deep: site.snow > light and permit.fee > small and building.decks >= one}
    limits: {light: 30 psf, small: "10,000 USD", one: 1}
    require: out_of_snow
    remedy: Move the meter.
    basis: {check: seen, source: invented}
  drains:
    title: Drain test
    section: "3"
    trade: plumbing
    stage: rough
    severity: correction
    each: drain_test
    when: {filled: medium == 'water'}
    limits: {least: 5 ft}
    require: head >= least
    remedy: Fill it.
    basis: {check: common practice}
"""
CASES = """
cases: Snow Flat
snow-flat.guard:
  usual: {site.snow: 31 psf, permit.fee: "10,001 USD", building.decks: 1}
  cases:
    in the way: {given: {out_of_snow: no}, verdict: not met}
    out of it: {given: {out_of_snow: yes}, verdict: met}
    nobody looked: {given: {}, verdict: not recorded, missing: [out_of_snow]}
    little snow: {given: {site.snow: 30 psf, out_of_snow: no}, verdict: does not apply}
    a small job: {given: {permit.fee: $10000, out_of_snow: no}, verdict: does not apply}
    no deck: {given: {building.decks: 0, out_of_snow: no}, verdict: does not apply}
snow-flat.drains:
  usual: {medium: water}
  cases:
    full: {given: {head: 5 ft}, verdict: met}
    a sixteenth low: {given: {head: 4 ft 11-15/16 in}, verdict: not met}
    no water: {given: {head: none}, verdict: not recorded}
    not taped: {given: {}, verdict: not recorded, missing: [head]}
    by air: {given: {medium: air, head: 1 ft}, verdict: does not apply}
"""
DRY = """
place: Dry Gulch
adopts: {gas: {book: tst 1}}
facts:
  gas_system.out_of_snow: {type: [well out, just out], means: another thing by the same name}
"""
SITE = """
site: A house
permit: {jurisdiction: snow flat, fee: $12000}
building: {decks: 1}
snow: {is: 40 psf, known: told, by: the office}
described: {fuel gas: yes, plumbing: yes}
gas systems:
  main: {gas: natural gas, out of snow: no}
drain tests:
  T1: {medium: water, head: 4 ft, typical: seen}
typicals: {seen: {witness: the plumber}}
rows:
  - {list: drain tests, ids: [T2, T3], medium: [water, air], head: 6 ft}
looked:
  - {all: drain tests, count: 3, are: {begun: 2026-05-03 9:05}, by: M.K., day: 2026-05-03}
  - {list: drain tests, whole: yes, by: M.K., day: 2026-05-03}
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Library:
    root = tmp_path / "rulesets"
    (root / "tst" / "1").mkdir(parents=True)
    (root / "jurisdictions").mkdir()
    (root / "tst" / "1" / "a.yaml").write_text(BOOK)
    (root / "jurisdictions" / "snow-flat.yaml").write_text(SNOW)
    (root / "jurisdictions" / "snow-flat.cases.yaml").write_text(CASES)
    (root / "jurisdictions" / "dry-gulch.yaml").write_text(DRY)
    return Library(root)


def findings(shelf: Library, text: str = SITE, place: str = "snow flat") -> dict[tuple[str, str], Finding]:
    read = read_site_text_of(shelf, text, place)
    checked = check(read, shelf.adopt(place, []), DAY, "all")
    return {(one.rule, one.element): one for one in checked.findings}


def read_site_text_of(shelf: Library, text: str, place: str = "snow flat") -> Any:
    with speaking(declared_for(shelf, place)):
        return read_site_text(text, today=DAY)


@dataclass
class Ran:
    """What one command printed, on both streams, and its exit code."""

    output: str
    exit_code: object


def run(shelf: Library, tmp_path: Path, text: str, *arguments: str) -> Ran:
    (tmp_path / "site.yaml").write_text(text)
    stream = io.StringIO()
    code: object = 0
    with redirect_stdout(stream), redirect_stderr(stream):
        try:
            main([arguments[0], str(tmp_path / "site.yaml"), *arguments[1:], "--rulesets", str(shelf.root)])
        except SystemExit as stop:
            code = stop.code
    return Ran(stream.getvalue(), code)


def wrong(shelf: Library, place: str) -> str:
    """All that is wrong with a place whose file is `place`."""
    (shelf.root / "jurisdictions" / "snow-flat.yaml").write_text(place)
    with pytest.raises(InputProblems) as caught:
        rules = shelf.adopt("snow flat", []).rules
        rules.check()
    return "\n".join(problem.text() for problem in caught.value.problems)


def test_rules_of_the_place_ask_what_the_place_declares(shelf: Library) -> None:
    found = findings(shelf)
    guard = found["snow-flat.guard", "main"]
    assert (guard.verdict, guard.known_by) == ("not met", "told")
    low = found["snow-flat.drains", "T1"]
    assert (low.verdict, low.measured, low.required, low.margin) == (
        "not met",
        "4 ft",
        "at least 5 ft",
        "short by 1 ft",
    )
    assert low.place is not None and low.place.line == 10
    assert found["snow-flat.drains", "T2"].verdict == "met"
    assert found["snow-flat.drains", "T3"].verdict == "does not apply"


def test_a_declared_fact_that_is_missing_is_asked_for_with_its_meaning(shelf: Library) -> None:
    blank = SITE.replace("snow: {is: 40 psf, known: told, by: the office}", "")
    (snow,) = findings(shelf, blank)["snow-flat.guard", "main"].missing
    assert (snow.fact, snow.found_by, snow.means) == ("snow", "official", "snow load of the ground")
    assert snow.path == ("snow",)
    (placed,) = findings(shelf, SITE.replace(", out of snow: no", ""))["snow-flat.guard", "main"].missing
    assert (placed.fact, placed.found_by) == ("out of snow", "look")
    assert (placed.path, placed.means) == (("gas systems", "main", "out of snow"), "no snow slides onto the meter")
    without = findings(shelf, SITE.replace("building: {decks: 1}", ""))["snow-flat.guard", "main"]
    assert [one.path for one in without.missing] == [("building", "decks")]


def test_short_forms_write_declared_facts(shelf: Library) -> None:
    tests = read_site_text_of(shelf, SITE).site.drain_tests
    assert list(tests) == ["T1", "T2", "T3"]
    assert tests["T1"].witness == "the plumber"
    assert {str(one.begun) for one in tests.values()} == {"2026-05-03 09:05:00"}


def test_what_is_wrong_with_a_declared_fact_is_told_at_its_line(shelf: Library, tmp_path: Path) -> None:
    text = SITE.replace("medium: water, head: 4 ft", "medium: wine, head: 4 psi, system tested: T2, hed: 3 ft")
    said = run(shelf, tmp_path, text, "check").output
    assert "site.yaml:10:16: medium: 'wine'" in said and "water, air" in said
    assert "site.yaml:10:28: head: '4 psi'" in said and "none, or 14 ft" in said
    assert "'hed' is not a key that stands here" in said and "did you mean 'head'?" in said
    later = run(shelf, tmp_path, SITE.replace("head: 4 ft", "head: 4 ft, system tested: T2"), "check").output
    assert "'T2' is a drain test, not a gas system" in later


def test_show_and_the_plan_know_them(shelf: Library, tmp_path: Path) -> None:
    sheet = run(shelf, tmp_path, SITE, "show", "T1").output
    assert "medium: water" in sheet and "head: 4 ft" in sheet
    told = " ".join(run(shelf, tmp_path, SITE, "show").output.split())
    assert "drain tests, 3: T1, T2, T3; list whole" in told
    assert "THE BUILDING decks 1, snow 40 psf, fee $12000" in told
    plan = tmp_path / "plan.svg"
    run(shelf, tmp_path, SITE + "spaces: {room: {size: 10 ft x 12 ft}}\n", "show", "--plan", str(plan))
    assert "room" in plan.read_text()


def test_two_sites_of_two_places_in_one_process(shelf: Library, tmp_path: Path) -> None:
    snow, dry = declared_for(shelf, "snow flat"), declared_for(shelf, "dry gulch")
    one = read_site_text_of(shelf, SITE)
    other = read_site_text_of(shelf, "gas systems: {main: {out of snow: just out}}\n", "dry gulch")
    assert (one.site.gas_systems["main"].out_of_snow, other.site.gas_systems["main"].out_of_snow) == (False, "just out")
    assert run(shelf, tmp_path, SITE, "check").exit_code == 1
    assert in_force() == NOTHING and "drain_tests" not in element_lists()
    assert "out_of_snow" not in registry.KINDS["gas_system"].facts and "drain_test" not in registry.KINDS
    with speaking(snow):
        assert registry.kinds()["gas_system"].facts["out_of_snow"].form == "yes or no"
        with speaking(dry):
            assert registry.kinds()["gas_system"].facts["out_of_snow"].form == "word"
            assert "drain_test" not in registry.kinds()
        assert "drain_test" in registry.kinds()
    with pytest.raises(InputProblems):
        read_site_text(SITE, today=DAY)
    # the same place read twice is one model, so that nothing piles up
    again = read_site_text_of(shelf, SITE)
    assert type(again.site) is type(one.site) and issubclass(type(one.site), Site)


def test_a_fact_of_another_place_says_whose_it_is(shelf: Library, tmp_path: Path) -> None:
    text = "permit: {jurisdiction: dry gulch}\ngas systems: {main: {out of snow: well out}}\ndrain tests: {T1: {}}\nsnow: 4 psf\n"
    said = run(shelf, tmp_path, text, "check").output
    assert "'drain tests' is asked for by Snow Flat only, which is not in force here" in said
    assert "'snow' is asked for by Snow Flat only" in said
    assert "out of snow" not in said
    assert who_declares(shelf, "gas systems", "no such fact") == ""
    short = (
        "permit: {jurisdiction: tst town}\nrows: [{list: gas systems, ids: [a, b], out of snow: yes}]\n"
        "looked: [{all: gas systems, are: {out of snow: yes}, count: 2, by: M.K., day: 2026-05-03}]\n"
    )
    (shelf.root / "jurisdictions" / "tst-town.yaml").write_text("place: Tst Town\nadopts: {gas: {book: tst 1}}\n")
    assert run(shelf, tmp_path, short, "check").output.count("asked for by") == 2
    listed = "rows: [{list: drain tests, ids: [a, b], head: 4 ft}]\n"
    assert "asked for by Snow Flat only" in run(shelf, tmp_path, listed, "check").output


def test_cases_give_declared_facts_and_prove_the_rules(shelf: Library) -> None:
    proofs = {proof.rule: proof for proof in prove(shelf, "Snow Flat")}
    for rule in ("snow-flat.guard", "snow-flat.drains"):
        assert proofs[rule].failed == []
        assert proofs[rule].cases >= 5
    assert proofs["snow-flat.guard"].not_proven == []
    assert proofs["snow-flat.drains"].not_proven == []


def test_a_book_declares_for_the_places_above_it(shelf: Library) -> None:
    found = findings(shelf, "gas outlets: {o: {pressure here: 0.5 psi}}\n", "dry gulch")
    assert found["tst.far", "o"].verdict == "not met"
    assert {fact.name for fact in declared_for(shelf, "dry gulch").facts} == {"pressure_here", "out_of_snow"}


def test_a_rule_that_uses_a_fact_nobody_declares(shelf: Library) -> None:
    said = wrong(shelf, SNOW.replace("require: out_of_snow", "require: in_the_shade"))
    assert "'in_the_shade' is no fact of a gas system" in said
    assert "a place may declare it: facts: {gas_system.in_the_shade: {type: ..., means: ...}}" in said
    near = wrong(shelf, SNOW.replace("require: out_of_snow", "require: out_of_snows"))
    assert "did you mean 'out_of_snow'?" in near
    assert "a length" in wrong(shelf, SNOW.replace("head >= least", "head"))
    assert "'wine'" in wrong(shelf, SNOW.replace("medium == 'water'", "medium == 'wine'"))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("gas_system.out_of_snow:", "gas_system.gas:", "the model has the fact 'gas_system.gas' already"),
        ("gas_system.out_of_snow:", "gas_systm.out_of_snow:", "did you mean 'gas_system'?"),
        ("gas_system.out_of_snow:", "gas_piping.out_of_snow:", "is worked out and stands in no site file"),
        ("gas_system.out_of_snow:", "gas_system.Out:", "cannot be the name of a fact"),
        ("gas_system.out_of_snow:", "gas_system.class:", "cannot be the name of a fact"),
        ("gas_system.out_of_snow:", "gas_system.photos:", "means something else wherever facts stand"),
        ("gas_system.out_of_snow:", "gas_system.count:", "means something else wherever facts stand"),
        ("gas_system.out_of_snow:", "out_of_snow:", "names no kind of thing"),
        ("site.snow:", "site.gas_pipes:", "the model has the fact 'site.gas_pipes' already"),
        ("site.snow:", "site.drain_tests:", "the model has the fact 'site.drain_tests' already"),
        ("type: surface load", "type: surface lod", "did you mean 'surface load'?"),
        ("type: count, means: decks on the house", "type: count", "does not say what it means"),
        ("type: count, means", "means", "has no type"),
        ("found by: official", "found by: oficial", "did you mean 'official'?"),
        ("type: count", "tipe: count", "did you mean 'type'?"),
        ("one of: [water, air]", "one of: [water, water]", "two or more different ones"),
        ("plural: drain tests", "plural: gas pipes", "it is the list of gas pipes already"),
        ("plural: drain tests", "plural: permit", "it is a key of the site file already"),
        ("    plural: drain tests\n", "", "says how several are called"),
        ("system: plumbing", "system: pluming", "did you mean 'plumbing'?"),
        ("  drain_test:", "  gas_test:", "'gas_test' is a kind of thing already"),
        ("    system: plumbing", "    sistem: plumbing", "did you mean 'system'?"),
    ],
)
def test_declarations_that_cannot_stand(shelf: Library, old: str, new: str, said: str) -> None:
    assert SNOW.count(old) >= 1
    text = wrong(shelf, SNOW.replace(old, new, 1))
    assert said in text
    line = next(one for one in text.splitlines() if said in one or "snow-flat.yaml:" in one)
    assert line.startswith("rulesets/jurisdictions/snow-flat.yaml:")


def test_two_layers_that_declare_one_thing_differently(shelf: Library) -> None:
    job = "place: The job\nfacts: {gas_system.out_of_snow: {type: count, means: x}}\n"
    jobs = shelf.root / "jobs"
    jobs.mkdir()
    (jobs / "job.yaml").write_text(job)
    with pytest.raises(InputProblems) as caught:
        declared_for(shelf, "snow flat", ["job"])
    said = caught.value.problems[0].text()
    assert "Snow Flat declares the fact 'gas_system.out_of_snow' otherwise" in said
    assert "rulesets/jurisdictions/snow-flat.yaml:5" in said and said.startswith("rulesets/jobs/job.yaml:2")
    (jobs / "job.yaml").write_text("place: The job\nkinds: {air_test: {plural: drain tests, means: another}}\n")
    with pytest.raises(InputProblems) as caught:
        declared_for(shelf, "snow flat", ["job"])
    assert "Snow Flat has 'drain tests' as the list of 'drain_test'" in caught.value.problems[0].text()
    same = "facts: {gas_system.out_of_snow: {type: yes or no, found by: look, means: in other words}}\n"
    (jobs / "job.yaml").write_text("place: The job\n" + same)
    assert len(declared_for(shelf, "snow flat", ["job"]).facts) == len(declared_for(shelf, "snow flat").facts)


def test_a_place_that_cannot_be_read_does_not_hide_behind_its_facts(shelf: Library, tmp_path: Path) -> None:
    said = run(shelf, tmp_path, SITE.replace("snow flat", "snow flt"), "check").output
    assert "nobody has entered the jurisdiction 'snow flt'" in said and "site.yaml:3:24" in said


def test_the_schema_of_one_place_accepts_its_facts(shelf: Library) -> None:
    data = {
        "building": {"decks": 1},
        "gas systems": {"main": {"out of snow": "no"}},
        "drain tests": {"T": {"medium": "air"}},
    }
    declared = declared_for(shelf, "snow flat")
    own = jsonschema.Draft202012Validator(json.loads(json.dumps(site_schema(declared))))
    assert not list(own.iter_errors(data))
    assert list(own.iter_errors({"drain tests": {"T": {"medium": "wine"}}}))
    any_place = jsonschema.Draft202012Validator(json.loads(json.dumps(site_schema())))
    assert len(list(any_place.iter_errors(data))) == 3


def test_nothing_declared_costs_no_model(shelf: Library, tmp_path: Path) -> None:
    (tmp_path / "s.yaml").write_text("site: plain\n")
    assert type(read_site(tmp_path / "s.yaml", DAY).site) is Site
    assert type(read_site(tmp_path / "s.yaml", DAY, Declared()).site) is Site


WALLS = """
place: Snow Flat
adopts: {gas: {book: tst 1}}
facts:
  wall.insulation: {type: insulation, found by: paper, means: R-value between the studs and over them}
rules:
  wall:
    title: Wall insulation
    section: "4"
    trade: energy
    stage: rough
    severity: correction
    each: wall
    limits: {needed: R-20+5ci or R-13+10ci}
    require: insulation >= needed
    remedy: Add to it.
    basis: {check: common practice}
"""
WALL_CASES = """
cases: Snow Flat
snow-flat.wall:
  cases:
    the first way: {given: {insulation: R-20+5ci}, verdict: met}
    less between: {given: {insulation: R-19+5ci}, verdict: not met, measured: R-19+5ci, required: at least R-20+5ci or R-13+10ci}
    less over it: {given: {insulation: R-20+4ci}, verdict: not met}
    the second way: {given: {insulation: R-13+10ci}, verdict: met}
    the second less between: {given: {insulation: R-12+10ci}, verdict: not met}
    the second less over it: {given: {insulation: R-13+9ci}, verdict: not met}
    at least so much: {given: {insulation: at least R-20+5ci}, verdict: met}
    at least less: {given: {insulation: at least R-13}, verdict: not recorded}
    not written: {given: {}, verdict: not recorded}
"""


def test_insulation_is_proven_part_by_part(shelf: Library) -> None:
    (shelf.root / "jurisdictions" / "snow-flat.yaml").write_text(WALLS)
    (shelf.root / "jurisdictions" / "snow-flat.cases.yaml").write_text(WALL_CASES)
    proof = next(one for one in prove(Library(shelf.root), "Snow Flat") if one.rule == "snow-flat.wall")
    assert (proof.failed, proof.not_proven) == ([], [])
    assert len([one for one in proof.proven if "way " in one]) == 8
    found = findings(Library(shelf.root), "walls: {w: {insulation: R-19+5ci}}\n")["snow-flat.wall", "w"]
    assert (found.verdict, found.measured, found.margin) == ("not met", "R-19+5ci", "")
    said = wrong(shelf, WALLS.replace("insulation >= needed", "insulation + insulation >= needed"))
    assert "calculates with an insulation" in said


ROOF = """
place: Snow Flat
adopts: {gas: {book: tst 1}}
kinds: {roof: {plural: roofs, means: a roof, facts: {drawn_for: {type: surface load, means: snow load it is drawn for}}}}
rules:
  load:
    title: Roof load
    section: R301.2
    trade: framing
    stage: rough
    severity: hazard
    each: roof
    limits: {snow: blank psf}
    require: drawn_for >= snow
    remedy: Ask the office.
    basis: {check: memory}
"""


def test_a_blank_is_asked_of_the_office_until_the_place_fills_it(shelf: Library) -> None:
    (shelf.root / "jurisdictions" / "snow-flat.yaml").write_text(ROOF)
    site = "roofs: {A: {drawn for: 40 psf}}\n"
    load = findings(Library(shelf.root), site)["snow-flat.load", "A"]
    assert load.verdict == "not recorded"
    assert [(one.element, one.fact, one.found_by) for one in load.missing] == [("the place", "snow", "official")]
    assert load.missing[0].means == "the place has not set this value (psf)"
    town = "place: Low Town\nin: snow flat\nchanges: {snow: {cite: Code 1, set: {snow-flat.load.snow: 50 psf}}}\n"
    (shelf.root / "jurisdictions" / "low-town.yaml").write_text(town)
    filled = findings(Library(shelf.root), site, "low town")["snow-flat.load", "A"]
    assert (filled.verdict, filled.required, filled.margin) == ("not met", "at least 50 psf", "short by 10 psf")


def test_taking_out_a_declared_fact_gives_the_same_or_not_recorded(shelf: Library) -> None:
    """Absent is not false: for every fact of the site that can be taken out alone."""
    whole = {key: one.verdict for key, one in findings(shelf).items()}
    cuts = (", fee: $12000", "building: {decks: 1}", "snow: {is: 40 psf, known: told, by: the office}")
    for cut in (
        *cuts,
        ", out of snow: no",
        "medium: water, ",
        "head: 4 ft, ",
        "medium: [water, air], ",
        ", head: 6 ft",
    ):
        assert cut in SITE
        for key, one in findings(shelf, SITE.replace(cut, "")).items():
            assert one.verdict in (whole[key], "not recorded"), (cut, key)
