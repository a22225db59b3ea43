"""The valid name nearest to what was typed, for "did you mean"; none is named that means something else."""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches

# Below this share of agreeing letters a suggestion misleads more than it helps: `pv` for `mid`.
_LEAST_LIKENESS = 0.6
# Of more names that are equally near none is named: whoever typed `INV` among nine of them knows which one he means, and nobody else.
_MOST_NAMED = 3
_BETWEEN_WORDS = re.compile(r"[-_ ]+")
_PAIRS = """
ac/dc in/out indoor/outdoor indoors/outdoors inside/outside north/south east/west northeast/northwest southeast/southwest
northeast/southeast northwest/southwest max/min maximum/minimum highest/lowest largest/smallest largest/lowest high/low upper/lower
input/output left/right front/back start/finish before/after first/last line/load open/closed grounded/ungrounded listed/unlisted
copper/aluminum above/below behind/before new/no to/from on/off some/none odd/even
"""
_OPPOSITES = frozenset(frozenset(pair.split("/")) for pair in _PAIRS.split())


def plain_name(name: str) -> str:
    """Return a name without what counts for nothing in it: letter case, spaces, hyphens and underscores."""
    return name.casefold().replace("-", "").replace("_", "").replace(" ", "")


def nearest_names(typed: str, valid: Iterable[str]) -> tuple[str, ...]:
    """Return the members of ``valid`` that ``typed`` most likely meant: one, up to three that are equally near, or none.

    Letter case, spaces, hyphens and underscores count for nothing, so ``Trade-Size`` is exactly ``trade_size``. All names that go on
    where ``typed`` ends are equally near (``pvc``: ``PVC-40``, ``PVC-80``). What means something else is never near, however it is
    spelled: the opposite (``dc`` for ``ac``, ``south`` for ``north``), and a word with another before it (``townhouse`` for ``house``).
    """
    plain: dict[str, str] = {}
    for name in valid:
        plain.setdefault(plain_name(name), name)
    wanted = plain_name(typed)
    if wanted in plain:
        return (plain[wanted],)
    going_on = [name for name in plain.values() if _goes_on(typed, name)]
    if len(going_on) > 1:
        return tuple(sorted(going_on)) if len(going_on) <= _MOST_NAMED else ()
    means_it = [name for name in plain if not _means_another(typed, plain[name])]
    near = [name for name in means_it if _is_one_slip(name, wanted)] or _most_alike(wanted, means_it, _cut_off(typed))
    return tuple(sorted(plain[name] for name in near)) if len(near) <= _MOST_NAMED else ()


def nearest_name(typed: str, valid: Iterable[str]) -> str | None:
    """Return the member of ``valid`` that ``typed`` most likely meant, or None where none is near, or several equally."""
    found = nearest_names(typed, valid)
    return found[0] if len(found) == 1 else None


def did_you_mean(typed: str, valid: Iterable[str]) -> str:
    """Return ``; did you mean …?`` to end a message with, or nothing where no valid name is near."""
    names = [f'"{name}"' for name in nearest_names(typed, valid)]
    if not names:
        return ""
    return f"; did you mean {', '.join(names[:-1])} or {names[-1]}?" if len(names) > 1 else f"; did you mean {names[0]}?"


def _is_one_slip(name: str, typed: str) -> bool:
    """Whether one letter is another, one too many or missing, or two are swapped."""
    before = _alike(name, typed)
    after = _alike(name[before:][::-1], typed[before:][::-1])
    one, other = (each[before : len(each) - after] for each in (name, typed))
    return (len(one) <= 1 and len(other) <= 1) or (len(one) == 2 and one == other[::-1])


def _alike(one: str, other: str) -> int:
    pairs = enumerate(zip(one, other, strict=False))
    return next((index for index, (left, right) in pairs if left != right), min(len(one), len(other)))


def _most_alike(wanted: str, names: list[str], cut_off: float) -> list[str]:
    near = get_close_matches(wanted, names, n=len(names) or 1, cutoff=cut_off)
    return [name for name in near if _likeness(name, wanted) == _likeness(near[0], wanted)]


def _likeness(name: str, typed: str) -> float:
    # In the order in which the search compares: the measure is not the same both ways.
    return SequenceMatcher(None, name, typed).ratio()


def _goes_on(typed: str, name: str) -> bool:
    """Whether a name is what was typed, and more words or digits: ``PVC-40`` for ``pvc``, not ``length`` for ``le``."""
    begun, rest = name[: len(typed)], name[len(typed) :]
    return len(typed) > 1 and begun.casefold() == typed.casefold() and bool(rest) and rest[0] in "-_ 0123456789"


def _means_another(typed: str, name: str) -> bool:
    mine, its = (_BETWEEN_WORDS.split(each.strip().casefold()) for each in (typed, name))
    if any(frozenset((one, other)) in _OPPOSITES for one in set(mine) - set(its) for other in set(its) - set(mine)):
        return True
    longer, shorter = (mine, its) if len(typed) > len(name) else (its, mine)
    return len(longer) == len(shorter) and any(
        _has_a_word_before(long, short) for long, short in zip(longer, shorter, strict=True) if long != short
    )


def _has_a_word_before(long: str, short: str) -> bool:
    return len(short) > 2 and len(long) >= len(short) + 2 and long.endswith(short)


def _cut_off(typed: str) -> float:
    # Of a tag of two or three letters one wrong letter is a third: MSB for MSP must still be found, and is at 0.66.
    return 0.5 if len(typed) <= 2 else _LEAST_LIKENESS
