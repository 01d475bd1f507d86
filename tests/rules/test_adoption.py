"""What a place adopts: by day, by use, by choice, in part; and what is said when the site does not say what decides."""

import datetime
from pathlib import Path

import pytest

from oktocover.measures.subject import Subject
from oktocover.reading.problems import InputProblems
from oktocover.rules.prove import prove

from .places import checked, finding, shelf, verdict

BY_DAY = """
place: Town
adopts:
  old: {book: bk 1, until: 2023-03-01}
  new: {book: bk 2, from: 2023-03-01}
"""
BY_USE = """
place: Town
adopts:
  houses: {book: bk 1, when: "building.use in ['one family', 'two family', 'accessory']"}
  rest: {book: bk 2, when: "building.use not in ['one family', 'two family', 'accessory']"}
"""
CHOICE = """
place: Town
adopts:
  old: {book: bk 1, until: 2018-06-12, choice: permit.edition}
  new: {book: bk 2, from: 2018-02-15, choice: permit.edition}
"""


@pytest.mark.parametrize(
    ("place", "permit", "building", "wanted"),
    [
        (BY_DAY, "applied: 2023-02-28", "", "met"),
        (BY_DAY, "applied: 2023-03-01", "", "not met"),  # from counts, until does not
        (
            BY_DAY.replace("until: 2023-03-01", "until: 2023-03-01, by: issued"),
            "applied: 2022-01-01",
            "",
            "not recorded",
        ),
        (
            BY_DAY.replace("2023-03-01}", "2023-03-01, by: issued}"),
            "applied: 2022-01-01, issued: 2023-04-01",
            "",
            "not met",
        ),
        (
            BY_DAY.replace("2023-03-01}", "2023-03-01, by: electrical.issued}"),
            "issued: 2023-04-01, electrical: {issued: 2023-01-01}",
            "",
            "met",
        ),
        (BY_DAY.replace("2023-03-01}", "2023-03-01, by: gas.issued}"), "issued: 2023-04-01", "", "not met"),
        (BY_DAY.replace("2023-03-01}", "2023-03-01, by: building.begun}"), "", "begun: 1999-01-01", "met"),
        (BY_USE, "occupancy: accessory", "", "met"),
        (BY_USE, "occupancy: multifamily", "", "not met"),
        (CHOICE, "applied: 2018-02-14", "", "met"),
        (CHOICE, "applied: 2018-06-12", "", "not met"),
        (CHOICE, "applied: 2018-03-01, choices: {edition: bk 1}", "", "met"),
        (CHOICE, "applied: 2018-03-01, choices: {edition: bk 2}", "", "not met"),
        (CHOICE, "applied: 2018-03-01", "", "not recorded"),
        (CHOICE, "applied: 2018-02-14, choices: {edition: bk 1}", "", "met"),
    ],
)
def test_the_site_chooses(tmp_path: Path, place: str, permit: str, building: str, wanted: str) -> None:
    assert verdict(shelf(tmp_path, town=place).adopt("town", []), permit, building) == wanted


@pytest.mark.parametrize(
    ("condition", "limits", "site", "wanted"),
    [
        ("building.units > few", "few: 2", "units: 3", "not met"),
        ("building.units > few", "few: 2", "units: 2", "met"),
        ("building.units > few", "few: 2", "units: at least 3", "not met"),
        ("building.units > few", "few: 2", "units: at least 2", "not recorded"),
        ("building.rewired > half", "half: 50 %", "rewired: 51 %", "not met"),
        ("building.rewired > half", "half: 50 %", "rewired: 50 %", "met"),
        ("building.service >= big", "big: 200 A", "service: 200 A", "not met"),
        ("building.begun < old", "old: 1978-01-01", "begun: 1977-12-31", "not met"),
        ("building.begun < old", "old: 1978-01-01", "begun: 1978-01-01", "met"),
        ("building.metal", "", "metal: yes", "not met"),
        ("building.metal", "", "", "not recorded"),
    ],
)
def test_conditions_see_the_building(tmp_path: Path, condition: str, limits: str, site: str, wanted: str) -> None:
    place = (
        "place: Town\nadopts: {all: {book: bk 1}}\nchanges:\n  c:\n    cite: Ord. 1\n"
        f"    when: {condition}\n"
        + (f"    limits: {{{limits}}}\n" if limits else "")
        + "    set: {bk.height.least: 8 ft}\n"
    )
    assert verdict(shelf(tmp_path, town=place).adopt("town", []), "", site) == wanted


