"""Many small cases as one test that names each case that fails: a test costs its collection and its report in every worker."""

from __future__ import annotations

import inspect
import traceback
from collections.abc import Callable, Iterable
from functools import wraps
from typing import Any

import pytest

_TOLD = (AssertionError, pytest.fail.Exception, LookupError, ValueError, TypeError, AttributeError, ArithmeticError)
"""With what a case fails; anything else breaks the test off where it stands."""


def every_case(names: str | tuple[str, ...], cases: Iterable[Any]) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Run a test for each case, as ``pytest.mark.parametrize`` does, but as one test; a case that fails hides no other.

    What else the test takes are fixtures, made once for all cases: none of those that a case may change. Several stand upon each other
    like marks of parameters.
    """
    single = isinstance(names, str)
    own = (names,) if isinstance(names, str) else names
    listed = list(cases)

    def of(test: Callable[..., None]) -> Callable[..., None]:
        @wraps(test)
        def run(**fixtures: Any) -> None:
            assert listed, "no case"
            failed: list[str] = []
            for case in listed:
                given = dict(zip(own, (case,) if single else case, strict=True))
                try:
                    test(**given, **fixtures)
                except _TOLD as error:
                    told = ", ".join(str(value)[:120] for value in given.values())
                    failed.append(f"{told}\n{''.join(traceback.format_exception(error))}")
            if failed:
                pytest.fail(f"{len(failed)} of {len(listed)} cases fail\n\n" + "\n".join(failed), pytrace=False)

        signature = inspect.signature(test)
        left = [parameter for name, parameter in signature.parameters.items() if name not in own]
        run.__signature__ = signature.replace(parameters=left)  # type: ignore[attr-defined]  # what the runner asks for fixtures
        return run

    return of
