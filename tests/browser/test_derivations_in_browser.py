"""The derivations as somebody reads them on a phone."""

from __future__ import annotations

import pytest

from permitgen.documents.derivations_html import derivations_html
from permitgen.views.calculation_sheet import view_of


@pytest.fixture(scope="module")
def file(demo, tmp_path_factory):
    path = tmp_path_factory.mktemp("derivations") / "derivations.html"
    path.write_bytes(derivations_html(view_of(demo.evaluation)))
    return path


@pytest.mark.sample(every=2)
@pytest.mark.parametrize("width", [320, 360])
def test_nothing_is_wider_than_the_screen(open_page, file, width):
    """WCAG 2.2, 1.4.10: reflow at 320 CSS px; wide tables scroll by themselves."""
    assert open_page(file, width=width).evaluate("document.documentElement.scrollWidth") <= width
