"""What each rule requires, and where each edition says so: for people who ask about a rule rather than a project."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from permitgen.code.codebook import CodeBook
from permitgen.code.edition import Edition
from permitgen.rules.rule import all_rules
from permitgen.rules.rule_text import RuleText, text_of

if TYPE_CHECKING:
    from permitgen.rules.rule import Rule

NEWEST_READ = max(edition.last_read for edition in Edition)


@dataclass(frozen=True, slots=True)
class InEdition:
    """How one edition has a requirement: its citation, how its text is known and by whom, and what is reported or doubted of it."""

    edition: str
    citation: str
    grade: str
    source: str
    remark: str


@dataclass(frozen=True, slots=True)
class RulePage:
    """A rule: id, title, what it judges, what it says of itself, and every edition."""

    id: str
    title: str
    judges: str
    subject: str
    text: RuleText
    editions: tuple[InEdition, ...]


def rule_names() -> tuple[str, ...]:
    """Return the id of every rule."""
    return tuple(rule.id for rule in all_rules())


def rule_page(id_: str) -> RulePage:
    """Return the page of a rule.

    Raises:
        KeyError: no rule is called so.
    """
    rule = {rule.id: rule for rule in all_rules()}[id_]
    books = [CodeBook(edition) for edition in Edition]
    return RulePage(rule.id, rule.title, rule.judges, _subject(rule), text_of(rule), tuple(_in_edition(rule, book) for book in books))


def rule_list(edition: str) -> tuple[tuple[str, str, str, InEdition], ...]:
    """Return subject, id, title and section of every rule in one edition, ordered by subject.

    Raises:
        UnknownEditionError: the program holds no such edition.
    """
    book = CodeBook(edition or NEWEST_READ)
    return tuple((_subject(rule), rule.id, rule.title, _in_edition(rule, book)) for rule in all_rules())


def _subject(rule: Rule) -> str:
    return rule.folder.replace("_", " ")


def _in_edition(rule: Rule, book: CodeBook) -> InEdition:
    provision = book.provision(rule.provision)
    remark = "; ".join(part for part in (provision.reports, provision.doubt) if part)
    return InEdition(book.edition.book, provision.citation, str(provision.grade), provision.source, remark)
