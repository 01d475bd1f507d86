"""One rule asked about one subject: three-valued from fact to verdict, with the figures and the work."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from oktocover.findings.finding import Comparison, Missing, Step, Verdict
from oktocover.measures.subject import Subject
from oktocover.measures.values import TESTED, Unknown
from oktocover.rules import intervals
from oktocover.rules.expressions import Expression
from oktocover.rules.figures import Part
from oktocover.rules.form import Node, Rule
from oktocover.rules.quick import FAILURES, Plan
from oktocover.rules.quick import plan as make_plan
from oktocover.rules.scope import Env
from oktocover.site.base import HOW_KNOWN

FOUND_BY = {"look": "look", "document": "paper", "approval": "official", "maker": "maker", "test": "test"}
_TYPICAL, _ASSUMED = HOW_KNOWN.index("typical"), HOW_KNOWN.index("assumed")


@dataclass(slots=True)
class Answer:
    """What a requirement (with its conditions and exceptions) came to."""

    applies: Any = True
    ok: Any = True
    exception: str = ""
    parts: list[Part] = field(default_factory=list)
    """What was compared, the telling ones first."""
    worked: list[Part] = field(default_factory=list)
    """The parts whose work is shown."""
    known_applies: int = TESTED
    known_ok: int = TESTED
    way: str = ""
    reason: str = ""
    """Why it does not apply."""

    @property
    def known(self) -> int:
        """The weakest way of knowing among what the answer rests on (index into HOW_KNOWN)."""
        return self.known_applies if self.applies is False else min(self.known_applies, self.known_ok)

    @property
    def comparisons(self) -> list[Comparison]:
        """Measured beside required, worked out when they are read."""
        return [part.comparison for part in self.parts]

    @property
    def steps(self) -> list[Step]:
        """Every line of the work once, in order."""
        return list(dict.fromkeys(step for part in self.worked for step in part.steps))

    @property
    def close(self) -> bool:
        """Whether a requirement fails by less than the usual tool can read."""
        return any(part.close for part in self.parts if part.ok is not True)


@dataclass(slots=True)
class Judged:
    """The verdict on one subject of a rule, or of one of its items."""

    rule: Rule
    item: Node
    name: str
    """book.rule, or book.rule.item"""
    subject: Subject
    verdict: Verdict
    missing: tuple[Missing, ...]
    settled: bool
    env: Env
    found: Answer | None = None

    @property
    def answer(self) -> Answer:
        """Figures, work and how well it is known; worked out when first read if the verdict was clear without."""
        if self.found is None:
            self.found = _whole(self.rule, self.item, self.name, self.env)
        return self.found

    @property
    def known_by(self) -> str:
        """The weakest way of knowing on its path."""
        return HOW_KNOWN[min(self.answer.known, TESTED)]


def surely_idle(rule: Rule, env: Env) -> bool:
    """Whether a condition of a rule does not hold for the subject of `env`: then nothing of it applies."""
    when = rule.body.when
    return any(when[name].evaluate(env) is False for name in when)


def judge(rule: Rule, env: Env, quick: bool = True) -> Iterator[Judged]:
    """The verdicts of a rule on the subject of `env`: one, or one an item when all items are asked for.

    `quick=False` walks the rule as it stands now, for proofs that take things out of it.
    """
    if not quick:
        yield from _slowly(rule, env)
        return
    plan: Plan = rule.plan
    if plan is None:
        plan = rule.plan = make_plan(rule)
    head: Answer | None = None
    subject = env.subject
    for name, item, way in plan.entries:
        if way is not None:
            try:
                verdict = way(subject, env)
            except FAILURES:
                verdict = None
            if verdict is not None:
                yield Judged(rule, item, name, subject, verdict, (), False, env)
                continue
        if plan.apart and head is None:
            head = _conditions(rule.body, env)
        yield _verdict(rule, item, name, env, _under(rule, item, name, env, head))


def _slowly(rule: Rule, env: Env) -> Iterator[Judged]:
    body = rule.body
    if not body.items or body.join == "any":
        yield _verdict(rule, body, rule.id, env, _ask(body, rule.id, env))
        return
    head = _conditions(body, env)
    for name, item in body.items.items():
        full = f"{rule.id}.{name}"
        yield _verdict(rule, item, full, env, _under(rule, item, full, env, head))


def ways(rule: Rule, env: Env) -> Iterator[tuple[Node, Answer]]:
    """Each way of a rule of which any will do, with its own answer: what a sheet shows of the ways that were not taken."""
    for key, item in rule.body.items.items():
        yield item, _ask(item, f"{rule.id}.{key}", env)


def _whole(rule: Rule, item: Node, name: str, env: Env) -> Answer:
    """The answer of a rule, or of one of its items under the conditions of the rule."""
    return _under(rule, item, name, env, None if item is rule.body else _conditions(rule.body, env))


def _under(rule: Rule, item: Node, name: str, env: Env, head: Answer | None) -> Answer:
    if head is None:
        return _ask(item, name, env)
    if head.applies is False:
        return head
    answer = _ask(item, name, env)
    if answer.ok is not True and answer.applies is not False and rule.body.unless:
        _except(rule.body, rule.id, answer, env)
    answer.applies = intervals.both(head.applies, answer.applies)
    answer.known_applies = min(answer.known_applies, head.known_applies)
    return answer


def _verdict(rule: Rule, item: Node, name: str, env: Env, answer: Answer) -> Judged:
    missing: tuple[Missing, ...] = ()
    settled = False
    if answer.applies is False:
        verdict: Verdict = "does not apply"
    elif answer.applies is True and answer.ok is True:
        verdict = "met"
    elif answer.applies is True and answer.ok is False:
        verdict = "not met"
    else:
        verdict = "not recorded"
        settled = answer.ok is True
        missing = intervals.missing_of(answer.applies if isinstance(answer.applies, Unknown) else answer.ok)
    if verdict in ("met", "not met") and not _known_enough(rule, item, answer, verdict):
        verdict, missing = "not recorded", (_better_record(env, HOW_KNOWN[answer.known]),)
    return Judged(rule, item, name, env.subject, verdict, missing, settled, env, answer)


def _known_enough(rule: Rule, item: Node, answer: Answer, verdict: Verdict) -> bool:
    """A fact known less well than the rule needs counts as missing; planned and assumed never count as met."""
    if verdict == "met":
        return answer.known >= (HOW_KNOWN.index(rule.needs) if rule.needs else _TYPICAL)
    hazard = (item.severity or rule.severity) == "hazard"
    return answer.known > _ASSUMED or (answer.known < _ASSUMED and not hazard)


def _better_record(env: Env, how: str) -> Missing:
    return Missing(
        env.subject.id,
        f"a better record (only {how})",
        "look",
        kind=env.subject.kind,
        path=env.subject.path,
        means=f"this rests on what was {how}; look or measure",
    )


def _conditions(node: Node, env: Env) -> Answer:
    """Whether all conditions of a node hold."""
    answer = Answer()
    if not node.when:
        return answer
    inner = env.about(env.subject)
    truths = []
    for name in node.when:
        condition = node.when[name]  # the first that does not hold spares the others
        truth = condition.evaluate(inner)
        if truth is False:
            named = condition.named()
            answer.reason = named if name == "when" else f"{name.replace('_', ' ')}: {named}"
            answer.applies = False
            break
        if truth is not True:
            truths.append(truth)
    else:
        answer.applies = intervals.both(*truths) if truths else True
    answer.known_applies = inner.known
    return answer


def _ask(node: Node, name: str, env: Env) -> Answer:
    """The answer of a node: its conditions, its requirement, and if that fails its exceptions."""
    answer = _conditions(node, env)
    if answer.applies is False:
        return answer
    if node.items:
        _group(node, name, env, answer)
    elif node.record is not None:
        _record(node, name, env, answer)
    elif node.require is not None:
        _compare(node, node.require, env, answer)
    if answer.ok is not True and node.unless:
        _except(node, name, answer, env)
    return answer


def _helps(tried: Answer) -> Any:
    """Whether a way or an exception carries: it applies and what it asks for itself is there."""
    return intervals.both(tried.applies, tried.ok)


def _except(node: Node, name: str, answer: Answer, env: Env) -> None:
    """An exception whose conditions hold, and whose own requirement is met, can only help.

    The best known of those that help is taken. One that may help leaves a failed requirement open, with what the
    exceptions lack; what a requirement lacks itself comes first.
    """
    tries = [(title, one, _ask(one, f"{name}.{title}", env)) for title, one in node.unless.items()]
    helping = [entry for entry in tries if _helps(entry[2]) is True]
    if helping:
        title, exception, tried = max(helping, key=lambda entry: entry[2].known)
        answer.ok = True
        answer.exception = exception.title or title.replace("_", " ")
        answer.parts = tried.parts or answer.parts
        answer.worked = [*answer.worked, *tried.worked]
        answer.known_ok = tried.known
        return
    if answer.ok is not False:
        return
    maybe = [_helps(tried) for _, _, tried in tries if isinstance(_helps(tried), Unknown)]
    if maybe:
        answer.ok = Unknown(intervals.missing_of(*maybe))
        return
    for _, _, tried in tries:
        answer.known_ok = min(answer.known_ok, tried.known)
        if tried.applies is True:
            answer.parts = [*answer.parts, *tried.parts]
    answer.parts = _nearest_first(answer.parts)


def _nearest_first(parts: list[Part]) -> list[Part]:
    """Several limits of one measured value, any of which would do: the one it comes nearest to is told first."""
    gaps = [part.gap for part in parts]
    if len(parts) < 2 or None in gaps or len({part.comparison.measured for part in parts}) > 1:
        return parts
    return [part for _, _, part in sorted(zip(gaps, range(len(parts)), parts, strict=True))]


def _said(node: Node) -> str:
    """An item in words, as a person reads it beside its figures."""
    return node.title or node.name.replace("_", " ")


def _group(node: Node, name: str, env: Env, answer: Answer) -> None:
    asked = [(key, _ask(item, f"{name}.{key}", env)) for key, item in node.items.items()]
    for key, one in asked:
        if node.items[key].items:
            for part in one.parts:
                part.name = f"{_said(node.items[key])}, {part.name}"
    shown = _ways(answer, asked, node.least) if node.join == "any" else _all(answer, [one for _, one in asked])
    for one in shown:
        answer.parts.extend(one.parts)
        answer.worked.extend(one.worked)


def _all(answer: Answer, asked: list[Answer]) -> list[Answer]:
    """All of several: one that fails decides, and then only the failing ones count for how well it is known."""
    truths = [intervals.either(intervals.opposite(one.applies), one.ok) for one in asked]
    answer.ok = intervals.both(*truths)
    failing = [one.known for one, truth in zip(asked, truths, strict=True) if truth is False]
    answer.known_ok = max(failing) if failing else min((one.known for one in asked), default=TESTED)
    return [one for one in asked if one.applies is not False]


def _ways(answer: Answer, asked: list[tuple[str, Answer]], least: int) -> list[Answer]:
    """Any of several ways, or some number of them.

    Shown are those that were met (the best known), else the nearest to being met first.
    """
    truths = [_helps(one) for _, one in asked]
    met = [entry for entry, truth in zip(asked, truths, strict=True) if truth is True]
    if len(met) >= least:
        best = sorted(met, key=lambda entry: -entry[1].known)[:least]
        answer.ok, answer.way = True, ", ".join(name.replace("_", " ") for name, _ in best)
        answer.known_ok = min(way.known for _, way in best)
        return [way for _, way in best]
    answer.known_ok = min((one.known for _, one in asked), default=TESTED)
    # what the ways that lack least lack is asked for first
    waiting = sorted((truth for truth in truths if isinstance(truth, Unknown)), key=lambda truth: len(truth.missing))
    wanted = least - len(met)
    answer.ok = intervals.both(*waiting[:wanted]) if len(waiting) >= wanted else False
    taken = [one for _, one in asked if one.applies is not False]
    if not taken:
        answer.parts.extend(
            Part(name, False, written=Comparison(name, "does not hold", one.reason, met=False)) for name, one in asked
        )
    open_first = {id(one): not isinstance(truth, Unknown) for (_, one), truth in zip(asked, truths, strict=True)}
    return sorted(taken, key=lambda one: (open_first[id(one)], *_still(one)))


def _still(way: Answer) -> tuple[int, float]:
    """How much of a way is still wanting; of two alike, the one of which more is there comes first."""
    wanting = sum(part.ok is not True for part in way.parts)
    return wanting, -sum(1.0 if part.ok is True else part.there for part in way.parts) / max(len(way.parts), 1)


def _record(node: Node, name: str, env: Env, answer: Answer) -> None:
    """A requirement that no number decides: what somebody wrote, else what is to be found out."""
    kind, text = node.record or ("look", "")
    written = env.records.get((name, env.subject.id)) or env.records.get((name, ""))
    if written is not None:
        answer.ok, answer.known_ok = written
    else:
        answer.ok = Unknown(
            (Missing(env.subject.id, text, FOUND_BY[kind], kind="record", means=text, path=("records", name)),)
        )
    said = "not recorded" if written is None else "yes" if written[0] else "no"
    met = written[0] if written else None
    answer.parts.append(Part(_said(node), answer.ok, written=Comparison(_said(node), said, text, met=met)))


def _compare(node: Node, expression: Expression, env: Env, answer: Answer) -> None:
    inner = env.about(env.subject)
    values = expression.values(inner)
    answer.ok = expression.evaluate(inner, values)
    answer.known_ok = inner.known
    part = Part(_said(node), answer.ok, expression, values, inner)
    answer.parts.append(part)
    answer.worked.append(part)