def test_conditions_see_the_permit(tmp_path: Path) -> None:
    place = (
        "place: Town\nadopts: {all: {book: bk 1}}\nchanges:\n  c:\n    cite: Ord. 1\n"
        "    when: permit.owner_builder or permit.work == 'new' or permit.value > big\n"
        "    limits: {big: '25,000'}\n    set: {bk.height.least: 8 ft}\n"
    )
    adopted = shelf(tmp_path, town=place).adopt("town", [])
    for permit, wanted in (
        ("owner builder: yes", "not met"),
        ("owner builder: no, work: alteration, value: '25,000'", "met"),
        ("owner builder: no, work: alteration, value: '25,001'", "not met"),
        ("owner builder: no, work: alteration", "not recorded"),
        ("owner builder: no, work: new", "not met"),
    ):
        assert verdict(adopted, permit) == wanted, permit


def test_what_is_missing_is_named(tmp_path: Path) -> None:
    adopted = shelf(tmp_path, town=CHOICE).adopt("town", [])
    found = finding(checked(adopted, "applied: 2018-03-01"))
    assert [missing.path for missing in found.missing] == [("permit", "choices", "edition")]
    assert "bk 1, bk 2" in found.missing[0].means
    found = finding(checked(adopted))
    assert found.verdict == "not recorded" and not found.settled
    assert {missing.path for missing in found.missing} == {("permit", "applied"), ("permit", "choices", "edition")}
    assert found.missing[0].found_by == "paper"


def test_only_what_decides_this_verdict_is_asked_for(tmp_path: Path) -> None:
    more = "changes:\n  c: {cite: Ord. 1, when: building.metal, meant: yes, set: {bk.warm.require: finished}}\n"
    adopted = shelf(tmp_path, town=BY_DAY + more).adopt("town", [])
    found = checked(adopted)
    assert [missing.path for missing in finding(found).missing] == [("permit", "applied")]
    assert finding(found).remedy == "Write down: permit applied. It decides which rules hold here."
    warm = [missing.path for missing in finding(found, "bk.warm").missing]
    assert warm == [("building", "metal"), ("spaces", "R", "finished")]


def test_a_verdict_is_given_when_all_editions_agree(tmp_path: Path) -> None:
    adopted = shelf(tmp_path, town=BY_DAY).adopt("town", [])
    assert verdict(adopted, ceiling="8 ft") == "met"
    low = finding(checked(adopted, ceiling="6 ft"))
    assert low.verdict == "not met"
    assert "BK 1 3.1 asks at least 7 ft" in low.note and "BK 2 3.1 asks at least 8 ft" in low.note
    assert finding(checked(adopted), "bk.warm").verdict == "met"


def test_both_editions_are_named_as_in_force(tmp_path: Path) -> None:
    adopted = shelf(tmp_path, town=BY_DAY).adopt("town", [])
    assert {one.name for one in checked(adopted).in_force} == {"BK 2 or BK 1"}
    assert {one.name for one in checked(adopted, "applied: 2020-01-01").in_force} == {"BK 1"}


@pytest.mark.parametrize(
    ("permit", "message"),
    [
        ("applied: 2018-03-01, choices: {edition: bk 3}", "'bk 3' is not among what can be chosen here"),
        ("applied: 2018-07-01, choices: {edition: bk 1}", "'bk 1' is not open to this permit"),
    ],
)
def test_choices_nobody_can_make(tmp_path: Path, permit: str, message: str) -> None:
    adopted = shelf(tmp_path, town=CHOICE).adopt("town", [])
    with pytest.raises(InputProblems, match=message) as refused:
        checked(adopted, permit)
    assert "site.yaml:2:" in str(refused.value)


