"""Chains: the outlets of a circuit in the order its cable runs, `chain: [P-1, R-11, R-12, [R-13, R-14], {S-1: 14-3 NM-B}]`.

An inner list is a branch from the outlet before it; a mapping gives the piece of cable that comes to its outlet a
designation, or facts, of its own; `~` is an outlet that nobody has written down, and the cable after it is not known. Each outlet gets its circuit and the one piece of cable that comes to it,
`E-03 to R-11`; two devices in one box have none between them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.nearest import nearest
from oktocover.reading.short.agree import same
from oktocover.reading.short.work import Path, Work, classes, facts_of, value_of, weakest
from oktocover.site.base import HOW_KNOWN, YES
from oktocover.site.wiring import ENDS, OUTLETS

KEY = "chain"
LIST = "circuits"
STARTS = ("panel", "disconnect", "service")
"""Kinds at which a chain may begin."""
MOST_LISTED = 12
FORM = "chain: [P-1, R-11, R-12, [R-13, R-14]]"
_CELL = re.compile(r"\s*[,;]\s*")


@dataclass(slots=True)
class _Chain:
    """One chain being written out."""

    work: Work
    circuit: str
    facts: dict[str, Any]
    known: str | None
    """How the chain is known, where it or its circuit says it."""
    outlets: list[str] = field(default_factory=list)
    several: bool = False
    """Whether a piece has another designation than the circuit."""
    places: dict[str, Path] = field(default_factory=dict)
    """Where each outlet stands in the chain."""

    @property
    def at(self) -> Path:
        return (LIST, self.circuit, KEY)


def expand_chains(work: Work) -> None:
    """Write the chains of all circuits out as cables, and tell the outlets their circuit."""
    circuits = work.data.get(LIST)
    if not isinstance(circuits, dict):
        return
    kinds = _kinds(work)
    stand: dict[str, Path] = {}
    for one, facts in list(circuits.items()):
        if not isinstance(facts, dict) or KEY not in facts:
            continue
        own = {key: value for key, value in facts.items() if key != KEY}
        circuits[one] = own
        written = facts[KEY]
        if written is not None:
            _expand(_Chain(work, one, own, _how(written, facts)), written, kinds, stand)


def _expand(chain: _Chain, written: Any, kinds: dict[str, tuple[str, str]], stand: dict[str, Path]) -> None:
    inner = value_of(written)
    inside: Path = ("is",) if inner is not written else ()
    if isinstance(inner, str):
        inner = [part for part in _CELL.split(inner.strip()) if part]
        inside = (*inside, "text")
    if not isinstance(inner, list) or not inner:
        message = "a chain is a list of outlets, in the order the cable runs"
        chain.work.wrong(chain.at, message, FORM)
        return
    if value_of(chain.facts.get("outlets")) is not None:
        message = f"{chain.circuit} has a chain and a list of outlets"
        chain.work.wrong((LIST, chain.circuit, "outlets"), message, "one of them", "leave out the outlets", key=True)
        return
    wrong = len(chain.work.problems)
    _walk(chain, inner, (*chain.at, *inside), _start(chain, inner, inside, kinds), kinds, stand)
    if not chain.outlets:
        if len(chain.work.problems) == wrong:
            chain.work.wrong(chain.at, f"the chain of {short(chain.circuit)} leads to no outlet", FORM)
        return
    if chain.several:
        del chain.facts["cable"]  # it is said of the pieces that say no other, not of the whole circuit
    known = {"is": list(chain.outlets), "known": chain.known} if _own_word(written) else list(chain.outlets)
    chain.facts["outlets"] = known
    _came_from(chain.work, (LIST, chain.circuit, "outlets"), chain.at)


def _start(chain: _Chain, inner: list[Any], inside: Path, kinds: dict[str, tuple[str, str]]) -> str | None:
    """The panel a chain begins at: its first entry, or the one its circuit names. The first entry is taken out."""
    panel = value_of(chain.facts.get("panel"))
    first = inner[0] if isinstance(inner[0], str) else None
    if first is None or kinds.get(first, ("", ""))[0] not in STARTS:
        return panel if isinstance(panel, str) else None
    here = (*chain.at, *inside, 0)
    if kinds[first][0] == "panel":
        if panel is None:
            chain.facts["panel"] = first if chain.known is None else {"is": first, "known": chain.known}
            _came_from(chain.work, (LIST, chain.circuit, "panel"), here)
        elif panel != first:
            other = chain.work.read.place((LIST, chain.circuit, "panel"))
            message = (
                f"the chain of {short(chain.circuit)} begins at {first}, and its panel is {short(panel)} at {other}"
            )
            chain.work.wrong(_real(here), message, "one panel", "correct one of them")
    return first


def _walk(
    chain: _Chain,
    inner: list[Any],
    at: Path,
    start: str | None,
    kinds: dict[str, tuple[str, str]],
    stand: dict[str, Path],
    blank: bool = False,
) -> None:
    """Go along a chain or branch from `start`, a piece of cable to each outlet."""
    before = start
    for number, entry in enumerate(inner):
        here = _real((*at, number))
        if entry is None:
            blank = True  # an outlet that nobody has written down: the next one may be in one box with it
            _check_blank(chain, here)
            continue
        if number == 0 and entry == start and isinstance(entry, str):
            continue
        if isinstance(entry, list):
            if entry:
                _walk(chain, entry, (*at, number), before, kinds, stand, blank)
            else:
                chain.work.wrong(here, "a branch without outlets", "[R-13, R-14]", "write its outlets, or take it out")
            continue
        found = _entry(chain, entry, here)
        if found is None:
            continue
        outlet, cable = found
        if _fits(chain, outlet, here, kinds, stand):
            _give_circuit(chain, outlet, here, kinds)
            if "what" in cable and chain.facts.get("cable") is not None:
                chain.several |= not same("cables", "what", value_of(cable["what"][0]), value_of(chain.facts["cable"]))
            if not blank:
                _give_cable(chain, outlet, before, cable, here, kinds)
            before, blank = outlet, False


def _check_blank(chain: _Chain, here: Path) -> None:
    whole = value_of(chain.facts.get("whole"))
    if isinstance(whole, str) and whole.strip().lower() in YES:
        message = f"the chain of {short(chain.circuit)} has a blank, and its outlets are said to be whole"
        chain.work.wrong(here, message, "an outlet", "write the outlet that is there, or take `whole` out")


def _entry(chain: _Chain, entry: Any, here: Path) -> tuple[str, dict[str, tuple[Any, Path]]] | None:
    """The outlet an entry of a chain names, and the facts of the cable that comes to it with their places."""
    if isinstance(entry, str):
        return entry, {}
    if isinstance(entry, dict) and len(entry) == 1:
        outlet, facts = next(iter(entry.items()))
        if facts is None or isinstance(facts, str):
            return outlet, {"what": (facts, (*here, outlet))} if facts else {}
        if isinstance(facts, dict):
            allowed = [fact for fact in facts_of("cables") if fact not in ("circuit", "from", "to")]
            wrong = [fact for fact in facts if fact not in allowed]
            for fact in wrong:
                message = f"'{short(fact)}' is no fact of the cable to {short(outlet)}"
                chain.work.unknown((*here, outlet, fact), message, fact, allowed, key=True)
            told = {fact: (value, (*here, outlet, fact)) for fact, value in facts.items() if value is not None}
            return None if wrong else (outlet, told)
    message = "an entry of a chain is an outlet, an outlet with its own cable, or a list of outlets: a branch"
    chain.work.wrong(here, message, "R-11, {S-1: 14-3 NM-B}, or [R-13, R-14]")
    return None


def _fits(chain: _Chain, outlet: str, here: Path, kinds: dict[str, tuple[str, str]], stand: dict[str, Path]) -> bool:
    """Whether an id can stand in this chain at this place; said when it cannot."""
    work = chain.work
    kind, name = kinds.get(outlet, ("", ""))
    if kind not in ENDS:
        fitting = [one for one, (other, _) in kinds.items() if other in (*OUTLETS, "box", "disconnect")]
        what = f"is {_a(kind)}, and no cable of a circuit ends there" if kind else "is the id of nothing in this site"
        near = nearest(outlet, fitting)
        expected = (
            f"an outlet, box or disconnect: {', '.join(map(short, fitting[:MOST_LISTED])) or '(none is written yet)'}"
        )
        do = f"did you mean '{near}'?" if near else f"write {short(outlet)} into its list, or take it out of the chain"
        work.wrong(here, f"'{short(outlet)}' {what}", expected, do)
        return False
    if kind in ("panel", "service"):
        do = f"begin the chain at it, or write a feeder to {outlet}"
        work.wrong(here, f"'{short(outlet)}' is {_a(kind)}: a branch circuit ends before it", "an outlet", do)
        return False
    first = chain.places.get(outlet) or (stand.get(outlet) if kind != "box" else None)
    if first is not None:
        other = work.read.place(first)
        do = "leave it out of one of them: one piece of cable comes to an outlet, those that go on are branches"
        work.wrong(here, f"'{short(outlet)}' stands twice in chains; the other place is {other}", "one place", do)
        return False
    own = value_of(work.data[name][outlet].get("circuit")) if kind != "box" else None
    if own is not None and own != chain.circuit:
        other = work.read.place((name, outlet, "circuit"))
        do = "take it out of this chain, or correct its circuit"
        message = f"'{short(outlet)}' stands in the chain of {short(chain.circuit)}, and names {short(own)} at {other}"
        work.wrong(here, message, "one circuit", do)
        return False
    chain.places[outlet] = stand[outlet] = here
    chain.outlets.append(outlet)
    return True


def _give_circuit(chain: _Chain, outlet: str, here: Path, kinds: dict[str, tuple[str, str]]) -> None:
    """Tell an outlet its circuit; a box may hold several."""
    kind, name = kinds[outlet]
    facts = chain.work.data[name][outlet]
    if kind == "box" or value_of(facts.get("circuit")) is not None:
        return
    facts = chain.work.data[name][outlet] = dict(facts)
    facts["circuit"] = chain.circuit if chain.known is None else {"is": chain.circuit, "known": _weakest(chain, facts)}
    _came_from(chain.work, (name, outlet, "circuit"), here)


def _give_cable(
    chain: _Chain,
    outlet: str,
    before: str | None,
    cable: dict[str, tuple[Any, Path]],
    here: Path,
    kinds: dict[str, tuple[str, str]],
) -> None:
    """Write the piece of cable that comes to an outlet, unless it comes from a device in the same box."""
    work = chain.work
    box = _box(work, outlet, kinds)
    if box is not None and before is not None and box == _box(work, before, kinds):
        return
    told: dict[str, tuple[Any, Path]] = {
        "circuit": (chain.circuit, chain.at),
        "from": (before, here),
        "to": (outlet, here),
        "what": (chain.facts.get("cable"), (LIST, chain.circuit, "cable")),
        "known": (chain.known, chain.at),
        **cable,
    }
    _merge(chain, f"{chain.circuit} to {outlet}", {fact: one for fact, one in told.items() if one[0] is not None}, here)


def _merge(chain: _Chain, one: str, told: dict[str, tuple[Any, Path]], here: Path) -> None:
    """Put a piece of cable into the list; one that stands there under its id keeps what it says itself."""
    work = chain.work
    section = work.section("cables")
    written = section.get(one) if section is not None else None
    if section is None or not (written is None or isinstance(written, dict)):
        return
    own = {fact: value for fact, value in (written or {}).items() if value is not None}
    for fact in ("circuit", "from", "to"):
        said = value_of(own.get(fact))
        if said is not None and fact in told and said != told[fact][0]:
            message = f"the {fact} of {short(one)} is '{short(said)}' here, and {told[fact][0]} in the chain at "
            message += str(work.read.place(here))
            do = "leave it out here, or give this cable another id"
            work.wrong(("cables", one, fact), message, f"{fact}: {told[fact][0]}", do)
    section[one] = {**{fact: value for fact, (value, _) in told.items()}, **own}
    if written is None:
        _came_from(work, ("cables", one), here)
    for fact, (_, at) in told.items():
        if fact not in own:
            _came_from(work, ("cables", one, fact), at)


def _came_from(work: Work, path: Path, at: Path) -> None:
    """Remember where a value was really written, whatever short form it stood in."""
    work.read.origins[path] = work.read._written(_real(at))


def _kinds(work: Work) -> dict[str, tuple[str, str]]:
    """By id: the kind of the element and its list, of entries that can be read."""
    made = {name: one.kind for name, one in classes().items()}
    return {one: (made[name], name) for name, one, _ in work.entries()}


def _box(work: Work, outlet: str, kinds: dict[str, tuple[str, str]]) -> Any:
    """The box an outlet names; a box is its own."""
    kind, name = kinds.get(outlet, ("", ""))
    return outlet if kind == "box" else value_of(work.data[name][outlet].get("box")) if name else None


def _how(written: Any, facts: dict[str, Any]) -> str | None:
    """How a chain is known: by its own word, or that of its circuit."""
    told = written.get("known") if isinstance(written, dict) and "is" in written else None
    return next((word for word in (told, facts.get("known")) if isinstance(word, str) and word in HOW_KNOWN), None)


def _own_word(written: Any) -> bool:
    return isinstance(written, dict) and written.get("known") in HOW_KNOWN


def _weakest(chain: _Chain, facts: dict[str, Any]) -> str:
    return weakest(chain.known, facts.get("known"), chain.work.data.get("known"))


def _real(at: Path) -> Path:
    """A path of the file: a chain written as one text has no entries of its own."""
    return at[: at.index("text")] if "text" in at else at


def _a(kind: str) -> str:
    words = kind.replace("_", " ")
    return ("an " if words[:1] in "aeio" else "a ") + words
