"""Cases: what a rule says about facts somebody made up, written beside the rule as named sentences."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from typing import Any

from oktocover.findings.finding import Verdict
from oktocover.measures.registry import FactType, fact_type
from oktocover.measures.subject import Subject
from oktocover.measures.values import Members
from oktocover.quantities import QuantityError, next_size, read, read_date, read_moment, trade_step
from oktocover.quantities.insulation import Insulation
from oktocover.reading.nearest import nearest
from oktocover.reading.nodes import Document, read_yaml_documents
from oktocover.reading.problems import InputProblems, Place, Problem
from oktocover.rules.evaluate import Judged, judge
from oktocover.rules.form import Rule
from oktocover.rules.intervals import NO_LIMIT, NOT_ALLOWED
from oktocover.rules.scope import Env
from oktocover.rules.types import RuleError, fact_of
from oktocover.site.declared import speaking

Path = tuple[str | int, ...]
VERDICTS: tuple[Verdict, ...] = ("met", "not met", "not recorded", "does not apply")
NO_VERDICTS = ("none", "error")
"""What a case of a change may come to beside: there is nothing to ask, or the rules cannot stand so."""
CASE_KEYS = (
    "given",
    "item",
    "verdict",
    "required",
    "measured",
    "missing",
    "margin",
    "exception",
    "editions",
    "site",
    "subject",
    "was",
    "place",
    "rule",
    "note",
)
RELATIVE = ("at ", "just under ", "just over ")
NOT_RECORDED = "not recorded"
CHOSEN = "permit.choices."
"""What the applicant chose: no fact of the model, but what a place leaves open."""


@dataclass(slots=True)
class Case:
    """One sentence about one rule."""

    layer: str
    rule: str
    sentence: str
    data: Mapping[str, Any]
    usual: Mapping[str, Any]
    document: Document
    path: Path
    editions: tuple[str, ...] = ()
    made: tuple[Subject, dict[tuple[str, str], tuple[bool, int]], dict[str, Subject]] | None = None

    @property
    def place(self) -> Place:
        """Where the case stands."""
        return self.document.key_place(self.path)

    @property
    def given(self) -> dict[str, Any]:
        """What the case says, over what all cases of the rule share."""
        own = self.data.get("given") or {}
        return {**self.usual, **own}

    @property
    def relative(self) -> bool:
        """Whether a value follows a limit (`at hold`): such a case is made anew for each version of the rule."""
        return any(follows(value) for value in self.given.values())


@dataclass(slots=True)
class Outcome:
    """What came out of a case."""

    verdict: str
    judged: list[Judged] = field(default_factory=list)


def read_cases(path: FilePath, shown: str) -> Iterator[Case]:
    """The cases of one file; InputProblems when the file cannot be read as cases."""
    problems: list[Problem] = []
    for document in read_yaml_documents(path.read_text(encoding="utf-8"), shown):
        data = document.data
        if not isinstance(data, dict) or not isinstance(data.get("cases"), str):
            raise InputProblems([Problem(document.place(()), "a file of cases says what it is of", "cases: nec 2020")])
        layer = str(data["cases"]).strip()
        for rule, block in data.items():
            if rule in ("cases", "note"):
                continue
            named = block.get("cases") if isinstance(block, dict) else None
            usual = (block.get("usual") or {}) if isinstance(block, dict) else None
            if not isinstance(named, dict) or not isinstance(usual, dict):
                problems.append(
                    Problem(
                        document.place((rule,)),
                        f"'{rule}' has no cases",
                        "usual: {...} and cases: {a sentence: {given, verdict}}",
                    )
                )
                continue
            for sentence, case in named.items():
                at: Path = (rule, "cases", sentence)
                if not isinstance(case, dict):
                    problems.append(Problem(document.place(at), "a case is a mapping: given, verdict"))
                    continue
                problems.extend(_check(document, at, case))
                editions = case.get("editions")
                yield Case(
                    layer,
                    rule,
                    sentence,
                    case,
                    usual,
                    document,
                    at,
                    tuple(map(str, editions)) if isinstance(editions, list) else (),
                )
    if problems:
        raise InputProblems(problems)


def _check(document: Document, at: Path, case: Mapping[str, Any]) -> Iterator[Problem]:
    for key in case:
        if key not in CASE_KEYS:
            near = nearest(key, CASE_KEYS)
            yield Problem(
                document.key_place((*at, key)),
                f"'{key}' is not part of a case",
                "one of: " + ", ".join(CASE_KEYS),
                f"did you mean '{near}'?" if near else "",
            )
    if case.get("verdict") not in VERDICTS:
        yield Problem(
            document.place((*at, "verdict")), f"'{case.get('verdict')}' is no verdict", "one of: " + ", ".join(VERDICTS)
        )


def run(case: Case, rule: Rule, quick: bool = False) -> Outcome:
    """The verdict of a rule on what a case gives. RuleError when the case cannot be understood.

    `quick` asks as a check does; otherwise the rule is walked as it stands, so that things can be taken out of it.
    """
    with speaking(rule.declared):
        if case.made is None or case.relative:
            case.made = _make(case, rule)
        subject, records, roots = case.made
        judged = list(judge(rule, Env(subject, roots, records), quick))
    wanted = case.data.get("item")
    if wanted:
        names = [one.name.removeprefix(f"{rule.id}.") for one in judged]
        judged = [one for one in judged if one.name == f"{rule.id}.{wanted}" or one.item.name == wanted]
        if not judged:
            near = nearest(str(wanted), names)
            do = f"did you mean '{near}'?" if near else "leave item: out"
            raise RuleError(f"the rule has no item '{wanted}' with a verdict of its own", do=do)
    return Outcome(joined([one.verdict for one in judged]), judged)


def joined(verdicts: Sequence[str]) -> str:
    """The verdict that stands for several: the worst of them."""
    for verdict in ("not met", "not recorded", "met", "does not apply"):
        if verdict in verdicts:
            return verdict
    return "none"


def differs(case: Case, outcome: Outcome) -> str:
    """In what an outcome is not what the case says; empty when it is."""
    wanted = case.data.get("verdict")
    if outcome.verdict != wanted:
        lacks = sorted({f"{m.element} {m.fact}" for one in outcome.judged for m in one.missing})
        return f"verdict: {outcome.verdict}, the case says {wanted}" + (
            f" (missing: {', '.join(lacks)})" if lacks else ""
        )
    comparisons = [c for one in outcome.judged for c in one.answer.comparisons]
    for key in ("required", "measured", "margin"):
        text = case.data.get(key)
        if text is not None and text not in [getattr(c, key) for c in comparisons]:
            found = "; ".join(getattr(c, key) for c in comparisons)
            return f"{key}: {found or '(none)'}, the case says {text}"
    exception = case.data.get("exception")
    if exception is not None:
        helped = [one.answer.exception for one in outcome.judged if one.answer.exception]
        if str(exception).replace("_", " ") not in helped:
            return f"exception: {', '.join(helped) or '(none helped)'}, the case says {exception}"
    missing = case.data.get("missing")
    if isinstance(missing, list):
        have = {m.fact for one in outcome.judged for m in one.missing}
        for name in missing:
            parts = str(name).replace("_", " ").split(".")
            if not any(part in have for part in (parts[-1], parts[0], str(name).replace("_", " "))):
                return f"missing: {', '.join(sorted(have)) or '(nothing)'}; the case says {name}"
    return ""


def _make(case: Case, rule: Rule) -> tuple[Subject, dict[tuple[str, str], tuple[bool, int]], dict[str, Subject]]:
    if case.data.get("site") is not None:
        return _from_site(case, rule)
    records: dict[tuple[str, str], tuple[bool, int]] = {}
    roots = {name: Subject(name, name) for name in ("site", "building", "permit")}
    subject = roots.get(rule.each) or Subject(rule.each, "case")
    late: list[tuple[str, str]] = []
    for name, value in case.given.items():
        if isinstance(value, str) and value.strip() == NOT_RECORDED:
            continue
        if name.startswith("record."):
            item = name.removeprefix("record.")
            records[rule.id if item in ("main", "") else f"{rule.id}.{item}", ""] = (value == "yes", 5)
        elif follows(value):
            late.append((name, value))
        else:
            give(subject, name, value, rule.each, roots)
    for name, value in late:
        give(subject, name, _relative(value, rule, Env(subject, roots, records)), rule.each, roots)
    return subject, records, roots


def given_roots(case: Case) -> dict[str, Subject]:
    """The site, the building and the permit as a case gives them, for what is asked of no element."""
    roots = {name: Subject(name, name) for name in ("site", "building", "permit")}
    for name, value in case.given.items():
        if not (isinstance(value, str) and value.strip() == NOT_RECORDED):
            give(roots["site"], name, value, "site", roots)
    return roots


def _from_site(case: Case, rule: Rule) -> tuple[Subject, dict[tuple[str, str], tuple[bool, int]], dict[str, Subject]]:
    from oktocover.measures.view import SiteView
    from oktocover.reading.site_file import make_site

    view = SiteView(make_site([_Piece(case)]).site)  # type: ignore[list-item]
    wanted = case.data.get("subject")
    found = [subject for subject in view.of(rule.each) if wanted in (None, subject.id)]
    if len(found) != 1:
        names = ", ".join(subject.id for subject in view.of(rule.each))
        raise RuleError(
            f"the piece of a site has {len(found)} fitting {rule.each}: {names or 'none'}", "subject: one of them"
        )
    return found[0], {}, view.roots


class _Piece:
    """The site in a case, as a document whose places are those of the case."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.data = case.data["site"]
        self.file = case.document.file
        self.lines = case.document.lines

    def place(self, path: Path) -> Place:
        return self.case.document.place((*self.case.path, "site", *path))

    key_place = place


