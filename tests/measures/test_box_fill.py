"""What is in a box: counted from its cables and devices, and open where something is not written."""

from __future__ import annotations

from typing import Any

import yaml

import oktocover.measures.trades as trades
from oktocover.measures.box_fill import Entry, by_size, contents
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members, Range, Unknown
from oktocover.measures.view import SiteView
from oktocover.quantities import WIRE, read
from oktocover.reading.site_file import read_site_text

assert trades
AWG_14, AWG_12, AWG_10 = (WIRE.index(f"{size} AWG") for size in (14, 12, 10))


def test_wires_of_one_size_stand_together_largest_first() -> None:
    assert by_size([(AWG_14, 2), (AWG_12, 2), (AWG_14, 3)]) == ((AWG_12, 2), (AWG_14, 5))


def test_clamps_and_fittings_count_by_the_largest_wire_in_the_box() -> None:
    made = contents([(AWG_14, 2)], [(AWG_12, 1)], clamps=True, fittings=2)
    assert Entry("clamps", 1, AWG_12) in made
    assert Entry("support fittings", 2, AWG_12) in made


def test_a_box_without_a_wire_has_neither_clamps_nor_fittings_to_count() -> None:
    assert contents([], [], clamps=True, fittings=1) == []


def test_the_grounds_are_one_line_of_the_largest() -> None:
    assert contents([], [(AWG_14, 3), (AWG_10, 1)]) == [Entry("grounds", 4, AWG_10)]


def site(**changes: Any) -> dict[str, Any]:
    """Three receptacles on one circuit of 12-2, the cable running through the first two boxes."""
    box = {
        "what": "device",
        "material": "plastic",
        "volume": "20.3 in3",
        "extension": "none",
        "clamps": "built in",
        "gangs": "1",
        "fittings": "none",
        "terminal blocks": "none",
    }
    made: dict[str, Any] = {
        "spaces": {"studio": {"use": "workshop", "size": "20 ft x 20 ft"}},
        "panels": {"P-1": {"wall": "studio.west", "at": "2 ft"}},
        "boxes": {f"B-{n}": {**box, "wall": "studio.north", "at": f"{4 * n} ft"} for n in (1, 2, 3)},
        "circuits": {
            "E-1": {
                "panel": "P-1",
                "breaker": "20 A",
                "cable": "12-2 NM-B",
                "chain": ["P-1", "R-1", "R-2", "R-3"],
                "whole": "yes",
            }
        },
        "receptacles": {
            f"R-{n}": {"wall": "studio.north", "at": f"{4 * n} ft", "what": "5-20 duplex", "box": f"B-{n}"}
            for n in (1, 2, 3)
        },
        "looked": [{"list": "circuits", "whole": "yes", "by": "M.K.", "day": "2026-05-03"}],
    }
    made.update(changes)
    return made


def boxes(data: dict[str, Any]) -> dict[str, Subject]:
    view = SiteView(read_site_text(yaml.safe_dump(data, sort_keys=False)).site)
    return {one.id: one for one in view.of("box_contents")}


def lines(box: Subject) -> list[tuple[str, Any, Any]]:
    entries = box.value("entries")
    assert isinstance(entries, Members)
    return [(one.value("what"), one.value("number"), one.value("size")) for one in entries.sure]


def test_a_box_in_the_middle_of_a_chain_holds_two_cables() -> None:
    box = boxes(site())["B-2"]
    assert lines(box) == [
        ("conductors", 4, AWG_12),
        ("grounds", 2, AWG_12),
        ("devices", 1, AWG_12),
        ("clamps", 1, AWG_12),
    ]
    assert not box.value("entries").open


def test_the_last_box_of_a_chain_holds_one_cable() -> None:
    assert lines(boxes(site())["B-3"])[0] == ("conductors", 2, AWG_12)


def test_a_chain_that_is_not_whole_leaves_the_contents_open() -> None:
    data = site()
    del data["circuits"]["E-1"]["whole"]
    assert boxes(data)["B-3"].value("entries").open


def test_clamps_nobody_looked_for_are_none_or_one() -> None:
    data = site()
    del data["boxes"]["B-2"]["clamps"]
    clamps = next(number for what, number, _ in lines(boxes(data)["B-2"]) if what == "clamps")
    assert isinstance(clamps, Range) and (clamps.low, clamps.high) == (0, 1)


def test_the_volume_of_a_marked_ring_is_added() -> None:
    data = site()
    data["boxes"]["B-2"]["extension"] = "3.7 in3"
    assert boxes(data)["B-2"].value("volume") == read("24 in3", "volume").exact


def test_a_ring_nobody_looked_for_leaves_the_volume_at_least_that_of_the_box() -> None:
    data = site()
    del data["boxes"]["B-2"]["extension"]
    volume = boxes(data)["B-2"].value("volume")
    assert isinstance(volume, Range)
    assert (volume.low, volume.high) == (read("20.3 in3", "volume").exact, None)
    assert volume.missing[0].fact == "extension"


def test_a_box_whose_volume_is_not_read_asks_for_it() -> None:
    data = site()
    del data["boxes"]["B-2"]["volume"]
    volume = boxes(data)["B-2"].value("volume")
    assert isinstance(volume, Unknown) and volume.missing[0].found_by == "plate"


def test_a_device_counts_by_the_wires_of_its_own_circuit() -> None:
    data = site()
    data["circuits"]["E-2"] = {
        "panel": "P-1",
        "breaker": "15 A",
        "cable": "14-2 NM-B",
        "chain": ["P-1", "S-1"],
        "whole": "yes",
    }
    data["switches"] = {"S-1": {"wall": "studio.north", "at": "8 ft", "what": "single pole", "box": "B-2"}}
    data["boxes"]["B-2"]["gangs"] = "2"
    devices = [(number, size) for what, number, size in lines(boxes(data)["B-2"]) if what == "devices"]
    assert sorted(devices) == [(1, AWG_14), (1, AWG_12)]


def test_a_box_that_nothing_reaches_is_not_asked_about() -> None:
    data = site()
    data["boxes"]["B-9"] = {"wall": "studio.south", "at": "4 ft"}
    assert "B-9" not in boxes(data)


def test_an_unmarked_metal_box_has_the_volume_of_its_trade_size() -> None:
    data = site()
    del data["boxes"]["B-2"]["volume"]
    data["boxes"]["B-2"]["trade size"] = "4 in x 1-1/2 in square"
    assert boxes(data)["B-2"].value("volume") == read("21 in3", "volume").exact


def test_what_is_marked_stands_before_the_trade_size() -> None:
    data = site()
    data["boxes"]["B-2"]["trade size"] = "4 x 1-1/2 square"
    assert boxes(data)["B-2"].value("volume") == read("20.3 in3", "volume").exact


def test_a_trade_size_the_table_does_not_have_asks_for_the_marking() -> None:
    data = site()
    del data["boxes"]["B-2"]["volume"]
    data["boxes"]["B-2"]["trade size"] = "7 x 9 odd"
    volume = boxes(data)["B-2"].value("volume")
    assert isinstance(volume, Unknown) and volume.missing[0].fact == "volume"
