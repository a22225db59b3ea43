"""The limits of circuits as plain text for a terminal, and as JSON for other programs."""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

    from permitgen.views.limits import LimitCard, LimitLine, LimitsPage
    from permitgen.views.title import DocumentTitle


def limits_report(page: LimitsPage) -> str:
    """Return every circuit with what passes, what passes with an approval, and what is refused."""
    lines = [page.title, page.revision, *page.cautions]
    for card in page.cards:
        lines += ["", *_card(card)]
    return "\n".join(lines)


def _card(card: LimitCard) -> Iterator[str]:
    yield f"{card.tag}  {card.name}{f'  ({card.state})' if card.state else ''}"
    yield from (f"  {sentence}" for sentence in card.violated)
    if card.note:
        yield f"  {card.note}"
    for line in card.lines:
        yield from _line(line)


def _line(line: LimitLine) -> Iterator[str]:
    yield f"  {line.what}: {line.now}"
    if line.passes:
        yield f"    passes         {line.passes}"
    if line.with_approval:
        yield f"    with approval  {line.with_approval}"
    yield from (f"    {refused}" for refused in line.refused)


def limits_json(page: LimitsPage, title: DocumentTitle) -> str:
    """Return the same as JSON."""
    content = {"project": title.project, "number": title.number, "edition": title.edition, **asdict(page)}
    return json.dumps(content, indent=2, ensure_ascii=False)
