"""Where phones come in: one address of this machine, a certificate made for this run, and a code to scan.

Nothing of this is loaded unless the page is started for phones.
"""

from __future__ import annotations

import socket
import struct
import sys
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from io import BytesIO, StringIO
from ipaddress import IPv4Address, ip_address
from pathlib import Path
from secrets import token_urlsafe
from ssl import PROTOCOL_TLS_SERVER, SSLContext, TLSVersion
from tempfile import TemporaryDirectory
from threading import Lock

from grouper.errors import InputError
from grouper.faces.page.guard import ENOUGH_FOR_A_FORM, JOIN
from grouper.faces.page.listening import door_at, serve_safely
from grouper.faces.page.phones import Phones
from grouper.words import Remedy

try:
    import segno
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
except ImportError as error:
    raise InputError(
        "phones need the package {package}, which is not here", Remedy.INSTALL_PHONE, package=error.name
    ) from error

GOOD_FOR = timedelta(days=7)
SLOW_CLOCK = timedelta(days=1)
"""How far a phone's clock may be behind."""


class PhoneSite:
    """The way for phones: closed until it is opened at an address.

    ``app_for`` makes the app that answers there, given the host and port.
    """

    def __init__(self, app_for: Callable[[PhoneSite, str], object], port: int | None) -> None:
        self.phones = Phones()
        self.address = ""
        self.host = ""
        self.fingerprint = ""
        self._app_for = app_for
        self._port = port
        self._stop: Callable[[], None] = lambda: None
        self._lock = Lock()

    def open_at(self, address: str) -> None:
        """Let phones come in at an address of this machine, and nowhere else; devices of before are sent away. An
        address that is none of this machine's, or stands for all of them, is refused (InputError).
        """
        with self._lock:
            try:
                found = ip_address(address)
            except ValueError:
                found = IPv4Address(0)
            if not isinstance(found, IPv4Address) or found.is_unspecified or found.is_multicast:
                raise InputError(
                    "'{address}' is no address of one network, such as 192.168.1.20",
                    "choose one of this machine",
                    address=address,
                )
            door = door_at(str(found), self._port)
            self._stop()
            self.phones.remove_all()
            context, self.fingerprint = certificate(address)
            self.address, self.host = address, f"{address}:{door.getsockname()[1]}"
            app = self._app_for(self, self.host)
            self._stop = serve_safely(app, door, context, self.phones.knows, ENOUGH_FOR_A_FORM + 100_000)

    @property
    def link(self) -> str:
        """What a phone opens: the address with the code for the next device; empty where none is open."""
        return f"https://{self.host}{JOIN}?code={self.phones.code}" if self.host else ""

    def drawn(self) -> str:
        """The link as a picture to scan, as SVG to stand in a page."""
        picture = BytesIO()
        segno.make(self.link, error="m").save(
            picture, kind="svg", xmldecl=False, svgns=True, scale=6, border=4, light="#ffffff", title="Code to scan"
        )
        return picture.getvalue().decode()

    def printed(self) -> str:
        """The link as a picture in letters, for a terminal."""
        picture = StringIO()
        segno.make(self.link, error="l").terminal(out=picture, compact=True)
        return picture.getvalue()


def addresses_here() -> tuple[tuple[str, str], ...]:
    """The networks that this machine is in: the name of each, where the system tells it, and the address there.

    Those alone that are for local networks (RFC 1918, RFC 3927): the page is not for the open internet.
    """
    found = (
        [("", address) for address in socket.gethostbyname_ex(socket.gethostname())[2]]
        if sys.platform == "win32"
        else _by_interface()
    )
    local = {address: name for name, address in found if ip_address(address).is_private}
    return tuple((name, address) for address, name in local.items() if not ip_address(address).is_loopback)


def _by_interface() -> list[tuple[str, str]]:
    """Ask the kernel for the address of each interface (ioctl SIOCGIFADDR of Linux and of the BSDs)."""
    from fcntl import ioctl

    ask = 0x8915 if sys.platform.startswith("linux") else 0xC0206921
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as line:
        for _, name in socket.if_nameindex():
            try:
                answer = ioctl(line, ask, struct.pack("256s", name.encode()[:15]))
            except OSError:  # an interface without an address
                continue
            found.append((name, socket.inet_ntoa(answer[20:24])))
    return found


def certificate(address: str) -> tuple[SSLContext, str]:
    """A certificate for an address, made for this run and kept nowhere, and its fingerprint (SHA-256).

    It is signed by nobody but itself, so that a browser asks its user; the fingerprint is what can be compared.
    """
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"grouper at {address}")])
    now = datetime.now(UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - SLOW_CLOCK)
        .not_valid_after(now + GOOD_FOR)
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ip_address(address))]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    lock = token_urlsafe(32)
    closed = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.BestAvailableEncryption(lock.encode()),
    )
    context = SSLContext(PROTOCOL_TLS_SERVER)
    context.minimum_version = TLSVersion.TLSv1_2
    # Python reads a key from a file alone: for that moment it lies, locked, where only its owner may read.
    with TemporaryDirectory() as folder:
        path = Path(folder) / "key.pem"
        path.touch(0o600)
        path.write_bytes(closed + made.public_bytes(serialization.Encoding.PEM))
        context.load_cert_chain(path, password=lock)
    return context, made.fingerprint(hashes.SHA256()).hex(":").upper()
