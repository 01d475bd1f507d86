"""Sites for the read-back and the plan, each as a person would write it."""

from __future__ import annotations

from oktocover.measures import trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import SiteFile, read_site_text

assert trades

TEN_LINES = """\
site: Studio
permit: {occupancy: accessory}
described: {electrical: yes, fuel gas: none, fuel burning appliances: none, rated walls: none}
measured to: bare framing
spaces:
  studio: {use: workshop, size: 18 ft x 17 ft, ceiling: 9 ft}
openings:
  D3: {wall: studio.south, at: 3 ft, width: 36 in, what: door, sill: 0 in, high: 80 in}
receptacles:
  R-01: {wall: studio.north, at: 4 ft 9 in, height: 44 in, mount: wall, what: 5-20 duplex}
looked:
  - {list: receptacles, in: studio, whole: yes, by: M.K., day: 2026-05-03}
"""

EMPTY = "site: Nothing yet\n"

SHOP = """\
site: Shop & <garage>
permit: {jurisdiction: tallow creek, occupancy: accessory, work: new, number: "26-1"}
described: {electrical: yes, fuel gas: yes, fuel burning appliances: yes, rated walls: none, spray finishing: not sure}
measured to: bare framing
still to come: {walls: 1/2 in, floor: none}
levels:
  main: {floor: 6 in}
  loft: {}
spaces:
  shop: {level: main, use: workshop, size: 20 ft x 16 ft, corner: "0 ft, 0 ft", ceiling: 9 ft}
  garage:
    {level: main, use: garage, outline: ["20' 5-1/2\\", 0 ft", "32' 5-1/2\\", 0 ft", {at: "32' 5-1/2\\", 10 ft", wall: back},
      "26' 5-1/2\\", 10 ft", "26' 5-1/2\\", 16 ft", "20' 5-1/2\\", 16 ft"]}
  store: {level: main, use: storage, size: 6 ft x 5 ft}
  yard: {level: main}
  attic: {level: loft, use: attic, size: 20 ft x 16 ft, corner: "0 ft, 0 ft"}
walls:
  W-1: {sides: [shop.east, garage.west], exterior: no, framing: 2x6, rating: none}
openings:
  D-1: {wall: shop.south, at: 3 ft, width: 3 ft, sill: 0 in, high: 80 in, what: door}
  D-2: {wall: shop.east, at: 4 ft, width: 32 in, sill: 0 in, high: 80 in, what: door}
  N-1: {wall: shop.west, at: 6 ft, width: 4 ft, sill: 3 ft, high: 3 ft, what: window}
  G-1: {wall: garage.south, at: 1 ft 6 in, width: 9 ft, sill: 0 in, high: 7 ft, what: garage door}
  N-9: {wall: shop.north, what: window}
panels:
  P-1: {wall: garage.back, at: 1 ft, height: 5 ft, main: 100 A}
circuits:
  C-1: {panel: P-1, for: benches, breaker: 20 A, cable: 12-2 NM-B}
receptacles:
  R-1: {wall: shop.north, at: 5 ft 1/16 in, height: 44 in, what: 5-20 duplex, circuit: C-1}
  R-2: {wall: shop.west, at: 2 ft, height: {is: 44 in, known: told, by: the electrician}, what: 5-20 duplex, circuit: C-1}
  R-3: {wall: garage.west, at: 9 ft, height: 48 in}
  R-4: {space: shop, mount: ceiling, what: L5-20}
  R-5: {wall: shop.north, at: at least 9 ft}
gas systems:
  house: {gas: natural gas, working pressure: 7 in w.c.}
gas meters:
  GM-1: {of: house, wall: garage.east-2, at: 8 ft, height: 1 ft}
gas pipes:
  G-01: {from: GM-1, size: 1 in, material: steel, length: 12 ft}
  G-02: {from: G-01, to: UH-1, size: 1/2 in, material: steel, length: 8 ft}
  G-03: {from: G-01, size: 3/4 in, material: steel, concealed: yes}
  G-04: {size: 1/2 in}
gas valves:
  GV-1: {pipe: G-02, serves: UH-1}
gas tests:
  GT-1: {of: house, covers: whole system, medium: air, pressure: 10 psi, started: 2026-05-03 9:05, ended: 2026-05-03 9:20}
appliances:
  UH-1: {space: garage, what: unit heater, fuel: natural gas, input: "45,000 Btu/h", draft: mechanical draft}
vents:
  V-1: {serves: [UH-1], material: special gas vent, size: 4 in}
terminals:
  T-1: {vent: V-1, through: wall, wall: garage.east-2, at: 2 ft, height: 7 ft}
penetrations:
  H-1: {wall: shop.east, at: 12 ft, height: 9 ft, member: top plate}
looked:
  - {list: openings, whole: yes, by: M.K., day: 2026-05-03}
  - {list: receptacles, in: shop, whole: yes, by: M.K., day: 2026-05-03, count: 4}
  - {list: receptacles, in: garage, whole: yes, by: M.K., day: 2026-05-03, count: 2}
"""


def read(text: str) -> SiteFile:
    """The site of a text."""
    return read_site_text(text)


def view(text: str) -> SiteView:
    """The site of a text, ready to be asked."""
    found = read(text)
    return SiteView(found.site, found.known)