def test_no_mixing_one_choice_for_all_entries_that_share_it(tmp_path: Path) -> None:
    place = """
place: Town
adopts:
  old: {book: bk 1, until: 2020-06-01, choice: permit.codes, chosen: old set}
  new: {book: bk 2, from: 2020-01-01, choice: permit.codes, chosen: new set}
  other old: {book: bl 1, until: 2020-06-01, choice: permit.codes, chosen: old set}
  other new: {book: bl 2, from: 2020-01-01, choice: permit.codes, chosen: new set}
"""
    library = shelf(tmp_path, town=place)
    for edition in ("1", "2"):
        (tmp_path / "bl" / edition).mkdir(parents=True)
        (tmp_path / "bl" / edition / "a.yaml").write_text(f'book: bl\nedition: "{edition}"\n')
    adopted = library.adopt("town", [])
    for chosen, books in (("old set", {"BK 1", "BL 1"}), ("new set", {"BK 2", "BL 2"})):
        found = checked(adopted, f"applied: 2020-03-01, choices: {{codes: {chosen}}}")
        assert {one.name for one in found.in_force} == books


PARTS = """
place: Town
adopts:
  most: {book: bk 2, without: sections 3}
  heights: {book: bk 1, only: sections 3.1 to 3.9}
"""


def test_an_edition_for_single_sections(tmp_path: Path) -> None:
    adopted = shelf(tmp_path, town=PARTS).adopt("town", [])
    found = finding(checked(adopted))
    assert (found.verdict, found.citation) == ("met", "BK 1 3.1")
    assert [one.name for one in checked(adopted).in_force] == [
        "BK 2 (without sections 3) and BK 1 (only sections 3.1 to 3.9)"
    ]
    assert finding(checked(adopted), "bk.warm").citation == "BK 2 4.2(A)"
    turned = PARTS.replace("bk 2, without", "bk 1, without").replace("bk 1, only", "bk 2, only")
    assert verdict(shelf(tmp_path / "b", town=turned).adopt("town", [])) == "not met"
    trades = PARTS.replace("sections 3.1 to 3.9", "trade framing").replace("sections 3", "trade framing")
    assert verdict(shelf(tmp_path / "c", town=trades).adopt("town", [])) == "met"


def test_terms_of_two_editions_keep_apart(tmp_path: Path) -> None:
    base = (
        "book: bk\nedition: '1'\nusual: {trade: framing, stage: final, severity: correction, basis: {check: memory}}\n"
        "terms:\n  low: {of: space, is: ceiling < low_line, limits: {low_line: 7 ft}, section: '2'}\n"
        "rules:\n  a: {title: A, section: '3', each: space, require: not low, remedy: R.}\n"
        "  b: {title: B, section: '4', each: space, require: not low, remedy: R.}\n"
    )
    after = "book: bk\nedition: '2'\nfrom: '1'\nchanges: {c: {cite: x, set: {bk.low.low_line: 8 ft}}}\n"
    place = PARTS.replace("sections 3.1 to 3.9", "sections 3").replace("sections 3}", "section 3}")
    library = shelf(tmp_path, town=place)
    (tmp_path / "bk/1/all.yaml").write_text(base)
    (tmp_path / "bk/2/all.yaml").write_text(after)
    adopted = library.adopt("town", [])
    adopted.rules.check()
    found = checked(adopted)
    assert [finding(found, name).verdict for name in ("bk.a", "bk.b")] == ["met", "not met"]


