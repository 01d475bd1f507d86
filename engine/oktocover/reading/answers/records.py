"""Answers to what no figure decides, statements that a list is whole, and what is written by hand."""

from __future__ import annotations

from typing import Any

from oktocover.reading._field_faults import short
from oktocover.reading.answers.merging import Given, Merge, instead, section_of, shown
from oktocover.site.base import read_yes_no


def _yes_no(merge: Merge, one: Given) -> bool | None:
    try:
        return read_yes_no(str(one.answer.value))
    except ValueError as error:
        merge.wrong(one, "value", str(error), "value: yes, or no")
        return None


def lay_record(merge: Merge, one: Given) -> None:
    answer = one.answer
    names = [answer.element] if not isinstance(answer.element, list) else list(answer.element)
    for name in names:
        rule = str(answer.record)
        instead(merge, one, ("records", rule, name or ""), f"{rule}, {name or 'the building'}")
    said = _yes_no(merge, one) if answer.value is not None else None
    if said is None:
        return
    records = list(merge.work.data.get("records") or ())
    for name in names:
        if _agrees(merge, one, records, name, said):
            continue
        made = {"for": answer.record, "element": name, "answer": "yes" if said else "no", "by": one.by, "day": one.day}
        made |= {"known": answer.known, "note": answer.note}
        merge.work.read.origins["records", len(records)] = one.at
        records.append({key: value for key, value in made.items() if value is not None})
    merge.work.data["records"] = records


def _agrees(merge: Merge, one: Given, records: list[Any], name: str | None, said: bool) -> bool:
    """Whether a record says the same already; one that says the other is an error with both places."""
    rule = str(one.answer.record).removesuffix(".main")
    for number, record in enumerate(records):
        if not isinstance(record, dict) or str(record.get("for")).removesuffix(".main") != rule:
            continue
        if (record.get("element") or None) != name:
            continue
        other = str(record.get("answer")).lower() in ("yes", "true", "y")
        if other != said:
            place = merge.work.read.place(("records", number))
            by = record.get("by") or "nobody named"
            message = f"{rule} of {name or 'the building'} is answered '{one.answer.value}' here ({one.who}), and otherwise by {by} at {place}"
            merge.wrong(one, "value", message, do="find out which one is right, and take the other out")
        return True
    return False


def lay_whole(merge: Merge, one: Given) -> None:
    answer = one.answer
    name = str(answer.whole)
    if not merge.work.is_list((*one.at, "whole"), name):
        return
    where = f" in {answer.in_}" if answer.in_ else ""
    instead(merge, one, ("looked", name, answer.in_ or ""), f"list of {name}{where}")
    said = _yes_no(merge, one) if answer.value is not None else None
    if said is None:
        return
    if answer.in_ and answer.in_.partition(".")[0] not in section_of(merge, "spaces"):
        merge.unknown(
            one, "in", f"there is no room '{short(answer.in_)}' in this site", answer.in_, section_of(merge, "spaces")
        )
        return
    if not said:
        note = f": {answer.note}" if answer.note else ""
        merge.tell(
            one, f"the list of {name}{where} is not whole ({one.who}){note}", f"write what is missing under {name}"
        )
        return
    looked = list(merge.work.data.get("looked") or ())
    made = {"list": name, "in": answer.in_, "whole": "yes", "by": one.by, "day": one.day, "how": answer.how}
    made["count"] = answer.count.text if answer.count is not None else None
    merge.work.read.origins["looked", len(looked)] = one.at
    looked.append({key: value for key, value in made.items() if value is not None})
    merge.work.data["looked"] = looked


def by_hand(merge: Merge, one: Given) -> None:
    answer = one.answer
    said = f" '{shown(answer.value)}'" if answer.value is not None else f" {answer.said}"
    merge.tell(one, f"{answer.about}:{said} ({one.who})", "write it into the site; no line of it takes this by itself")
