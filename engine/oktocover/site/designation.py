"""What is printed on a cable, `12-2 NM-B` or `2-2-2-4 AL URD`, taken apart: sizes, conductors, metal, type.

A size is a place in `quantities.WIRE`. Only what the text says is told: which ground a maker puts beside which size,
and which metal an unmarked cable has, is the standard of the cable's type and stands with the rules
(rulesets/cable-types.yaml).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from oktocover.quantities import QuantityError, read

CABLES = ("NM-B", "NMC-B", "UF-B", "MC", "AC", "SE", "SER", "SEU", "USE-2", "URD", "MHF", "MI", "TC-ER")
"""Types of cable with several conductors, as they are printed."""
CORDS = ("SJO", "SJOO", "SJOOW", "SJT", "SJTOW", "SJTW", "SO", "SOO", "SOOW", "ST", "STOW", "SJEOOW", "SEOOW")
"""Types of flexible cord."""
LOW_VOLTAGE = ("CL2", "CL2R", "CL3", "CL3R", "CM", "CMR", "CMP", "PLTC", "FPL", "FPLR")
"""Types of cable for power-limited and communications wiring."""
WIRES = ("THHN", "THWN", "THWN-2", "THW", "THW-2", "TW", "XHHW", "XHHW-2", "RHH", "RHW", "RHW-2", "USE-2")
"""Types of single insulated conductors, as they are drawn into a raceway."""
TYPES = tuple(dict.fromkeys((*CABLES, *CORDS, *LOW_VOLTAGE, *WIRES)))

BARE_NEUTRAL = ("SE", "SEU")
"""Three figures (2-2-2) of these types end with a bare neutral wound round the others."""
TRIPLEX = ("URD", "USE-2")
"""Three figures of these types are three insulated conductors, and no ground."""

_METALS = {"cu": "copper", "copper": "copper", "al": "aluminum", "alum": "aluminum", "aluminum": "aluminum"}
_METALS |= {"aluminium": "aluminum", "cca": "copper-clad aluminum", "copper-clad aluminum": "copper-clad aluminum"}
_SHORT = {"copper": "CU", "aluminum": "AL", "copper-clad aluminum": "CCA"}
_GROUND = re.compile(r"\b(?:with ground|w/ ?g(?:r(?:oun)?d)?|with g|w ?g|\+ ?g)(?:round)?(?=\s|$)", re.I)
_NO_GROUND = re.compile(r"\b(?:without ground|no ground|w/ ?o ?g(?:r(?:oun)?d)?)(?=\s|$)", re.I)
_MONTH = "jan|feb|mar|apr|may|jun|jul|aug|sep|sept|oct|nov|dec"
_DATE = re.compile(rf"\d{{1,4}}[- ./](?:{_MONTH})[a-z]*(?:[- ./]\d{{2,4}})?|(?:{_MONTH})[a-z]*[- ./]\d{{1,4}}", re.I)
_ISO = re.compile(r"\d{4}-\d{1,2}-\d{1,2}|\d{1,2}/\d{1,2}/\d{2,4}")
_SIZE = r"(?:[1-4]/0|\d{1,4})"
_FIGURES = re.compile(rf"#?({_SIZE}(?:\s?[-/]\s?{_SIZE})+)(?=[\s-]*[a-z]|\s*$)\s*-?\s*(.*)", re.I)
_WIRE = re.compile(rf"(?:\(?(\d{{1,2}})\)?\s*(?:x|×|#|no\.?|-|\s)\s*)?#?({_SIZE})\s?(?:awg|ga|kcmil|mcm)?\s*(.*)", re.I)
_TYPE_FIRST = re.compile(rf"([a-z][a-z0-9-]*)\s+#?({_SIZE})\s?(?:awg|kcmil|mcm)?\s*(.*)", re.I)
_MOST = 80


class DesignationError(ValueError):
    """The text is no designation; `suggestion` is the nearest one, where there is one."""

    def __init__(self, message: str, suggestion: str = "") -> None:
        super().__init__(message + (f": did you mean '{suggestion}'?" if suggestion else ""))
        self.suggestion = suggestion


@dataclass(frozen=True, slots=True)
class Designation:
    """A cable, or the conductors drawn into a raceway, as their designation tells it."""

    text: str
    """As it is written here: `12-2 NM-B`."""
    type: str
    """Type of the cable, or of the insulated conductors: `NM-B`, `THWN-2`."""
    sizes: tuple[int, ...]
    """Size of every insulated conductor; empty when their number is not told."""
    size: int
    """Size of the largest insulated conductor."""
    ground: int | None = None
    """Size of the equipment ground, where the text tells it."""
    grounded: bool | None = None
    """Whether there is a conductor for the equipment ground; None: the text does not tell."""
    bare_neutral: int | None = None
    """Size of a neutral without insulation of its own."""
    metal: str | None = None
    """copper, aluminum or copper-clad aluminum, where the text tells it."""
    single: bool = False
    """Single conductors in a raceway, not a cable."""


def read_cable(text: str) -> str:
    """The usual spelling of a designation. Raises DesignationError, with the nearest one, when it is none."""
    return designation(text).text


@lru_cache(maxsize=4096)
def designation(text: str) -> Designation:
    """The parts of a designation. Raises DesignationError."""
    plain = " ".join(text.replace("\u2013", "-").replace("\u2011", "-").replace("\u00a0", " ").split())
    if not plain or len(plain) > _MOST:
        raise DesignationError("a cable is written as it is printed, such as 12-2 NM-B")
    if _DATE.fullmatch(plain) or _ISO.fullmatch(plain):
        raise DesignationError(
            f"'{plain}' is a date: a spreadsheet made it of what was typed; write the cable with its type, 12-2 NM-B"
        )
    if re.search(r"[,+;]|\band\b", _GROUND.sub("", plain)) or _is_wire(plain):
        return _wires(plain)
    return _cable(plain)


def _is_wire(plain: str) -> bool:
    """Whether the text names a type of single conductors and no count of a cable."""
    words = {word.upper() for word in re.split(r"[\s()#]+", plain)}
    return bool(words & (set(WIRES) - set(CABLES))) or bool(_TYPE_FIRST.fullmatch(plain) and words & set(WIRES))


def _cable(plain: str) -> Designation:
    rest, grounded = plain, None
    for pattern, answer in ((_NO_GROUND, False), (_GROUND, True)):
        shorter = pattern.sub(" ", rest)
        if shorter != rest:
            rest, grounded = " ".join(shorter.split()), answer
            break
    words, metal = _metal(rest)
    found = _FIGURES.fullmatch(words)
    if found is None:
        raise DesignationError(
            f"'{plain}' is no designation of a cable: sizes and type, such as 12-2 NM-B or 2-2-2-4 AL URD",
            _guess(words),
        )
    parts = [part.strip() for part in re.split(r"\s?-\s?", found[1])]
    if len(parts) == 1:
        # a slash between size and count, 12/2; in 1/0 it belongs to the size
        parts = [part.strip() for part in re.split(r"\s?/\s?", found[1])]
    figures = "-".join(parts)
    type_ = _type(found[2], CABLES + CORDS + LOW_VOLTAGE, plain, figures, metal)
    return _made(plain, parts, type_, metal, grounded)


def _made(plain: str, parts: list[str], type_: str, metal: str | None, grounded: bool | None) -> Designation:
    """A cable from its figures: size and counts, or one size a conductor."""
    text = " ".join(("-".join(parts), *((_SHORT[metal],) if metal else ()), type_))
    text += {True: " with ground", False: " without ground", None: ""}[grounded]
    size = _size(parts[0], plain)
    counts = parts[1:]
    if all(part.isdigit() and 1 <= int(part) <= 12 for part in counts) and (len(parts) == 2 or _counted(parts, type_)):
        number = sum(int(part) for part in counts)
        return Designation(text, type_, (size,) * number, size, None, grounded, None, metal)
    if len(parts) < 3:
        raise DesignationError(f"'{plain}': {parts[-1]} is no count of conductors", f"{parts[0]}-3 {type_}")
    sizes = tuple(_size(part, plain) for part in parts)
    if len(parts) == 3 and type_ in BARE_NEUTRAL:
        return Designation(text, type_, sizes[:2], max(sizes[:2]), None, False, sizes[2], metal)
    if len(parts) == 3 and type_ in TRIPLEX:
        return Designation(text, type_, sizes, max(sizes), None, False, None, metal)
    if len(parts) in (3, 4):
        return Designation(text, type_, sizes[:-1], max(sizes[:-1]), sizes[-1], True, None, metal)
    raise DesignationError(f"'{plain}' has {len(parts)} sizes: one for each conductor, the ground last: 2-2-2-4 AL URD")


def _counted(parts: list[str], type_: str) -> bool:
    """12-2-2 NM-B: two counts after the size (two circuits in one cable), not three sizes."""
    return len(parts) == 3 and type_ in ("NM-B", "MC", "AC") and all(part in "123456" for part in parts[1:])


def _wires(plain: str) -> Designation:
    """Single conductors: `3 x 10 THWN-2 CU, 10 ground`."""
    sizes: list[int] = []
    ground, type_, metal, counted = None, "", None, True
    said: list[str] = []
    for part in re.split(r"\s*(?:[,+;]|\band\b)\s*", plain):
        words, told = _metal(part)
        metal = metal or told
        is_ground = re.search(r"\b(?:ground|grd|gnd|egc|g)\b", words, re.I) is not None
        words = re.sub(r"\b(?:bare|green|equipment|ground|grd|gnd|egc|g)\b", " ", words, flags=re.I).strip()
        first = _TYPE_FIRST.fullmatch(words)
        words = f"{first[2]} {first[1]} {first[3]}".strip() if first else words
        found = _WIRE.fullmatch(words)
        if found is None or (not found[3].strip() and not type_ and not is_ground):
            raise DesignationError(f"'{plain}': '{part}' is no conductor", "3 x 10 THWN-2 CU, 10 ground")
        number, size = found[1], _size(found[2], plain)
        if found[3].strip() and not (is_ground and type_):
            own = _type(found[3], WIRES, plain, f"{number} x {found[2]}" if number else found[2], told)
            if type_ and own != type_:
                raise DesignationError(f"'{plain}' has two types of conductor, {type_} and {own}", "one type a raceway")
            type_ = own
        if is_ground:
            ground = size
            said.append(f"{found[2]} ground")
            continue
        counted = counted and number is not None
        sizes.extend([size] * int(number or 1))
        said.append(f"{number} x {found[2]}" if number else found[2])
    if not sizes:
        raise DesignationError(f"'{plain}' has a ground and nothing else", "3 x 10 THWN-2 CU, 10 ground")
    head = [name for name in (type_, _SHORT.get(metal or "")) if name]
    text = ", ".join((" ".join((said[0], *head)), *said[1:]))
    told_sizes = tuple(sizes) if counted else ()
    return Designation(text, type_, told_sizes, max(sizes), ground, ground is not None or None, None, metal, True)


def _metal(text: str) -> tuple[str, str | None]:
    """The words without that of a metal, and the metal."""
    words = text.split()
    found = next((word for word in words if word.lower().strip("().") in _METALS), None)
    if found is None:
        return text, None
    words.remove(found)
    return " ".join(words), _METALS[found.lower().strip("().")]


def _size(part: str, plain: str) -> int:
    number = int(part) if part.isdigit() else None
    try:
        value = read(f"{part} {'kcmil' if number is not None and number >= 250 else 'AWG'}", "wire size").exact
    except QuantityError:
        value = None
    if value is None:
        raise DesignationError(f"'{plain}': there is no conductor of size {part}", "")
    return int(value)


def _type(written: str, known: tuple[str, ...], plain: str, figures: str, metal: str | None) -> str:
    """The type that is written, in its usual spelling."""
    spelled = _spelled(written)
    for name in known:
        if _spelled(name) == spelled:
            return name
    near = _near(spelled, known) or ("" if spelled else known[0])
    between = f" {_SHORT[metal]}" if metal else ""
    suggestion = f"{figures}{between} {near}" if near else ""
    if not spelled:
        raise DesignationError(f"'{plain}' has no type: the letters printed after the figures", suggestion)
    raise DesignationError(
        f"'{plain}': '{written.strip()}' is no type of cable, one of: {', '.join(known)}", suggestion
    )


def _spelled(word: str) -> str:
    return re.sub(r"[^A-Z0-9]", "", word.upper())


def _near(spelled: str, known: tuple[str, ...]) -> str:
    by_letters = {_spelled(name): name for name in known}
    started = [name for name in by_letters if spelled and (name.startswith(spelled) or spelled.startswith(name))]
    from difflib import get_close_matches  # only what is misspelt needs it

    found = sorted(started, key=lambda name: abs(len(name) - len(spelled))) or get_close_matches(
        spelled, by_letters, n=1, cutoff=0.6
    )
    return by_letters[found[0]] if found else ""


def _guess(words: str) -> str:
    """The nearest designation to something that has two figures in it."""
    figures = re.findall(_SIZE, words)
    letters = re.sub(r"[^A-Za-z-]", " ", words).strip(" -")
    if len(figures) < 2:
        return ""
    near = _near(_spelled(letters), CABLES + CORDS + LOW_VOLTAGE) if letters else CABLES[0]
    return f"{'-'.join(figures)} {near}" if near else ""