@pytest.mark.parametrize(
    ("place", "message"),
    [
        ("a: {book: bk 1}\n  b: {book: bk 2}", "bk 1 and bk 2 are both in force, by 'a' and 'b'"),
        ("a: {book: bk 1, until: 2020-02-01}\n  b: {book: bk 2, from: 2020-01-01}", "bk 1 and bk 2 are both in force"),
        ("a: {book: bk 1, only: section 3}\n  b: {book: bk 2}", "is in force from two editions"),
        ("a: {book: bk 1, only: chapter 3}", "picks no part of a book"),
        ("a: {book: bk 1, choice: wiring}", "'wiring' is no choice of an applicant"),
        ("a: {book: bk 1, chosen: x}", "nothing is chosen here"),
        ("a: {book: bk 1, from: 2020-13-01}", "2020-13-01"),
        ("a: {book: bk 1, from: 2020-02-01, until: 2020-02-01}", "this is in force on no day"),
        ("a: {book: bk 1, from: 2020-02-01, by: isued}", "did you mean 'issued'?"),
        ("a: {book: bk 1, by: issued}", "by names the date"),
        ("a: {book: bk 1, from: asleep}", "what sleeps says what wakes it"),
        ("a: {book: bk 1, wakes: never}", "only what sleeps wakes"),
        ("a: {book: bk 1, status: passed}", "'passed' is no status"),
        ("a: {book: bk 1, when: building.use == 'house'}", "'house' is not a word this fact can be"),
        ("a: {book: bk 1, when: building.yse == 'other'}", "did you mean"),
        ("a: {book: bk 1, when: building.units}", "not yes or no"),
        ("a: {book: bk 1, when: building.units > few, limits: {few: 2 ft}}", "compares a number with a length"),
        ("a: {book: bk 1, limits: {few: 2}}", "these limits are used nowhere"),
        ("a: {as: State}", "'State' is no place above this one"),
        ("a: {book: bk 1, as: State}", "'a' adopts two things"),
        ("a: {when: building.metal}", "'a' adopts no book"),
        ("a: {book: bk 1, wen: x}", "did you mean 'when'?"),
    ],
)
def test_adoptions_that_cannot_be(tmp_path: Path, place: str, message: str) -> None:
    library = shelf(tmp_path, town=f"place: Town\nadopts:\n  {place}\n")
    with pytest.raises(InputProblems) as refused:
        library.adopt("town", []).check_every()
    assert message in str(refused.value) and "town.yaml:" in str(refused.value)


def test_both_places_are_named_where_two_editions_meet(tmp_path: Path) -> None:
    place = "place: Town\nadopts:\n  a: {book: bk 1, until: 2020-02-01}\n  b: {book: bk 2, from: 2020-01-01}\n"
    with pytest.raises(InputProblems) as refused:
        shelf(tmp_path, town=place).adopt("town", []).check_every()
    text = str(refused.value)
    assert "town.yaml:4:" in text and "town.yaml:3:" in text and "permit applied 2020-01-01" in text


def test_a_day_with_no_edition_is_told(tmp_path: Path) -> None:
    place = "place: Town\nadopts:\n  a: {book: bk 1, until: 2020-01-01}\n  b: {book: bk 2, from: 2020-02-01}\n"
    adopted = shelf(tmp_path, town=place).adopt("town", [])
    gap = next(text for text in adopted.warnings if "no edition of BK" in text)
    assert "From 2020-01-01 to before 2020-02-01" in gap and "town.yaml:3:" in gap and "town.yaml:4:" in gap
    found = checked(adopted, "applied: 2020-01-15")
    assert not [one for one in found.findings if one.rule.startswith("bk.")]
    assert any(text.startswith("No edition of BK is in force here for this permit") for text in found.warnings)
    adopted = shelf(tmp_path / "b", town=BY_DAY).adopt("town", [])
    assert not adopted.warnings


