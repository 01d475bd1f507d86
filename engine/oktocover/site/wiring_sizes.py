"""How large what wiring ends in can be: physical sizes, so that a distance on the plan is never taken for more than it is."""

from __future__ import annotations

from oktocover.quantities import Number
from oktocover.quantities.units import FOOT, INCH

ONE_BOX: Number = 2 * FOOT
"""No box of devices is wider: two devices farther apart are not in one box."""

NEARER: dict[str, Number] = {
    **dict.fromkeys(("receptacle", "switch", "light", "box"), 6 * INCH),
    **dict.fromkeys(("panel", "disconnect"), 2 * FOOT),
}
"""How much nearer than its tape mark a cable can end, by the kind it ends at: half a wide box, a whole panel.

A kind that is not here (a machine, an appliance) can take its cable anywhere.
"""

WHOLE: Number = INCH
"""A length worked out from the plan is rounded down to this."""
