"""The tablet's own addresses, of which the crew picks the one that its hotspot has; and whether the extra is there."""

from __future__ import annotations

import ipaddress
import socket
from collections.abc import Iterator
from contextlib import suppress
from importlib import import_module
from importlib.util import find_spec

from rodcall.frozen import Frozen

EXTRA = "rodcall[helper]"
"""What pip is asked for."""
_NEEDED = ("aiohttp", "segno")


class Address(Frozen):
    """One address of this tablet."""

    host: str
    adapter: str
    """What the system calls the network adapter; empty where it does not say."""
    only_here: bool = False
    """Nobody but this tablet itself reaches it: to try the page out."""


def is_installed() -> bool:
    """Is what the helper's page needs installed?"""
    return all(find_spec(name) is not None for name in _NEEDED)


def addresses() -> tuple[Address, ...]:
    """This tablet's addresses, private ones first (RFC 1918), the one that only it reaches last."""
    found = {host: adapter for adapter, host in (*_of_way(), *_of_adapters())}
    here = [Address(host, adapter) for host, adapter in found.items() if not ipaddress.IPv4Address(host).is_loopback]
    here.sort(key=lambda each: (not ipaddress.IPv4Address(each.host).is_private, each.adapter, each.host))
    return (*here, Address("127.0.0.1", "", only_here=True))


def _of_adapters() -> Iterator[tuple[str, str]]:
    try:
        adapters = import_module("psutil").net_if_addrs()
    except (ImportError, OSError):
        # Android lets no program list them.
        return
    for adapter, its in adapters.items():
        for address in its:
            if address.family == socket.AF_INET and not ipaddress.IPv4Address(address.address).is_link_local:
                yield adapter, address.address


def _of_way() -> Iterator[tuple[str, str]]:
    """What the system says without a list of adapters: the address that it would send from.

    Nothing is sent: a datagram socket only looks up the way. 192.0.2.1 is nobody's (RFC 5737).
    """
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        asking.connect(("192.0.2.1", 9))
        yield "", asking.getsockname()[0]
