"""Runs one rule on one subject. The only place where a missing fact becomes *not judged*."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from permitgen.code.errors import NotInTableError, TableNotReadError
from permitgen.rules.given import Given, MissingFactError, NotInForceError
from permitgen.rules.judgement import UNREAD, Judgement, Verdict, does_not_apply, not_judged
from permitgen.rules.local_factor import with_factors

if TYPE_CHECKING:
    from permitgen.rules.rule import Rule


def run_rule(rule: Rule, subject: Any, given: Given) -> Judgement:
    """Return the judgement of ``rule`` on ``subject``, with the section of the edition in force."""
    provision = given.code.provision(rule.provision)
    if provision.status == "absent":
        struck = f"the requirement of {provision.book} is struck" if provision.amended_by else f"{provision.book} has no such requirement"
        return does_not_apply(struck).under(provision)
    if provision.status in ("unconfirmed", "reported"):
        return _not_confirmed(provision.book).under(provision, doubt=provision.doubt)
    judgement = _judged(rule, subject, given, provision.book)
    factors = given.code.factors(rule.id) if given.code.amendments else None
    if factors is not None:
        judgement = with_factors(judgement, *factors)
    if not judgement.section:
        return judgement.under(provision, doubt=provision.doubt if not judgement.doubt else "")
    if provision.doubt and not judgement.doubt:
        judgement = replace(judgement, doubt=provision.doubt)
    return judgement


def _judged(rule: Rule, subject: Any, given: Given, book: str) -> Judgement:
    try:
        return rule.judge(subject, given)
    except MissingFactError as missing:
        return not_judged(*missing.names)
    except TableNotReadError as unread:
        return Judgement(Verdict.NOT_JUDGED, f"not checked: {unread}", missing=(f"{UNREAD} {book}: {unread}",))
    except NotInTableError as blank:
        return Judgement(Verdict.NOT_JUDGED, f"not checked: {blank}", missing=(str(blank),))
    except NotInForceError as error:
        found = error.provision
        return does_not_apply(f"{found.book} has no such requirement") if found.status == "absent" else _not_confirmed(found.book)


def _not_confirmed(book: str) -> Judgement:
    return Judgement(Verdict.NOT_JUDGED, f"not checked: the text of {book} is not confirmed in this program", missing=(f"{UNREAD} {book}",))
