"""A certificate made here for this computer's own addresses.

The authority that signs it is made for it alone and its key is thrown away at once: whoever installs the authority on
a phone trusts this one certificate and can be made to trust no other by it.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

#: phones take no certificate that is good for longer than 825 days
_GOOD_FOR = timedelta(days=800)
#: made anew this long before its end
_BEFORE = timedelta(days=30)


@dataclass(frozen=True)
class Certificate:
    """Files of a certificate, and what to compare on the phone."""

    chain: Path
    key: Path
    authority: Path  # to be installed on a phone
    fingerprint: str  # SHA-256, in pairs


def certificate_for(names: list[str], beside: Path, now: datetime | None = None) -> Certificate:
    """The certificate kept beside the shop's file, made anew where it lacks a name or is about to end.

    Parameters: names, addresses and names of this computer; beside, a path whose endings it is kept under.
    """
    moment = now or datetime.now(UTC)
    files = Certificate(
        beside.with_name(f"{beside.name}-certificate.pem"), beside.with_name(f"{beside.name}-certificate-key.pem"),
        beside.with_name(f"{beside.name}-authority.crt"), "",
    )  # fmt: skip
    kept = _kept(files, names, moment)
    made = kept or _make(files, names, moment)
    print_ = made.fingerprint(hashes.SHA256()).hex(":").upper()
    return Certificate(files.chain, files.key, files.authority, print_)


def _kept(files: Certificate, names: list[str], now: datetime) -> x509.Certificate | None:
    try:
        found = x509.load_pem_x509_certificate(files.chain.read_bytes())
        if not files.key.is_file() or found.not_valid_after_utc < now + _BEFORE:
            return None
        said = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (OSError, ValueError, x509.ExtensionNotFound):
        return None
    has = {*said.get_values_for_type(x509.DNSName), *map(str, said.get_values_for_type(x509.IPAddress))}
    return found if set(names) <= has else None


def _make(files: Certificate, names: list[str], now: datetime) -> x509.Certificate:
    root_key, own_key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    root_name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"rakelight, this shop, {now:%Y-%m-%d}")])
    begin, end = now - timedelta(days=1), now + _GOOD_FOR
    root = (
        _begun(root_name, root_name, root_key, begin, end)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), True)
        .add_extension(_usage(signs=True), True)
        .sign(root_key, hashes.SHA256())
    )
    own = (
        _begun(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, names[0])]), root_name, own_key, begin, end)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), True)
        .add_extension(_usage(signs=False), True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), False)
        .add_extension(x509.SubjectAlternativeName([_named(name) for name in names]), False)
        .sign(root_key, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    plain = serialization.NoEncryption()  # the file itself is for its owner alone
    _write(files.key, own_key.private_bytes(pem, serialization.PrivateFormat.PKCS8, plain), 0o600)
    _write(files.chain, own.public_bytes(pem) + root.public_bytes(pem), 0o644)
    _write(files.authority, root.public_bytes(pem), 0o644)
    return own


def _begun(
    subject: x509.Name, issuer: x509.Name, key: ec.EllipticCurvePrivateKey, begin: datetime, end: datetime
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder().subject_name(subject).issuer_name(issuer).public_key(key.public_key())
        .serial_number(x509.random_serial_number()).not_valid_before(begin).not_valid_after(end)
    )  # fmt: skip


def _usage(signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, key_cert_sign=signs, crl_sign=signs, content_commitment=False,
        key_encipherment=False, data_encipherment=False, key_agreement=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _named(name: str) -> x509.GeneralName:
    try:
        return x509.IPAddress(ip_address(name))
    except ValueError:
        return x509.DNSName(name)


def _write(path: Path, content: bytes, mode: int) -> None:
    new = path.with_name(f"{path.name}.new")
    new.unlink(missing_ok=True)
    with os.fdopen(os.open(new, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode), "wb") as file:
        file.write(content)
    new.replace(path)