def test_places_inherit_restrict_and_replace(tmp_path: Path) -> None:
    state = "place: State\nadopts:\n  wiring: {book: bk 1, until: 2023-01-01}\n"
    town = "place: Town\nin: State\nadopts:\n  wiring: {as: State, when: building.use != 'factory'}\n"
    adopted = shelf(tmp_path, state=state, town=town).adopt("town", [])
    assert verdict(adopted, "applied: 2022-01-01, occupancy: one family") == "met"
    for permit in ("applied: 2022-01-01, occupancy: factory", "applied: 2023-01-01, occupancy: one family"):
        assert not [one for one in checked(adopted, permit).findings if one.rule.startswith("bk.")]
    newer = "place: Town\nin: State\nadopts:\n  wiring: {book: bk 2}\n"
    assert verdict(shelf(tmp_path / "b", state=state, town=newer).adopt("town", []), "applied: 2022-01-01") == "not met"
    lost = "place: Town\nin: State\nadopts:\n  gas: {as: State}\n"
    with pytest.raises(InputProblems, match="'State' adopts nothing called 'gas'"):
        shelf(tmp_path / "c", state=state, town=lost).adopt("town", [])


CHANGE = """
place: Town
adopts:
  old: {{book: bk 1, until: 2020-01-01}}
  new: {{book: bk 2, from: 2020-01-01}}
changes:
  c:
    cite: Ord. 1
    {line}
    set: {{bk.height.least: 7 ft 6-1/2 in}}
"""


@pytest.mark.parametrize(
    ("line", "permit", "wanted"),
    [
        ("from: 2019-01-01", "applied: 2018-12-31", "met"),
        ("from: 2019-01-01", "applied: 2019-01-01", "not met"),
        ("until: 2019-01-01", "applied: 2018-12-31", "not met"),
        ("until: 2019-01-01", "applied: 2019-01-01", "met"),
        ("with: old", "applied: 2019-01-01", "not met"),
        ("status: proposed", "applied: 2019-01-01", "met"),
        ("{from: asleep, wakes: the council votes}", "applied: 2019-01-01", "met"),
    ],
)
def test_changes_have_days_too(tmp_path: Path, line: str, permit: str, wanted: str) -> None:
    text = CHANGE.format(line=line.strip("{}").replace(", ", "\n    "))
    assert verdict(shelf(tmp_path, town=text).adopt("town", []), permit) == wanted


def test_a_change_of_one_edition_leaves_the_other_alone(tmp_path: Path) -> None:
    adopted = shelf(tmp_path, town=CHANGE.format(line="with: old")).adopt("town", [])
    least = {
        variant.books[0].name: variant.rules.folded.things["rules"]["bk.height"].data["limits"]["least"]
        for variant, _ in adopted.every()
    }
    assert least == {"bk 1": "7 ft 6-1/2 in", "bk 2": "8 ft"}
    with pytest.raises(InputProblems, match="did you mean 'old'"):
        shelf(tmp_path / "b", town=CHANGE.format(line="with: odl")).adopt("town", [])


def test_more_than_four_open_facts_judge_nothing(tmp_path: Path) -> None:
    facts = ("building.metal", "permit.owner_builder", "permit.state_licence", "building.use == 'factory'")
    changes = "".join(
        f'  c{number}: {{cite: Ord. {number}, when: "{fact}", set: {{bk.{where}: {value}}}}}\n'
        for number, (fact, where, value) in enumerate(
            zip(
                (*facts, "permit.work == 'new'"),
                ("height.remedy", "height.title", "warm.remedy", "warm.title", "height.least"),
                ("A.", "B", "C.", "D", "8 ft"),
                strict=True,
            )
        )
    )
    adopted = shelf(tmp_path, town="place: Town\nadopts: {a: {book: bk 1}}\nchanges:\n" + changes).adopt("town", [])
    found = finding(checked(adopted, ceiling="9 ft"))
    assert found.verdict == "not recorded" and len(found.missing) == 5
    assert verdict(adopted, "work: new", ceiling="9 ft") == "met"
    assert verdict(adopted, "work: new") == "not met"
    assert finding(checked(adopted, "occupancy: factory")).verdict == "not recorded"


