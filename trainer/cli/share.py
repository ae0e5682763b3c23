"""What `trainer serve --share` needs: this machine's address on its network, and the invitation to scan it."""

from __future__ import annotations

import io
import ipaddress
import socket
from typing import Final

from trainer.errors import StoreError

EVERYWHERE: Final = "0.0.0.0"
"""Listen on every network of this machine, so that the pages open on it too."""

# An address kept for documentation (RFC 5737). Nothing is sent: the system only says which way it would go.
_SOMEWHERE: Final = ("198.51.100.1", 9)

WARNING: Final = """\
WARNING: this is plain HTTP. Whoever is on the same network can read passwords and records on their way, and change
them. Share on the shop's own network only, never on a guest network or one you do not know, and stop it with Ctrl-C
when you are done. For every day, put a web server that speaks HTTPS (TLS) in front, with a certificate that your
phones trust, and start this one with:  trainer serve --name shop.example --https --proxies 1"""


def network_address() -> str:
    """This machine's own address on the network that it is on.

    Raises StoreError when it is on none.
    """
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(_SOMEWHERE)
            address = str(probe.getsockname()[0])
    except OSError:
        address = EVERYWHERE
    found = ipaddress.ip_address(address)
    if found.is_loopback or found.is_unspecified:
        raise StoreError(
            "this machine is on no network that phones could reach it by; connect it, then try again"
        )
    return address


def invitation(address: str) -> str:
    """The address, its QR code in letters, and what to know before using it."""
    import segno

    code = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(out=code, compact=True)
    return f"\nOn a phone on this network, scan the code or type  {address}\n\n{code.getvalue()}\n{WARNING}\n"
