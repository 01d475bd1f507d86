"""Branch circuits and lights against worked answers from outside the project; the source stands by each check."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
import yaml

import oktocover.measures.trades as trades
from oktocover.measures.view import SiteView
from oktocover.reading.site_file import read_site_text
from oktocover.rules.evaluate import judge
from oktocover.rules.form import Rule
from oktocover.rules.library import Library
from oktocover.rules.ruleset import RuleSet
from oktocover.rules.scope import Env

assert trades
LOOK = {"by": "M.K.", "day": "2026-05-03"}


@cache
def rule(name: str, edition: str) -> Rule:
    found = RuleSet(Library().folded(edition)).rule(f"nec.{name}")
    assert found is not None
    return found


def verdicts(name: str, site: dict[str, Any], edition: str = "nec 2017") -> dict[str, str]:
    """Verdicts of a rule on a site, by subject and item."""
    view = SiteView(read_site_text(yaml.safe_dump(site, sort_keys=False)).site)
    asked = rule(name, edition)
    return {
        f"{subject.id}{one.name.removeprefix(asked.id)}": one.verdict
        for subject in view.of(asked.each)
        for one in judge(asked, Env(subject, view.roots, {}))
    }


def whole(*lists: str) -> list[dict[str, str]]:
    return [{"list": name, "whole": "yes", **LOOK} for name in lists]


# NEC Annex D, Example D1(a): a dwelling of 1,500 ft2 at 3 VA/ft2 is 4,500 VA or 37.5 A at 120 V: three 15 A or two 20 A
# two-wire circuits.
@pytest.mark.parametrize(("number", "rating", "verdict"), [
    (3, "15 A", "met"), (2, "20 A", "met"), (2, "15 A", "not met"), (1, "20 A", "not met"),
])
def test_general_circuits_of_a_dwelling_of_1500_square_feet(number: int, rating: str, verdict: str) -> None:
    site = {
        "permit": {"occupancy": "one family"},
        "services": {"S-1": {"rating": "100 A"}},
        "load calculations": {"LC-1": {"of": "S-1", "method": "standard", "area": "1,500 ft2"}},
        "circuits": {f"E-{one}": {"breaker": rating, "volts": "120 V", "purpose": "general"} for one in range(number)},
        "looked": whole("circuits"),
    }
    assert verdicts("lighting-circuits", site) == {"LC-1": verdict}


# NEC 422.11(E)(3) as worked in trade guides: a 4,500 W water heater of 240 V draws 18.75 A; 150 percent is 28.1 A, the next
# standard rating 30 A. One of 3,000 W and 240 V draws 12.5 A: 150 percent is 18.75 A, the next 20 A.
@pytest.mark.parametrize(("amps", "breaker", "verdict"), [
    ("18.75 A", "30 A", "met"), ("18.75 A", "35 A", "not met"), ("12.5 A", "20 A", "met"), ("12.5 A", "25 A", "not met"),
])
def test_largest_breaker_of_a_water_heater(amps: str, breaker: str, verdict: str) -> None:
    site = {
        "circuits": {"E-1": {"breaker": breaker, "volts": "240 V", "purpose": "one appliance"}},
        "equipment": {"WH-1": {"what": "water heater", "amps": amps, "circuit": "E-1"}},
    }
    assert verdicts("appliance-breaker", site) == {"WH-1": verdict}


# NEC Table 210.21(B)(2), in a public copy: 12 A on a circuit of 15 A, 16 A on 20 A, 24 A on 30 A.
@pytest.mark.parametrize(("breaker", "most", "over"), [
    ("15 A", "12 A", "12.1 A"), ("20 A", "16 A", "16.1 A"), ("30 A", "24 A", "24.1 A"),
])
def test_largest_load_on_a_cord_of_a_shared_circuit(breaker: str, most: str, over: str) -> None:
    def site(amps: str) -> dict[str, Any]:
        machine = {"what": "wood machine", "connected": "cord and plug", "fixed": "no", "amps": amps, "circuit": "E-1"}
        return {"circuits": {"E-1": {"breaker": breaker, "purpose": "general"}}, "equipment": {"SAW": machine}}

    assert verdicts("cord-load", site(most)) == {"SAW": "met"}
    assert verdicts("cord-load", site(over)) == {"SAW": "not met"}


# NEC 210.19(A)(3), read in a forum of inspectors: a range of 8-3/4 kW or more wants a circuit of at least 40 A; an answer
# there takes 8 AWG copper on 40 A for a 12 kW range, and writes up 10 AWG on 30 A.
@pytest.mark.parametrize(("breaker", "verdict"), [("40 A", "met"), ("50 A", "met"), ("30 A", "not met")])
def test_circuit_of_a_range_of_12_kilowatts(breaker: str, verdict: str) -> None:
    site = {
        "circuits": {"E-1": {"breaker": breaker, "volts": "240 V"}},
        "equipment": {"RG-1": {"what": "range", "load": "12 kW", "circuit": "E-1"}},
    }
    assert verdicts("range-circuit", site) == {"RG-1": verdict}


# A trade magazine's figure of switch loops under 404.2(C): power at the light and 14-2 down to the switch has no neutral
# there; power at the switch first has one.
@pytest.mark.parametrize(("chain", "verdict"), [
    (["P-1", "S-1", "L-1"], "met"), (["P-1", "L-1", "S-1"], "not recorded"),
])
def test_neutral_at_a_switch_follows_from_where_power_comes_in(chain: list[str], verdict: str) -> None:
    site = {
        "spaces": {"bedroom": {"use": "bedroom", "habitable": "yes"}},
        "panels": {"P-1": {"main": "100 A"}},
        "circuits": {"E-1": {"breaker": "15 A", "volts": "120 V", "cable": "14-2 NM-B", "chain": chain, "whole": "yes"}},
        "switches": {"S-1": {"space": "bedroom", "box": "B-1"}},
        "lights": {"L-1": {"space": "bedroom", "box": "B-2"}},
        "boxes": {"B-1": {"what": "device"}, "B-2": {"what": "octagon"}},
        "looked": whole("cables"),
    }
    assert verdicts("switch-neutral", site) == {"S-1": verdict}


# Answers of inspectors in trade forums to a cable left hanging for a light to come: refused without a box; taken where the
# light is named and its sheet shows a wiring compartment; taken with a box and a blank cover.
@pytest.mark.parametrize(("light", "verdict"), [
    ({"cable end": "hanging"}, "not met"),
    ({"cable end": "wiring space of the luminaire"}, "not recorded"),
    ({"box": "B-1"}, "met"),
])
def test_cable_left_for_a_light_to_come(light: dict[str, str], verdict: str) -> None:
    site = {"boxes": {"B-1": {"what": "octagon"}}, "lights": {"L-1": {"what": "strip", **light}}}
    assert verdicts("luminaire-cable", site) == {"L-1": verdict}
