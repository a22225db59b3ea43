"""Optional Ed25519 signature (RFC 8032) over the manifest of a package: who made it, and that nothing changed since.

A signature is extra. A package without one, or whose key is lost, still has its digests.
"""

from __future__ import annotations

import base64
import binascii
import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

_CONTEXT = b"permitgen manifest 1\n"
_HEADER = "permitgen-ed25519"


class SignatureError(ValueError):
    """A key or signature cannot be used; the message says why."""


class NotInstalledError(RuntimeError):
    """The optional part that signs is missing; the message says how to add it."""


@dataclass(frozen=True, slots=True)
class Verified:
    """The outcome: ``is_good`` says that the signature is of this manifest by the key ``signer`` (64 hex digits)."""

    is_good: bool
    signer: str
    message: str


def new_key() -> tuple[bytes, str]:
    """Return a new private key as PEM and its public key as 64 hex digits. Keep the first secret, publish the second."""
    ed25519, serialization = _library()
    key = ed25519.Ed25519PrivateKey.generate()
    pem: bytes = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return pem, _public_hex(key.public_key())


def public_key_of(text: str) -> str:
    """Return a public key as 64 hex digits: ``text`` is these digits, an Ed25519 public key in PEM form, or the name of a file of either.

    Raises:
        SignatureError: it is neither.
        NotInstalledError: a PEM form cannot be read, for the optional part ``sign`` is not installed.
    """
    plain = text.strip()
    if _is_hex_key(plain):
        return plain.lower()
    if "-----BEGIN" in plain:
        return _from_pem(plain)
    read = _small_file(Path(plain))
    return read.lower() if _is_hex_key(read) else _from_pem(read)


def _small_file(path: Path) -> str:
    try:
        if path.is_file():
            with path.open("rb") as file:
                return file.read(_LONGEST_KEY_FILE).decode("ascii").strip()
    except (OSError, ValueError) as error:
        raise SignatureError(_NOT_A_PUBLIC_KEY) from error
    raise SignatureError(_NOT_A_PUBLIC_KEY)


_LONGEST_KEY_FILE = 10_000
_NOT_A_PUBLIC_KEY = "is not a public key; expected its 64 hex digits, an Ed25519 public key in PEM form, or a file that holds one"


def _is_hex_key(text: str) -> bool:
    return re.fullmatch(r"[0-9a-fA-F]{64}", text) is not None


def _from_pem(text: str) -> str:
    ed25519, serialization = _library()
    from cryptography.exceptions import UnsupportedAlgorithm

    try:
        key = serialization.load_pem_public_key(text.encode("ascii"))
    except (ValueError, UnsupportedAlgorithm) as error:
        raise SignatureError(_NOT_A_PUBLIC_KEY) from error
    if not isinstance(key, ed25519.Ed25519PublicKey):
        raise SignatureError("is a public key of another kind; expected an Ed25519 key")
    return _public_hex(key)


def sign_manifest(manifest: bytes, private_key_pem: bytes) -> bytes:
    """Return the content of ``manifest.json.sig``: the same bytes for the same manifest and key.

    Raises:
        SignatureError: not an Ed25519 private key.
        NotInstalledError: the optional part ``sign`` is not installed.
    """
    ed25519, serialization = _library()
    from cryptography.exceptions import UnsupportedAlgorithm

    try:
        key = serialization.load_pem_private_key(private_key_pem, password=None)
    except (ValueError, TypeError, UnsupportedAlgorithm) as error:
        raise SignatureError("the key is not a private key in PEM form without a password") from error
    if not isinstance(key, ed25519.Ed25519PrivateKey):
        raise SignatureError("the key is not an Ed25519 key")
    signature = key.sign(_CONTEXT + manifest)
    return f"{_HEADER} {_public_hex(key.public_key())}\n{base64.b64encode(signature).decode('ascii')}\n".encode("ascii")


def verify_manifest(manifest: bytes, signature_file: bytes, trusted: Mapping[str, str] | None = None) -> Verified:
    """Check a signature; ``trusted`` maps public keys (hex) to whose they are. An unknown key is good but says so.

    Raises:
        SignatureError: the file is not a signature of this program.
        NotInstalledError: the optional part ``sign`` is not installed.
    """
    ed25519, _ = _library()
    signer, signature = _parsed(signature_file)
    from cryptography.exceptions import InvalidSignature

    try:
        ed25519.Ed25519PublicKey.from_public_bytes(bytes.fromhex(signer)).verify(signature, _CONTEXT + manifest)
    except InvalidSignature:
        return Verified(is_good=False, signer=signer, message="the manifest was changed after it was signed, or was signed by another key")
    name = (trusted or {}).get(signer)
    said = (
        f"signed by {name}"
        if name
        else f"signed by the key {signer[:16]}…, which is not among the trusted ones"
        if trusted
        else f"signed by the key {signer}"
    )
    return Verified(is_good=True, signer=signer, message=said)


def is_signature(content: bytes) -> bool:
    """Say whether the content of a file is a signature of this program, of whatever manifest."""
    try:
        _parsed(content)
    except SignatureError:
        return False
    return True


def _parsed(content: bytes) -> tuple[str, bytes]:
    try:
        header, encoded = content.decode("ascii").strip().split("\n")
        name, signer = header.split(" ")
        signature = base64.b64decode(encoded, validate=True)
        key = bytes.fromhex(signer)
    except (UnicodeDecodeError, ValueError, binascii.Error) as error:
        raise SignatureError("this is not a signature of a package") from error
    if name != _HEADER or len(key) != 32 or len(signature) != 64:
        raise SignatureError("this is not a signature of a package")
    return signer.lower(), signature


def _public_hex(key: Any) -> str:
    from cryptography.hazmat.primitives import serialization

    raw: bytes = key.public_bytes(serialization.Encoding.Raw, serialization.PublicFormat.Raw)
    return raw.hex()


def _library() -> tuple[Any, Any]:
    try:
        from cryptography.hazmat.primitives import serialization
        from cryptography.hazmat.primitives.asymmetric import ed25519
    except ImportError as error:
        raise NotInstalledError('signatures need the part "sign" of this program; install permitgen[sign]') from error
    return ed25519, serialization
