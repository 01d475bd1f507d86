"""The known word nearest to one that nobody knows, for 'did you mean'."""

from collections.abc import Iterable

# Below this likeness a suggestion misleads more often than it helps ('studs' for 'studio' is 0.73).
LIKENESS = 0.6


def nearest(word: str, choices: Iterable[str], limit: int = 1) -> str | None:
    """The choice most like `word`, or None when none is near.

    Case and the separators `_`, `-` and space make no difference. With `limit` above 1 up to that many are
    given, nearest first, joined as they are said: `a, b or c`. Equal likeness keeps the order of `choices`.
    """
    plain = _plain(word)
    ranked: list[tuple[float, str]] = []
    for choice in dict.fromkeys(choices):
        likeness = _likeness(plain, _plain(choice))
        if likeness >= LIKENESS:
            ranked.append((likeness, choice))
    ranked.sort(key=lambda pair: -pair[0])
    return _said([choice for _, choice in ranked[: max(limit, 1)]])


def _plain(word: str) -> str:
    return " ".join(word.replace("_", " ").replace("-", " ").casefold().split())


def _likeness(a: str, b: str) -> float:
    if a == b:
        return 1.0
    from difflib import SequenceMatcher  # only what is misspelt needs it

    matcher = SequenceMatcher(None, a, b, autojunk=False)
    if matcher.real_quick_ratio() < LIKENESS or matcher.quick_ratio() < LIKENESS:
        return 0.0
    return matcher.ratio()


def _said(words: list[str]) -> str | None:
    if not words:
        return None
    if len(words) == 1:
        return words[0]
    return ", ".join(words[:-1]) + " or " + words[-1]
