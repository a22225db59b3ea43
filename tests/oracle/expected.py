"""Everything that the text says of one home."""

from __future__ import annotations

from tests.oracle.expected_panels import of_panels
from tests.oracle.expected_service import of_service
from tests.oracle.expected_sources import of_sources
from tests.oracle.home import Expected, Home


def expectations(home: Home) -> list[Expected]:
    """Verdicts and figures of a home, in no particular order."""
    return [*of_sources(home), *of_service(home), *of_panels(home)]
