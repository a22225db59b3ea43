"""Worked examples of QR symbols, answered by the module that draws them; levels Q and H are those the program prints."""

from __future__ import annotations

from permitgen.documents.qr import qr_symbol


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
