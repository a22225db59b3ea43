"""Worked examples of QR symbols, answered by the module that draws them; levels Q and H are those the program prints."""

from __future__ import annotations

import pytest
import qrcode
from qrcode.constants import ERROR_CORRECT_L
from qrcode.exceptions import DataOverflowError

from permitgen.documents.qr import qr_symbol

LARGEST_VERSION = 40


def fits_at_level_l(text):
    """Whether the encoder behind the symbols holds a text in its largest symbol at level L."""
    code = qrcode.QRCode(version=LARGEST_VERSION, error_correction=ERROR_CORRECT_L)
    code.add_data(text, optimize=0)
    try:
        return code.best_fit(start=LARGEST_VERSION) == LARGEST_VERSION
    except (DataOverflowError, ValueError):
        return False


def test_we_qrc_03_capacity_of_the_largest_symbol(example):
    """The program prints levels Q and H only; the encoder's block tables are those of all four levels. One character more does not fit."""
    held = {"numeric": "7", "alphanumeric": "A", "byte": "a"}
    for mode, character in held.items():
        most = example.published[mode]
        assert fits_at_level_l(character * most), mode
        assert not fits_at_level_l(character * (most + 1)), mode
    example.check(**{mode: example.published[mode] for mode in held})
    example.excuse("the encoder has no mode for kanji; a record's address has none", "kanji")


@pytest.mark.parametrize(("level", "numeric", "alphanumeric", "byte"), [("Q", 3993, 2420, 1663), ("H", 3057, 1852, 1273)])
def test_a_text_that_no_symbol_holds_is_refused(level, numeric, alphanumeric, byte):
    """Capacities of version 40 at the levels that are printed (ISO/IEC 18004, from memory)."""
    for character, most in (("7", numeric), ("A", alphanumeric), ("a", byte)):
        assert qr_symbol(character * most, level).version == LARGEST_VERSION
        with pytest.raises(ValueError, match="too long"):
            qr_symbol(character * (most + 1), level)


def test_we_qrc_04_size_of_a_symbol(example):
    """Digits to fill each of the versions at level H."""
    sizes = {}
    for digits in (10, 25, 50, 70, 280, 1250, 3000):
        symbol = qr_symbol("7" * digits, "H")
        sizes[symbol.version] = symbol.modules
    example.check(size=[sizes[version] for version in example.inputs["versions"]])


def test_we_qrc_05_version_of_record_addresses(example):
    """The published versions are those of another encoder, by the levels L, M, Q, H."""
    levels = example.inputs["order"].split()
    for text, versions, modules in zip(example.inputs["texts"], example.published["versions"], example.recomputed["modules"], strict=True):
        for level in ("Q", "H"):
            symbol = qr_symbol(text, level)
            assert symbol.version == versions[levels.index(level)], (text, level)
            assert symbol.modules == modules[levels.index(level)], (text, level)
    example.excuse("compared above for the two levels that the program prints", "versions", "modules")
