"""An inspector's written corrections on the card: which are open, and which rule here would have caught them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from oktocover.findings.checked import Checked
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import Problem
from oktocover.reading.site_file import SiteFile
from oktocover.reports._card_parts import Slip
from oktocover.reports._words import VERDICT
from oktocover.reports.sections import clean_number, lies_under, numbers
from oktocover.rules.library import Adopted
from oktocover.site.paperwork import Correction

MOST = 3
"""How many rules a section names on the card."""
_LIKE_A_SECTION = re.compile(r"[A-Z]{0,2}\d{3,}\.\d", re.IGNORECASE)
_WORST = ("not met", "not recorded", "met", "does not apply")


def slips_of(read: SiteFile, adopted: Adopted, checked: Checked) -> tuple[Slip, ...]:
    """Every written correction, in the order of the site file."""
    return tuple(_slip(one, adopted, checked) for one in read.site.corrections)


def _slip(one: Correction, adopted: Adopted, checked: Checked) -> Slip:
    wanted = _sections(one)
    rules = [one.rule] if one.rule and one.rule in _names(adopted) else _under(wanted, adopted) if wanted else []
    return Slip(
        visit=one.visit,
        what=one.what,
        number=one.number or "",
        section=one.section or "",
        element=one.element or "",
        given=one.given.isoformat(),
        done=one.done.isoformat() if one.done else "",
        how_shown=one.how_shown or "",
        covered_by=tuple(f"{rule} ({_verdict(rule, one.element, checked)})" for rule in rules[:MOST]),
        looked=bool(one.rule or wanted),
    )


def _sections(one: Correction) -> list[str]:
    """The section a slip names; left out: each number in its words that is written like one (R302.5, 210.8(A))."""
    if one.section:
        return [clean_number(one.section)]
    return [found.number.upper() for found in numbers({"section": one.what}) if _LIKE_A_SECTION.match(found.number)]


def _names(adopted: Adopted) -> list[str]:
    """Every rule in force, and every item of one."""
    found = dict.fromkeys(rule.id for rule in adopted.rules.rules())
    items = (f"{rule.id}.{item.name}" for rule in adopted.rules.rules() for item in rule.body.walk() if item.name)
    return [*found, *dict.fromkeys(items)]


def _under(wanted: Iterable[str], adopted: Adopted) -> list[str]:
    things = adopted.rules.folded.things["rules"].items()
    return [
        address
        for address, thing in things
        if any(lies_under(own.number, one) for one in wanted for own in numbers(thing.data))
    ]


def _verdict(rule: str, element: str | None, checked: Checked) -> str:
    """What the rule says here, of the element if one is named: the worst, in the words of every report."""
    own = [one for one in checked.findings if one.rule == rule or one.rule.startswith(f"{rule}.")]
    if element:
        own = [one for one in own if element == one.element or element in one.elements or element in one.where] or own
    said = {one.verdict for one in own}
    return next((VERDICT[word] for word in _WORST if word in said), "not asked here")


def idle_rules(read: SiteFile, adopted: Adopted) -> Iterator[str]:
    """A warning for each slip that names a rule which is not in force here."""
    if not any(one.rule for one in read.site.corrections):
        return
    names = _names(adopted)
    for index, one in enumerate(read.site.corrections):
        if one.rule and one.rule not in names:
            near = nearest(one.rule, names)
            do = f"did you mean '{near}'?" if near else "see: oktocover rules"
            at = read.place(("corrections", index, "rule"))
            yield Problem(at, f"'{one.rule}' is no rule in force here", do=do, warning=True).text()
