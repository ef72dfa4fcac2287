"""How a table is shared: which address of this machine, what to type, and the picture to scan."""

import ipaddress
import socket
from collections.abc import Callable, Iterable
from urllib.parse import urlsplit

from intake.app.join_page import ENTER
from intake.drawing.symbol import QUIET_MODULES, encode
from intake.errors import BadInput

_TOWARDS = ("203.0.113.1", "192.168.0.1", "10.0.0.1", "172.16.0.1")
"""Places that lie behind a machine's networks: a documentation address (RFC 5737) for the way out, then one of
each private range (RFC 1918)."""
HERE = ("127.0.0.1", "localhost", "::1")
"""This machine's names for itself."""
_FULL, _UPPER, _LOWER, _EMPTY = "█", "▀", "▄", " "


def address_towards(place: str) -> str:
    """The address this machine would send from; nothing is sent, as a datagram socket only looks up the way."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asks:
        try:
            asks.connect((place, 9))
        except OSError:
            return ""
        return str(asks.getsockname()[0])


def own_addresses(towards: Callable[[str], str] = address_towards) -> tuple[str, ...]:
    """Addresses that phones of a network may reach, the likeliest first; loopback is none of them."""
    found = [a for a in dict.fromkeys(map(towards, _TOWARDS)) if a and not is_loopback(a)]
    return tuple(a for a in found if not ipaddress.ip_address(a).is_unspecified)


def chosen_address(host: str | None, found: Iterable[str]) -> str:
    """The address to share at: the one somebody asked for, else the likeliest.

    Raises:
        BadInput: nobody asked for one and the machine is in no network.
    """
    if host is not None:
        return host
    for address in found:
        return address
    expected = "a machine that is joined to a network, or its address after --host"
    raise BadInput(where="Network", got="no address", expected=expected, kept="Nothing was opened.")


def is_loopback(host: str) -> bool:
    """Whether only this machine can reach it."""
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def join_url(address: str, code: str) -> str:
    """Where to join. The code stands behind the #, which browsers keep to themselves: no request, no log."""
    return f"{address}{ENTER}#{code}"


def terminal_qr(text: str) -> tuple[str, ...]:
    """The QR symbol of `text` in rows of text blocks, two modules a letter, quiet zone included; dark is the block.

    Raises:
        BadInput: the text is too long for the symbol.
    """
    symbol = encode(text)
    inner = len(symbol.modules)
    blank = (False,) * symbol.side
    side = (False,) * QUIET_MODULES
    rows = (
        [blank] * QUIET_MODULES + [(*side, *row, *side) for row in symbol.modules] + [blank] * QUIET_MODULES
    )
    if inner % 2:
        rows.append(blank)
    letters = {(True, True): _FULL, (True, False): _UPPER, (False, True): _LOWER, (False, False): _EMPTY}
    pairs = zip(rows[::2], rows[1::2], strict=True)
    return tuple("".join(letters[pair] for pair in zip(up, down, strict=True)) for up, down in pairs)


def here_url(address: str) -> str:
    """The same server from this machine, which it always answers."""
    at = urlsplit(address)
    return address if at.hostname in HERE else f"http://{HERE[0]}:{at.port}"
