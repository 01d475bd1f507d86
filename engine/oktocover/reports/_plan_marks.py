"""The marks of the plan. Each is told from the others by its shape alone, so that it reads without colour.

A mark is drawn at a spot of a wall's inside face: x to the right along the wall as seen from inside the room,
y into the room, minus y out through the wall.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Mark:
    """One kind of mark."""

    words: str
    drawing: str
    """SVG, for a spot of the wall; an outside one begins at the outside face."""
    side: int
    """Where it stands: -1 in the room, 1 outside, 0 in the wall."""
    reach: float
    """How far it reaches from the face it stands on."""
    half: float = 5.0
    """Half its width along the wall."""


MARKS: Final[dict[str, Mark]] = {
    "panel": Mark("panel", '<rect class="solid" x="-9" y="1.5" width="18" height="7"/>', -1, 9, 9),
    "receptacle": Mark("receptacle", '<path d="M0 0V3"/><circle cx="0" cy="7" r="4"/>', -1, 11),
    "switch": Mark("switch", '<path d="M0 0V10M0 10L5 6"/>', -1, 11),
    "light": Mark("light", '<circle cx="0" cy="7" r="5"/><path d="M-3.5 3.5L3.5 10.5M-3.5 10.5L3.5 3.5"/>', -1, 12),
    "box": Mark("box", '<rect x="-4" y="2" width="8" height="8"/><path d="M-4 2L4 10"/>', -1, 10),
    "disconnect": Mark("disconnect", '<rect x="-5" y="1.5" width="10" height="10"/><path d="M-3 9L3 4"/>', -1, 12),
    "equipment": Mark("equipment", '<rect x="-9" y="2" width="18" height="12"/><path d="M-5 8H5M0 4V12"/>', -1, 14, 9),
    "framing_hole": Mark("hole or notch in framing", '<circle cx="0" cy="-3.2" r="3"/>', 0, 0, 4),
    "appliance": Mark("appliance", '<rect x="-9" y="2" width="18" height="14" rx="3"/><path d="M-4 9H4"/>', -1, 16, 9),
    "gas_meter": Mark(
        "gas meter",
        '<path d="M0 0V-5"/><rect x="-7" y="-17" width="14" height="12"/><path d="M-7 -5L7 -17"/>',
        1,
        17,
        7,
    ),
    "vent_terminal": Mark("vent terminal", '<path class="solid" d="M0 -2L-6 -14H6Z"/>', 1, 14, 6),
    "air_opening": Mark("combustion air", '<path class="flow" d="M0 -11V11M-4 6L0 11L4 6"/>', -1, 12),
    "penetration": Mark("hole through a wall or ceiling", '<path d="M-3.2 -6.4L3.2 0M-3.2 0L3.2 -6.4"/>', 0, 0, 4),
    "membrane_box": Mark("box in a rated wall", '<rect x="-3.5" y="-6" width="7" height="6"/>', 0, 0, 4),
    "outside_thing": Mark("thing outside", '<path d="M0 -2L5 -8L0 -14L-5 -8Z"/>', 1, 14),
}
OTHER: Final = Mark("other", '<path d="M0 2L5 5V10L0 13L-5 10V5Z"/>', -1, 13)


def mark_of(kind: str) -> Mark:
    """The mark of a kind of element."""
    return MARKS.get(kind, OTHER)


@dataclass(frozen=True, slots=True)
class Cut:
    """How an opening is drawn between its two jambs."""

    words: str
    cuts: bool
    """Whether the wall stops there."""


CUTS: Final[dict[str, Cut]] = {
    "door": Cut("door", True),
    "cased opening": Cut("opening without a door", True),
    "sliding door": Cut("sliding door", True),
    "garage door": Cut("garage door", True),
    "window": Cut("window", True),
    "fixed glass": Cut("fixed glass", True),
    "louver": Cut("louver, vent opening", True),
    "fixed": Cut("built in: cabinet, fireplace, counter", False),
    "other": Cut("other opening", True),
}
_LIKE: Final = {
    "vent opening": "louver",
    "sliding panel": "sliding door",
    "fireplace": "fixed",
    "fixed cabinet": "fixed",
    "bar counter": "fixed",
}


def cut_name(what: str | None) -> str:
    """Which of CUTS an opening is drawn as."""
    name = _LIKE.get(what or "", what or "other")
    return name if name in CUTS else "other"


def cut_drawing(name: str, wide: float, deep: float) -> str:
    """SVG of an opening `wide` units wide in a wall `deep` units thick, from its left jamb on the inside face."""
    w, d, m = f"{wide:.3f}", f"{deep:.3f}", f"{deep / 2:.3f}"
    jambs = f'<path class="jamb" d="M0 0V-{d}M{w} 0V-{d}"/>'
    if name == "window":
        third, two = f"{deep / 3:.3f}", f"{deep * 2 / 3:.3f}"
        return f'{jambs}<path d="M0 0H{w}M0 -{third}H{w}M0 -{two}H{w}M0 -{d}H{w}"/>'
    if name == "fixed glass":
        return f'{jambs}<path d="M0 0H{w}M0 -{m}H{w}M0 -{d}H{w}"/>'
    if name == "sliding door":
        half, over, low = f"{wide * 0.54:.3f}", f"{wide * 0.46:.3f}", f"{deep * 0.68:.3f}"
        return f'{jambs}<path class="leaf" d="M0 -{low}H{half}M{over} -{deep * 0.32:.3f}H{w}"/>'
    if name == "garage door":
        return f'{jambs}<path class="dash" d="M0 -{m}H{w}"/>'
    if name == "door":
        return f'{jambs}<path class="dots" d="M0 0H{w}M0 -{d}H{w}"/>'
    if name == "louver":
        strokes = max(2, min(12, int(wide // 4)))
        slats = "".join(
            f"M{wide * (at + 0.2) / strokes:.3f} 0l{wide * 0.6 / strokes:.3f} -{d}" for at in range(strokes)
        )
        return f'{jambs}<path d="{slats}"/>'
    if name == "fixed":
        return f'<path class="dash" d="M0 0V6H{w}V0"/>'
    if name == "other":
        return f'{jambs}<path class="dashdot" d="M0 -{m}H{w}"/>'
    return jambs
