"""What a site says about visits and rules that are not those of its place: nobody shall think that it counts."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from oktocover.findings.checked import Checked
from oktocover.measures import registry
from oktocover.measures.view import SiteView
from oktocover.reading.nearest import nearest
from oktocover.reading.problems import InputProblems, Problem
from oktocover.reading.site_file import SiteFile
from oktocover.rules.library import Adopted
from oktocover.site.root import element_lists


def refuse_unknown_visits(read: SiteFile, adopted: Adopted) -> None:
    """Raise InputProblems for visits, signed or booked, that the place does not have: their rules would still be asked."""
    names = [inspection.name for inspection in adopted.rules.inspections()]
    problems = []
    permit = read.site.permit
    said = [("visits", visit) for visit in permit.visits] + [("booked", visit) for visit in permit.booked]
    for key, visit in said if names else ():
        if visit not in names:
            near = nearest(visit, names)
            problems.append(
                Problem(
                    read.key_place(("permit", key, visit)),
                    f"there is no visit '{visit}' here",
                    "one of: " + ", ".join(names),
                    f"did you mean '{near}'?" if near else "",
                )
            )
    if problems:
        raise InputProblems(problems)


def open_slips(read: SiteFile) -> Iterator[str]:
    """The inspector's written corrections that nobody has written to be done."""
    for index, slip in enumerate(read.site.corrections):
        if slip.done is None:
            number = f"no. {slip.number}, " if slip.number else ""
            place = read.place(("corrections", index))
            yield f"{place}: written correction of {slip.visit} ({number}{slip.given}) is open: {slip.what}"


def idle_answers(read: SiteFile, adopted: Adopted, checked: Checked) -> Iterator[str]:
    """A warning for each record and alternate that answers no rule in force, or names nothing here."""
    answered = {one.rule for one in checked.findings}
    elements = {one.element for one in checked.findings}
    elements |= {name for field in element_lists() for name in getattr(read.site, field)}
    said = [("records", index, one.for_, one.element) for index, one in enumerate(read.site.records)]
    said += [("alternates", index, one.for_, one.element) for index, one in enumerate(read.site.alternates)]
    for key, index, rule, element in said:
        stands = (
            rule in answered or f"{rule}.main" in answered or rule in _names(adopted, ".".join(rule.split(".")[:2]))
        )
        if not stands:
            names = answered.union(*(_names(adopted, name) for name in adopted.rules.folded.things["rules"]))
            yield _idle(read, (key, index, "for"), rule, names, "rule in force here")
        if element is not None and element not in elements:
            # of what does not apply a first screen says nothing
            elements |= _things(read)
        if element is not None and element not in elements:
            yield _idle(read, (key, index, "element"), element, elements, "element of this site")


def _things(read: SiteFile) -> set[str]:
    """The ids of all that rules can be asked about here, recorded or worked out."""
    view = SiteView(read.site, read.known)
    return {one.id for kind in registry.kinds() for one in view.of(kind)}


def _names(adopted: Adopted, address: str) -> set[str]:
    """What a rule may be answered under: its own name and those of its items; nothing where there is no such rule."""
    rule = adopted.rules.rule(address)
    if rule is None:
        return set()
    return {rule.id, f"{rule.id}.main", *(f"{rule.id}.{item.name}" for item in rule.body.walk() if item.name)}


def _idle(read: SiteFile, path: tuple[str | int, ...], name: str, known: Iterable[str], what: str) -> str:
    near = nearest(name, sorted(known))
    return Problem(
        read.place(path),
        f"this answers nothing: '{name}' is no {what}",
        do=f"did you mean '{near}'?" if near else "",
        warning=True,
    ).text()