def test_a_change_whose_target_no_adopted_edition_has_is_an_error(tmp_path: Path) -> None:
    only_new = 'rules:\n  fresh: {title: F, section: "9", each: space, require: heated, remedy: R.}\n'
    head = "book: bk\nedition: '2'\nfrom: '1'\nusual: {trade: framing, stage: final, severity: correction, basis: {check: memory}}\n"
    line = "set: {{bk.{name}.remedy: Other.}}".replace("{{", "{").replace("}}", "}")
    for name, wrong in (("fresh", False), ("frehs", True)):
        text = BY_DAY + f"changes:\n  c:\n    cite: Ord. 1\n    {line.replace('{name}', name)}\n"
        library = shelf(tmp_path / name, town=text)
        (tmp_path / name / "bk/2/all.yaml").write_text(head + only_new)
        adopted = library.adopt("town", [])
        if wrong:
            with pytest.raises(InputProblems, match="did you mean 'bk.fresh.remedy'|nothing called 'bk.frehs.remedy'"):
                adopted.check_every()
        else:
            adopted.check_every()
            old = adopted.for_site  # the older edition has no such rule: the change sleeps there
            assert old is not None
            idle = {variant.books[0].name: len(variant.rules.folded.idle) for variant, _ in adopted.every()}
            assert idle == {"bk 1": 1, "bk 2": 0}


def test_sections_struck_that_nothing_carried_are_listed(tmp_path: Path) -> None:
    place = "place: Town\nadopts: {a: {book: bk 1}}\nchanges:\n  c: {cite: Ord. 7, strike: {bk sections 9 to 9.4: duty gone}}\n"
    adopted = shelf(tmp_path, town=place).adopt("town", [])
    assert checked(adopted).struck_here == ("Town: Ord. 7 strikes bk sections 9 to 9.4",)
    hit = place.replace("9 to 9.4", "3 to 3.2")
    assert checked(shelf(tmp_path / "b", town=hit).adopt("town", [])).struck_here == ()


def test_items_are_struck_by_their_own_sections(tmp_path: Path) -> None:
    more = (
        "book: bk\nedition: '1'\nusual: {trade: framing, stage: final, severity: correction, basis: {check: memory}}\n"
        "rules:\n  two:\n    title: T\n    section: '5'\n    each: space\n    remedy: R.\n    items:\n"
        "      a: {section: 5.1, require: heated}\n      b: {section: 5.2, require: finished}\n"
    )
    place = (
        "place: Town\nadopts: {a: {book: bk 1}}\nchanges:\n  c: {cite: Ord. 7, strike: {bk sections 5.2: duty gone}}\n"
    )
    library = shelf(tmp_path, town=place)
    (tmp_path / "bk/1/more.yaml").write_text(more)
    assert list(library.adopt("town", []).rules.folded.things["rules"]["bk.two"].data["items"]) == ["a"]
    (tmp_path / "jurisdictions/town.yaml").write_text(place.replace("bk sections 5.2", "'bk sections 5.1, 5.2'"))
    assert "bk.two" not in library.adopt("town", []).rules.folded.things["rules"]


def test_what_another_change_struck_is_told_with_both_places(tmp_path: Path) -> None:
    state = "place: State\nadopts: {a: {book: bk 1}}\nchanges:\n  s: {cite: Act 1, strike: {bk.height: duty gone}}\n"
    town = "place: Town\nin: State\nchanges:\n  t: {cite: Ord. 1, set: {bk.height.least: 8 ft}}\n"
    found = shelf(tmp_path, state=state, town=town).adopt("town", []).rules.folded.problems
    assert len(found) == 1 and "was struck by 's' of State" in found[0].message
    assert "town.yaml:4:" in found[0].text() and "state.yaml:4:" in found[0].text()


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("status: proposed", "proposed"),
        ("{from: asleep, wakes: the council votes}", "asleep until the council votes"),
        ("from: 2030-01-01", "from 2030-01-01"),
        ("{from: 2019-01-01, until: 2019-02-01}", "from 2019-01-01 to before 2019-02-01"),
        ("with: old", "with 'old'"),
        ("when: building.metal", "when building.metal"),
    ],
)
def test_what_is_not_in_force_is_listed_with_why(tmp_path: Path, line: str, why: str) -> None:
    text = CHANGE.format(line=line.strip("{}").replace(", ", "\n    "))
    adopted = shelf(tmp_path, town=text).adopt("town", [])
    roots = {name: Subject(name, name) for name in ("site", "building", "permit")}
    roots["permit"].own["applied"] = datetime.date(2025, 1, 1)
    roots["building"].own["metal"] = False
    assert [(change.name, told) for change, told in adopted.for_site(roots).not_in_force()] == [("c", why)]


