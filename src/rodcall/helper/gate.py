"""Access to the helper's page: the secret, the address, how many phones, and rate limits.

Plain state with a clock that is handed in. Whatever is not let in gets the same answer, which says nothing.
"""

from __future__ import annotations

import base64
import hashlib
import hmac
import secrets
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum
from time import monotonic

SECRET_BYTES = 16
"""128 bits from the system's own source. In base 32 they are 26 capitals and digits, which a code holds in least room
and which can be typed: no 0, 1, 8 or 9 is among them."""
MOST_PHONES = 5
"""One helper, one at the far end, a foreman or two: more at once is no crew."""
MOST_OPEN, MOST_OPEN_OF_ONE = 24, 8
"""Connections open at once, in all and from one address."""
FIRST_REQUEST_S = 4.0
"""Seconds within which a connection has to have asked for something."""
MOST_PEERS = 256
"""Addresses of which something is remembered."""
MOST_MESSAGE = 512
"""Bytes of one message from a phone; a reading is about a hundred."""

TOO_MANY = "too many"
SENT_AWAY = "sent away"


@dataclass(slots=True)
class Bucket:
    """Lets so much through at once, and then so much a second.

    Args:
        burst: How many at once.
        rate: How many a second after that.
        clock: Seconds that only go forward.
    """

    burst: float
    rate: float
    clock: Callable[[], float]
    _left: float = field(init=False)
    _at: float = field(init=False)

    def __post_init__(self) -> None:
        self._left, self._at = self.burst, self.clock()

    def take(self) -> bool:
        """Take one; False where there is none left."""
        if not self.is_open:
            return False
        self._left -= 1
        return True

    @property
    def is_open(self) -> bool:
        """Is there one left?"""
        now = self.clock()
        self._left = min(self.burst, self._left + (now - self._at) * self.rate)
        self._at = now
        # A hair less is one: a wait that is worked out must never end just before it.
        return self._left >= 1 - 1e-6

    @property
    def seconds(self) -> float:
        """Seconds until there is one."""
        return 0.0 if self.is_open else (1 - self._left) / self.rate


class Wanted(Enum):
    """What a path asks for."""

    PAGE = "page"
    LIVE = "live"


@dataclass(eq=False)
class Phone:
    """One phone that is let in."""

    me: str
    """What the page in it calls itself; known to this phone and to the tablet only."""
    peer: str
    """Its address."""
    number: int
    """What the cab calls it: phone 1."""
    language: str
    since: float
    """Seconds of the gate's clock."""
    said: Bucket
    """How often it may say something."""
    connected: bool = True


class RefusedError(Exception):
    """A phone that is not let in; the reason is a code."""


class Gate:
    """Guards one run of the helper's page at one address.

    Args:
        host: The address that is bound, as numbers with points.
        port: The port.
        clock: Seconds that only go forward.
    """

    def __init__(self, host: str, port: int, clock: Callable[[], float] = monotonic) -> None:
        self._secret = new_secret()
        self._digest = _digest(self._secret)
        self._host = f"{host}:{port}"
        self._clock = clock
        self._arrivals = Bucket(40, 20, clock)
        self._peers: OrderedDict[str, tuple[Bucket, Bucket]] = OrderedDict()
        self._away: set[str] = set()
        self._phones: dict[str, Phone] = {}
        self._number = 0

    @property
    def address(self) -> str:
        """The page's address, in letters that a code holds in least room; any case will do when it is typed."""
        return f"HTTP://{self._host}/{self._secret}"

    @property
    def origin(self) -> str:
        """What a browser calls this page's origin."""
        return f"http://{self._host}"

    # -- connections ----------------------------------------------------------------------------------------

    @property
    def pause(self) -> float:
        """Seconds until one more connection is looked at, whoever it comes from: a flood waits in the system."""
        return 0.0 if self._arrivals.take() else self._arrivals.seconds

    def lets_connect(self, peer: str, open_of_peer: int, open_in_all: int) -> bool:
        """Is a connection worth reading from?"""
        arrivals, wrong = self._of(peer)
        if peer in self._away or open_of_peer >= MOST_OPEN_OF_ONE or open_in_all >= MOST_OPEN:
            return False
        return wrong.is_open and arrivals.take()

    def wrong(self, peer: str) -> None:
        """Somebody asked for what is not there; who does so again and again is not heard for a while."""
        self._of(peer)[1].take()

    def _of(self, peer: str) -> tuple[Bucket, Bucket]:
        known = self._peers.pop(peer, None) or (Bucket(20, 5, self._clock), Bucket(20, 0.5, self._clock))
        self._peers[peer] = known
        while len(self._peers) > MOST_PEERS:
            self._peers.popitem(last=False)
        return known

    # -- requests -------------------------------------------------------------------------------------------

    def wanted(self, path: str) -> Wanted | None:
        """What a path asks for, by the secret in it; None for every other path.

        The secret is compared as a digest, in constant time: how long it takes says nothing of how much was right.
        """
        head, _, rest = path.removeprefix("/").partition("/")
        # Of ASCII alone: other letters turn into ours as well, the long s into S.
        right = hmac.compare_digest(_digest(head.upper() if head.isascii() else head), self._digest)
        if not right or not path.startswith("/"):
            return None
        return {"": Wanted.PAGE, "live": Wanted.LIVE}.get(rest)

    def is_ours(self, host: str | None, origin: str | None, wanted: Wanted) -> bool:
        """Was this address asked for, and by our own page?

        A name that somebody else lets point here (DNS rebinding) is in Host; another page that opens a socket is in
        Origin, which every browser sends with a socket.
        """
        if host is None or host.lower() != self._host:
            return False
        if origin is None:
            return wanted is Wanted.PAGE
        return origin.lower() == self.origin

    # -- phones ---------------------------------------------------------------------------------------------

    @property
    def phones(self) -> tuple[Phone, ...]:
        """Those that are connected now, by number."""
        return tuple(sorted((each for each in self._phones.values() if each.connected), key=lambda each: each.number))

    def admit(self, me: str, peer: str, language: str) -> Phone:
        """Let a phone in, or in again under the number that it had.

        Raises:
            RefusedError: when there are too many, or it was sent away.
        """
        if peer in self._away or me in self._away:
            raise RefusedError(SENT_AWAY)
        known = self._phones.get(me)
        if (known is None or not known.connected) and len(self.phones) >= MOST_PHONES:
            raise RefusedError(TOO_MANY)
        if known is None:
            self._number += 1
            known = Phone(me, peer, self._number, language, self._clock(), Bucket(20, 10, self._clock))
            self._phones[me] = known
            self._forget()
        known.connected, known.peer, known.language, known.since = True, peer, language, self._clock()
        return known

    def left(self, phone: Phone) -> None:
        """A phone is gone; its number waits for it."""
        phone.connected = False

    def send_away(self, phone: Phone) -> None:
        """Send a phone away: it does not come in again before another start, nor does any other at its address."""
        phone.connected = False
        self._away |= {phone.me, phone.peer}

    def _forget(self) -> None:
        gone = [me for me, phone in self._phones.items() if not phone.connected]
        for me in gone[: max(len(self._phones) - 2 * MOST_PHONES, 0)]:
            del self._phones[me]


def new_secret() -> str:
    """A secret that nobody had before, in base 32."""
    return base64.b32encode(secrets.token_bytes(SECRET_BYTES)).decode("ascii").rstrip("=")


def _digest(text: str) -> bytes:
    return hashlib.sha256(text.encode("utf-8", "replace")).digest()
