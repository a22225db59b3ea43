"""Takes a JPEG in and leaves out what tells where and with what it was taken."""

from __future__ import annotations

import base64
import binascii

_START, _END, _SCAN = b"\xff\xd8", 0xD9, 0xDA
_FRAMES = frozenset({0xC0, 0xC1, 0xC2})
_LARGEST_SIDE = 8_000
# Application segments and comments hold position, device and thumbnails; only the plain JFIF header stays.
_DROPPED = frozenset({*range(0xE1, 0xF0), 0xFE})


class JpegError(ValueError):
    """The bytes are not a whole JPEG of a usable size; the message says what is wrong."""


def without_metadata(encoded: str) -> bytes:
    """Return the JPEG in base64 ``encoded`` without its metadata segments.

    Raises:
        JpegError: not base64, not a JPEG, cut off, or larger than 8000 pixels a side.
    """
    try:
        content = base64.b64decode(encoded, validate=True)
    except (binascii.Error, ValueError) as error:
        raise JpegError("the photo is damaged; send the results again from the phone") from error
    if not content.startswith(_START):
        raise JpegError("the photo is not a JPEG")
    return _START + b"".join(_kept_segments(content))


def _kept_segments(content: bytes) -> list[bytes]:
    kept: list[bytes] = []
    at, has_frame = len(_START), False
    while True:
        marker, end = _segment(content, at)
        has_frame |= marker in _FRAMES and _has_usable_size(content, at)
        if marker == _SCAN:
            break
        if marker not in _DROPPED:
            kept.append(content[at:end])
        at = end
    if not has_frame:
        raise JpegError("the photo is not a JPEG that can be shown")
    return [*kept, _picture(content, at)]


def _segment(content: bytes, at: int) -> tuple[int, int]:
    """Return marker and end of the segment at ``at``."""
    if at + 4 > len(content) or content[at] != 0xFF:
        raise JpegError("the photo is cut off or damaged")
    end = at + 2 + int.from_bytes(content[at + 2 : at + 4], "big")
    if end > len(content):
        raise JpegError("the photo is cut off or damaged")
    return content[at + 1], end


def _has_usable_size(content: bytes, at: int) -> bool:
    if at + 9 > len(content):
        raise JpegError("the photo is cut off or damaged")
    height, width = int.from_bytes(content[at + 5 : at + 7], "big"), int.from_bytes(content[at + 7 : at + 9], "big")
    if not 0 < height <= _LARGEST_SIDE or not 0 < width <= _LARGEST_SIDE:
        raise JpegError(f"the photo is larger than {_LARGEST_SIDE} pixels a side")
    return True


def _picture(content: bytes, at: int) -> bytes:
    """Return the picture data from its scan to the end mark; anything after it is dropped."""
    end = content.find(bytes((0xFF, _END)), at)
    if end < 0:
        raise JpegError("the photo is cut off or damaged")
    return content[at : end + 2]
