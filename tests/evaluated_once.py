"""Keeps evaluations for tests that copy a project and let something happen beside it: what is evaluated there is the same house again.

A system is the same where all that it states is, in the same order: its key is a digest of its fields as they are pickled. With an
ordinance it is evaluated each time. Only modules that change no rule ask for it.
"""

from __future__ import annotations

import hashlib
import pickle
from dataclasses import fields
from typing import TYPE_CHECKING

from permitgen.evaluation.evaluate import evaluate

if TYPE_CHECKING:
    from permitgen.code.codebook import CodeBook
    from permitgen.evaluation.evaluation import Evaluation
    from permitgen.system.system import System

MOST_KEPT = 24
_kept: dict[tuple[object, ...], Evaluation] = {}


def evaluated_once(system: System, code: CodeBook, *, state: str = "permitted", with_suggestions: bool = True) -> Evaluation:
    """Return what ``evaluate`` returns, which is computed once a worker for equal systems."""
    if code.amendments:
        return evaluate(system, code, state=state, with_suggestions=with_suggestions)
    stated = pickle.dumps([getattr(system, each.name) for each in fields(system)])
    key = (hashlib.sha256(stated).digest(), code.edition, code.fire_code, state, with_suggestions)
    if key not in _kept:
        if len(_kept) == MOST_KEPT:
            del _kept[next(iter(_kept))]
        _kept[key] = evaluate(system, code, state=state, with_suggestions=with_suggestions)
    return _kept[key]
