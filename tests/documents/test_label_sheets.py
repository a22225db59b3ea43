"""Labels on sheets: each apart and inside, nothing in the margin, bars that measure what they say, copies and spares."""

from dataclasses import replace

import pytest

from permitgen.documents.canvas.bounds import bounds, outside
from permitgen.documents.canvas.page import A4, LETTER
from permitgen.documents.canvas.shapes import Group
from permitgen.documents.canvas.to_png import page_image
from permitgen.documents.labels.measuring_bars import PrinterCorrection
from permitgen.documents.labels.set_label import set_label
from permitgen.documents.labels.sheet import SheetOptions, print_test_page, sheet_pages
from permitgen.documents.labels.stock import LETTER_SHEET
from tests.documents.made_labels import VIEWS, example, texts_of


def _sheets(**options):
    views = [replace(view, quantity=2 if view.id == "pv-dc-raceway" else 1) for view in VIEWS if view.edition == "2026"]
    correction = options.get("correction", PrinterCorrection())
    stock = LETTER_SHEET.for_printer(correction.across, correction.along)
    return views, sheet_pages([set_label(view, stock) for view in views], SheetOptions(heading="Labels", **options))


def _labels_on(page):
    """The placed labels of a sheet with their boxes."""
    (corrected,) = [shape for shape in page.shapes if isinstance(shape, Group)]
    for group in corrected.shapes:
        if isinstance(group, Group) and len(group.shapes) >= 3 and isinstance(group.shapes[0], Group):
            yield group, bounds((Group((group,), transform=corrected.transform),))


def test_sheets_hold_every_label_apart_and_inside():
    views, pages = _sheets()
    count = 0
    for page in pages:
        assert outside(page, 6.3) == ()
        boxes = [box for _, box in _labels_on(page)]
        count += len(boxes)
        for index, box in enumerate(boxes):
            assert all(box.shared(other) is None for other in boxes[index + 1 :])
    assert count == sum(view.quantity for view in views)


def test_nothing_is_printed_in_the_margin():
    """Pixels of the outer quarter inch, which printers cannot reach, are paper."""
    _, pages = _sheets()
    for page in pages[:3]:
        image = page_image(page, 144).convert("L")
        margin = 35
        right, bottom = image.width, image.height
        strips = (0, 0, right, margin), (0, bottom - margin, right, bottom), (0, 0, margin, bottom), (right - margin, 0, right, bottom)
        assert all(image.crop(strip).getextrema()[0] > 250 for strip in strips)


@pytest.mark.parametrize(("bar", "length"), [("100 mm", 100.0), ("4 in", 101.6)])
@pytest.mark.parametrize("correction", [1.0, 1.01])
def test_measuring_bars_in_pixels(bar, length, correction):
    """The bar found above its words; 300 dpi, within 0.2 %, and longer by the correction for a printer that shrinks."""
    _, pages = _sheets(correction=PrinterCorrection(correction, 1.0))
    page = pages[0]
    box = next(box for text, box in texts_of(page.shapes) if f"must measure {bar}" in text.text)
    image = page_image(page, 300).convert("L")
    row, middle, reach = (round(value / 25.4 * 300) for value in (box.top - 1.5, (box.left + box.right) / 2, 56))
    columns = range(middle - reach, middle + reach)
    dark = max(([x for x in columns if image.getpixel((x, y)) < 128] for y in range(row - 5, row + 6)), key=len)
    measured = (max(dark) - min(dark) + 1) / 300 * 25.4
    assert measured == pytest.approx(length * correction + 0.3, rel=0.002)


def test_a_correction_that_no_printer_needs_is_refused():
    with pytest.raises(ValueError, match="print at 100 %"):
        PrinterCorrection(0.94, 1.0)


def test_print_test_page_has_bars_both_ways():
    page = print_test_page(LETTER)
    assert outside(page, 6.35) == ()
    words = [text.text for text, _ in texts_of(page.shapes)]
    assert sum("must measure 100 mm" in text for text in words) == 2
    assert sum("must measure 4 in" in text for text in words) == 2
    assert outside(print_test_page(A4), 6.35) == ()


def test_copies_and_spares():
    label = set_label(replace(example("pv-dc-raceway"), quantity=3, tag="R1"))
    pages = sheet_pages([label], SheetOptions(spares=1))
    captions = [text.text for page in pages for text, _ in texts_of(page.shapes) if "pv-dc-raceway" in text.text]
    assert captions == [f"pv-dc-raceway   R1   {number} of 4" for number in (1, 2, 3, 4)]