def test_a_change_of_a_book_that_is_not_shipped_sleeps(tmp_path: Path) -> None:
    place = "place: Town\nadopts: {a: {book: bk 1}, m: {book: mech 2021}}\nchanges:\n  c: {cite: Ord. 1, set: {mech.x.y: 1 in}}\n"
    adopted = shelf(tmp_path, town=place).adopt("town", [])
    adopted.check_every()
    assert "mech 2021, which is not among the shipped books" in adopted.warnings[0]
    assert [told for _, told in adopted.not_in_force()] == ["what it changes is in no book in force"]


def test_the_day_of_the_check_can_decide(tmp_path: Path) -> None:
    """A permit that is older than a year on the day of the check: the places' own books do say such things."""
    place = "place: Town\nadopts:\n  a: {book: bk 1, until: 2026-01-01, by: today}\n  b: {book: bk 2, from: 2026-01-01, by: today}\n"
    assert verdict(shelf(tmp_path, town=place).adopt("town", [])) == "not met"
    assert verdict(shelf(tmp_path / "b", town=place.replace("2026-01-01", "2027-01-01")).adopt("town", [])) == "met"


@pytest.mark.parametrize(
    "line", ["set: {bk.height.leest: 8 ft}", "set: {bk.height.least: 8 psi}", "set: {bk.height.main: celing >= least}"]
)
def test_a_mistake_in_a_window_that_has_not_come_is_found(tmp_path: Path, line: str) -> None:
    place = f"place: Town\nadopts: {{a: {{book: bk 1}}}}\nchanges:\n  c:\n    cite: Ord. 1\n    from: 2030-01-01\n    {line}\n"
    library = shelf(tmp_path, town=place)
    adopted = library.adopt("town", [])
    assert verdict(adopted, "applied: 2025-01-01") == "met"
    with pytest.raises(InputProblems, match="this shows with permit applied 2030-01-0") as refused:
        adopted.check_every()
    assert "town.yaml:7:" in str(refused.value)
    proofs = [one for one in prove(library, "Town") if one.failed]
    assert proofs and any("town.yaml:7:" in text for text in proofs[0].failed)
    with pytest.raises(InputProblems, match="town.yaml:7:"):
        checked(adopted, "applied: 2030-01-01")


def test_many_changes_with_days_are_no_burden(tmp_path: Path) -> None:
    """What is open is tried by fact, not by change: a place may have many dated changes."""
    changes = "".join(
        f"  c{number}: {{cite: Ord. {number}, from: {2000 + number // 12}-{number % 12 + 1:02}-01, add: "
        f"{{town.r{number}: {{title: T, section: '{number}', trade: framing, stage: final, severity: correction, each: space, "
        "require: heated, remedy: R., basis: {check: memory}}}}\n"
        for number in range(60)
    )
    adopted = shelf(tmp_path, town="place: Town\nadopts: {a: {book: bk 1}}\nchanges:\n" + changes).adopt("town", [])
    found = checked(adopted, "applied: 2003-05-15")
    assert sum(one.rule.startswith("town.") for one in found.findings) == 41
    open_found = checked(adopted)
    assert {one.verdict for one in open_found.findings if one.rule.startswith("town.")} == {"not recorded"}