def give(subject: Subject, name: str, value: Any, kind: str, roots: Mapping[str, Subject]) -> None:
    """Put what a case gives under a name into a subject, or into the root it begins with."""
    if name.startswith(CHOSEN) and "permit" in roots:
        roots["permit"].own[name.removeprefix("permit.")] = value
        return
    about = fact_of(kind, name)
    if about is None:
        from oktocover.measures import registry

        near = nearest(name, registry.kinds()[kind].facts)
        raise RuleError(f"'{name}' is no fact of a {kind}", do=f"did you mean '{near}'?" if near else "")
    first, _, rest = name.partition(".")
    made = value if not isinstance(value, (str, dict, list)) else _value(value, about, name)
    if rest and first in roots:
        roots[first].own[rest] = made
    subject.own[name] = made


def _value(value: Any, about: FactType, name: str) -> Any:
    if about.form == "many":
        return _members(value, about.kind, name)
    if about.form == "one":
        if not isinstance(value, dict):
            raise RuleError(f"'{name}' is one {about.kind}: a mapping of its facts")
        return _stub(value, about.kind, name)
    if not isinstance(value, str):
        raise RuleError(f"'{name}' is not a list or a mapping")
    text = value.strip()
    if about.form == "quantity" and text not in about.words:
        try:
            return read(text, about.dimension)
        except QuantityError as error:
            raise RuleError(f"{name}: {error}") from None
    if about.form == "yes or no":
        if text not in ("yes", "no"):
            raise RuleError(f"'{name}' is yes or no, not '{text}'")
        return text == "yes"
    if about.form == "date":
        return read_date(text)
    if about.form == "moment":
        return read_moment(text)
    if about.form == "word" and about.words and text not in about.words:
        near = nearest(text, about.words)
        raise RuleError(
            f"'{text}' is no {name}", "one of: " + ", ".join(about.words), f"did you mean '{near}'?" if near else ""
        )
    return text


