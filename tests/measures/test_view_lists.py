"""Every list of the site can be asked as a whole: it is open until somebody says that it is whole."""

from oktocover.measures.values import Members
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text

TEXT = """
site: House
levels: {ground: {floor: 0 in}, upper: {floor: 9 ft}}
"""
WHOLE = TEXT + "looked: [{list: levels, whole: yes, by: A, day: 2026-01-01}]\n"


def levels(text: str) -> Members:
    value = SiteView(read_site_text(text).site).roots["site"].value("levels")
    assert isinstance(value, Members)
    return value


def test_a_list_of_the_site_has_its_things_and_is_open_until_it_is_said_to_be_whole() -> None:
    assert [one.id for one in levels(TEXT).sure] == ["ground", "upper"]
    assert levels(TEXT).open and levels(TEXT).missing[0].fact == "whole list of levels"
    assert not levels(WHOLE).open


def test_a_list_nobody_wrote_is_open_and_empty() -> None:
    found = SiteView(read_site_text("site: House\n").site).roots["site"].value("receptacles")
    assert isinstance(found, Members) and found.open and not found.sure
