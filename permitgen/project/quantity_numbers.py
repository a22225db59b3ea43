"""Numbers as people write them, read exactly: ``200``, ``1,000``, ``10.7``, ``-23``, ``1-1/4``, ``3/8``, ``5½``."""

from __future__ import annotations

import re
from typing import NamedTuple

from permitgen.project.quantity_error import QuantityError
from permitgen.reading.problems import quoted

LONGEST_TEXT = 40

_PASTED = str.maketrans(
    {
        **dict.fromkeys("\xa0\u2002\u2003\u2007\u2009\u200a\u202f\t", " "),
        **dict.fromkeys("‘’‛′´ʹ", "'"),
        **dict.fromkeys("“”‟″ʺ", '"'),
        **dict.fromkeys("−–—‐‑‒﹣－", "-"),
        **dict.fromkeys("·⋅∙•×", "*"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("º˚", "°"),
        "\u2126": "Ω",
        "\u03bc": "µ",
        "℃": "°C",
        "℉": "°F",
    }
)
_FRACTION_SIGNS = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_FRACTION_SIGN = re.compile("([0-9]?) ?([" + "".join(_FRACTION_SIGNS) + "])")

_GROUPED = re.compile(r"([1-9][0-9]{0,2}(?:,[0-9]{3})+)(?:\.([0-9]+))?(?![0-9,.])")
_FRACTION = re.compile(r"(?:([0-9]{1,5})(?: |-| - ))?([0-9]{1,2})/([0-9]{1,2})(?![0-9/])")
_DECIMAL = re.compile(r"([0-9]*)(?:\.([0-9]+))?")
_EXPONENT = re.compile(r"[eE][+-]?[0-9]")
_COMMA_DECIMAL = re.compile(r"([0-9]+),([0-9]+)(?![0-9,.])")
_DENOMINATORS = {2, 3, 4, 8, 16, 32, 64}
_MOST_DIGITS = 15


class Number(NamedTuple):
    """``over / under`` exactly, and the text that follows it; ``is_fraction`` where it was written with a slash."""

    over: int
    under: int
    rest: str
    is_fraction: bool = False


def plain_text(text: str) -> str:
    """Return ``text`` with what word processors put in made plain: spaces, quotes, minus signs, fraction characters.

    Raises:
        QuantityError: the text is too long for any quantity.
    """
    if len(text) > LONGEST_TEXT:
        raise QuantityError(f"a text of {len(text)} characters is too long for a quantity; at most {LONGEST_TEXT} are read")
    if not text.isascii():
        text = text.translate(_PASTED)
        text = _FRACTION_SIGN.sub(lambda found: found[1] + ("-" if found[1] else "") + _FRACTION_SIGNS[found[2]], text)
    return " ".join(text.split())


def read_number(text: str) -> Number | None:
    """Return the number at the start of a plain text, None where it starts with none.

    Raises:
        QuantityError: the number is ambiguous or in a form that is not read (decimal comma, exponent, division).
    """
    sign, body = (-1, text[1:].lstrip(" ")) if text.startswith("-") else (1, text.removeprefix("+"))
    if not body or body[0] not in "0123456789.":
        return None
    number = _grouped(body) or _fraction(body) or _decimal(body, text)
    return number and number._replace(over=sign * number.over)


def _grouped(body: str) -> Number | None:
    found = _GROUPED.match(body)
    return None if found is None else _exact(found[1].replace(",", ""), found[2] or "", body[found.end() :])


def _fraction(body: str) -> Number | None:
    found = _FRACTION.match(body)
    if found is None:
        return None
    over, under = int(found[2]), int(found[3])
    if under not in _DENOMINATORS:
        return None
    if found[1] is not None and over >= under:
        raise QuantityError(f'"{found[0]}": the fraction is one or more')
    return Number(int(found[1] or 0) * under + over, under, body[found.end() :].strip(), is_fraction=True)


def _decimal(body: str, text: str) -> Number | None:
    found = _DECIMAL.match(body)
    if found is None or not found[0]:
        return None
    rest = body[found.end() :]
    if rest[:1] in {",", ".", "_"} or _EXPONENT.match(rest):
        raise QuantityError(_unread_form(body, rest, text))
    return _exact(found[1], found[2] or "", rest)


def _exact(whole: str, decimals: str, rest: str) -> Number:
    if len(whole) + len(decimals) > _MOST_DIGITS:
        raise QuantityError(f"a number of more than {_MOST_DIGITS} digits is not read")
    return Number(int(whole + decimals), 10 ** len(decimals), rest.strip())


def _unread_form(body: str, rest: str, text: str) -> str:
    if rest[0] == ",":
        found = _COMMA_DECIMAL.match(body)
        hint = f'; write "{text.replace(",", ".", 1)}"' if found is not None else "; write the number without commas"
        return f"{quoted(text)}: a comma is read only between groups of three digits{hint}"
    if rest[0] == ".":
        return f"{quoted(text)}: more than one decimal point, or nothing after it"
    if rest[0] == "_":
        return f'{quoted(text)}: write the number without "_"'
    return f"{quoted(text)}: write the number out, without an exponent"
