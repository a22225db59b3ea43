"""What looks private is found in words that somebody releases; what installers write otherwise is not (invented sentences)."""

from __future__ import annotations

import pytest

from permitgen.evaluation.released_text import _PRIVATE


def kinds(text):
    return [kind for kind, looks in _PRIVATE.items() if looks.search(text)]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("call Nell, 555-010-0199", "a telephone number"),
        ("owner at +1 (555) 010 0199", "a telephone number"),
        ("sent the old one to 14 Tamarisk Lane", "an address"),
        ("gate code 4711", "a code or password"),
        ("key in the lockbox", "a code or password"),
        ("unit was swapped for INV-SER48151623", "a serial number"),
        ("ask nell@vole.example first", "an e-mail address"),
    ],
)
def test_private_words_are_found(text, kind):
    assert kind in kinds(text)


@pytest.mark.parametrize(
    "text",
    [
        "cloudy; to be repeated on the first clear day",
        "10 AWG was used up; 8 AWG pulled for both battery units",
        "2P 60 A in place of 2P 50 A, 1-1/4 in EMT, 120/240 V, 45 lbf-in",
        "measured 240.8 V and 121.1 V on 2026-05-14",
        "done per 690.12(B)(1)",
    ],
)
def test_what_installers_write_is_not(text):
    assert kinds(text) == []
