"""Optional Ed25519 signature (RFC 8032) over the manifest of a package: who made it, and that nothing changed since.

A signature is extra. A package without one, or whose key is lost, still has its digests.
"""

from __future__ import annotations

import base64
import binascii
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

SIGNATURE = "manifest.json.sig"
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


def sign_manifest(manifest: bytes, private_key_pem: bytes) -> bytes:
    """Return the content of ``manifest.json.sig``: the same bytes for the same manifest and key.

    Raises:
        SignatureError: not an Ed25519 private key.
        NotInstalledError: the optional part ``sign`` is not installed.
    """
    ed25519, serialization = _library()
    try:
        key = serialization.load_pem_private_key(private_key_pem, password=None)
    except (ValueError, TypeError) as error:
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