def _stub(facts: Mapping[str, Any], kind: str, label: str) -> Subject:
    made = Subject(kind, str(facts.get("id", label)))
    for name, value in facts.items():
        if name != "id" and not (isinstance(value, str) and value.strip() == NOT_RECORDED):
            give(made, name, value, kind, {})
    return made


def _members(value: Any, kind: str, name: str) -> Members:
    opened = isinstance(value, dict) and set(value) == {"at least"}
    items = value["at least"] if opened else value
    if not isinstance(items, list):
        raise RuleError(f"'{name}' is a list; an open one is written {{at least: [...]}}")
    stubs = tuple(_stub(item or {}, kind, f"{name} {index + 1}") for index, item in enumerate(items))
    owner = Subject(kind, "case")
    return Members(stubs, opened, (owner.lacks(name),) if opened else ())


def follows(value: Any) -> bool:
    """Whether a value is written after a limit (`at hold`), not as a bound (`at least 6 ft`)."""
    return isinstance(value, str) and value.startswith(RELATIVE) and not value.startswith(("at least ", "at most "))


def _relative(text: str, rule: Rule, env: Env) -> Any:
    word = next(word for word in RELATIVE if text.startswith(word))
    name = text.removeprefix(word).strip()
    limit = next((limit for limit_name, limit in rule.all_limits() if limit_name == name), None)
    if limit is None:
        raise RuleError(
            f"'{text}': the rule has no limit '{name}'", "one of: " + ", ".join(n for n, _ in rule.all_limits())
        )
    value = limit.get(env)
    if value in (NO_LIMIT, NOT_ALLOWED) or limit.type.dimension is None:
        raise RuleError(f"'{text}': the limit '{name}' is no number here")
    return moved(value, limit.type.dimension, limit.unit, {"at ": 0, "just under ": -1, "just over ": 1}[word])


def moved(value: Any, dim: Any, unit: str, steps: int) -> Any:
    """A value one trade step up or down (one size on a ladder, two percent where there is no step)."""
    if not steps:
        return value
    if dim.name in ("wire size", "pipe size"):
        return next_size(value, dim, up=steps > 0)
    if isinstance(value, Insulation):
        return value.moved(0, 0, steps)
    step = trade_step(dim, unit or None)
    if step is None or (dim.name == "number" and value != int(value)):
        from fractions import Fraction

        step = abs(Fraction(value)) / 50 or 1
    return value + steps * step


__all__ = ["Case", "Outcome", "differs", "fact_type", "moved", "read_cases", "run"]
