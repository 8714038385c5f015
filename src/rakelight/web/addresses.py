"""Where this computer can be reached on the shop's network, and the code a phone's camera reads."""

from __future__ import annotations

import asyncio
import ipaddress
from io import BytesIO

import segno

#: addresses of no one: a datagram "towards" them tells by which of ours it would leave; nothing is sent
_NOWHERE = ("192.0.2.1", "198.51.100.1", "10.255.255.255", "192.168.255.255")


async def own_addresses() -> list[str]:
    """This computer's own addresses on networks, the likeliest first; empty where it is on none."""
    found: dict[str, None] = {}
    loop = asyncio.get_running_loop()
    for nowhere in _NOWHERE:
        try:
            transport, _ = await loop.create_datagram_endpoint(asyncio.DatagramProtocol, remote_addr=(nowhere, 9))
        except OSError:
            continue
        name = transport.get_extra_info("sockname")
        transport.close()
        if name and not ipaddress.ip_address(name[0]).is_loopback:
            found[name[0]] = None
    return list(found)


async def addresses(port: int, secure: bool = False) -> list[str]:
    """The same as a phone opens them: http://192.168.1.20:8200/."""
    scheme = "https" if secure else "http"
    return [f"{scheme}://{address}:{port}/" for address in await own_addresses()]


def code_svg(words: str) -> str:
    """A code to be read by a phone's camera, as a picture within a page: dark on white in both schemes."""
    made = BytesIO()
    segno.make(words, error="m", micro=False).save(
        made, kind="svg", xmldecl=False, svgns=True, border=3, scale=5, dark="#000", light="#fff", omitsize=True,
        svgclass="code", lineclass=None,
    )  # fmt: skip
    return made.getvalue().decode("utf-8")


def code_text(words: str) -> str:
    """The same in characters, for a terminal."""
    from io import StringIO

    made = StringIO()
    segno.make(words, error="l", micro=False).terminal(made, border=1, compact=True)
    return made.getvalue()
