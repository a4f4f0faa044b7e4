"""Who may come in: the secret, the address asked for, how many phones, how often."""

from __future__ import annotations

import base64
import hmac
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rodcall.helper import gate as gates
from rodcall.helper.gate import MOST_OPEN, MOST_OPEN_OF_ONE, MOST_PEERS, MOST_PHONES, Bucket, Gate, RefusedError, Wanted

HOST, PORT = "192.0.2.7", 40123
"""An address that RFC 5737 keeps for documentation."""


class Clock:
    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def gate(clock: Clock) -> Gate:
    return Gate(HOST, PORT, clock)


def secret(gate: Gate) -> str:
    return gate.address.rpartition("/")[2]


# -- the secret ---------------------------------------------------------------------------------------------


def test_the_secret_has_128_bits_and_is_another_one_each_time() -> None:
    secrets = {secret(Gate(HOST, PORT)) for _ in range(200)}
    assert len(secrets) == 200
    for each in secrets:
        assert re.fullmatch("[A-Z2-7]{26}", each)
        assert len(base64.b32decode(each + "=" * 6)) * 8 == 128


def test_each_character_of_a_secret_varies() -> None:
    """A source of chance that stands still would show here."""
    drawn = [secret(Gate(HOST, PORT)) for _ in range(200)]
    # Of the last character only three bits are drawn: 26 x 5 is 130.
    assert all(len({each[at] for each in drawn}) > 16 for at in range(25))


def test_the_right_path_and_no_other(gate: Gate) -> None:
    right = secret(gate)
    assert gate.wanted(f"/{right}") is Wanted.PAGE
    assert gate.wanted(f"/{right}/") is Wanted.PAGE
    assert gate.wanted(f"/{right.lower()}/live") is Wanted.LIVE
    old = secret(Gate(HOST, PORT))
    wrong = [
        "",
        "/",
        right,
        f"/{right[:-1]}",
        f"/{right}A",
        f"/{old}",
        f"//{right}",
        f"/{right}//live",
        f"/{right}/live/",
    ]
    wrong += [f"/{right}/../live", f"/{right}/%6cive", f"/{right}?x", f"/x/../{right}", f"/{right}/page.html", "/live"]
    wrong += [f"/{right}\x00", f"/ſ{right[1:]}", "/" + "Ａ" * 26, f"http://{HOST}/{right}"]
    assert [path for path in wrong if gate.wanted(path) is not None] == []


def test_no_letter_of_another_alphabet_stands_for_one_of_ours() -> None:
    """The long s is an S in capitals (Unicode, UnicodeData.txt, U+017F; MEMORY)."""
    gate = next(each for each in (Gate(HOST, PORT) for _ in range(1000)) if "S" in secret(each))
    path = f"/{secret(gate)}".replace("S", "\u017f", 1)
    assert path.upper() == f"/{secret(gate)}"
    assert gate.wanted(path) is None


@given(st.text(max_size=60))
def test_no_guess_is_right(guess: str) -> None:
    assert Gate(HOST, PORT).wanted(f"/{guess}") is None


def test_the_secret_is_compared_in_constant_time(gate: Gate, monkeypatch: pytest.MonkeyPatch) -> None:
    """`hmac.compare_digest` (Python's documentation: against timing analysis), with digests of one length each time."""
    compared: list[tuple[int, int]] = []
    real = hmac.compare_digest

    def watched(one: bytes, other: bytes) -> bool:
        compared.append((len(one), len(other)))
        return real(one, other)

    monkeypatch.setattr(gates.hmac, "compare_digest", watched)
    paths = ["/", f"/{secret(gate)}", f"/{secret(gate)[:-1]}A", "/x" * 300]
    for path in paths:
        gate.wanted(path)
    assert compared == [(32, 32)] * len(paths)


# -- the address asked for ----------------------------------------------------------------------------------


@pytest.mark.parametrize("wanted", Wanted)
def test_only_this_address_and_this_pages_own_socket(gate: Gate, wanted: Wanted) -> None:
    ours, origin = f"{HOST}:{PORT}", f"http://{HOST}:{PORT}"
    assert gate.is_ours(ours, origin, wanted)
    foreign_hosts = [None, "", HOST, f"{HOST}:1", "rebound.example", f"rebound.example:{PORT}", f"localhost:{PORT}"]
    assert not any(gate.is_ours(host, origin, wanted) for host in foreign_hosts)
    foreign = ["null", "", f"https://{HOST}:{PORT}", "http://evil.example", f"{origin}.evil.example", f"{origin}/"]
    assert not any(gate.is_ours(ours, each, wanted) for each in foreign)
    # A browser sends no Origin with a page that is typed or scanned, and always one with a socket (RFC 6455, 4.1).
    assert gate.is_ours(ours, None, wanted) == (wanted is Wanted.PAGE)


# -- how often ----------------------------------------------------------------------------------------------


def test_a_bucket_fills_again_and_no_further(clock: Clock) -> None:
    bucket = Bucket(3, 0.5, clock)
    assert [bucket.take() for _ in range(5)] == [True, True, True, False, False]
    assert bucket.seconds == pytest.approx(2.0)
    clock.now += 2.0
    assert [bucket.take(), bucket.take()] == [True, False]
    clock.now += 1e6
    assert [bucket.take() for _ in range(5)] == [True, True, True, False, False]


@given(st.lists(st.floats(0, 5), max_size=60), st.integers(1, 9), st.floats(0.1, 9))
def test_a_bucket_never_lets_more_through_than_it_says(waits: list[float], burst: int, rate: float) -> None:
    clock = Clock()
    bucket = Bucket(burst, rate, clock)
    taken = 0
    for wait in waits:
        clock.now += wait
        taken += bucket.take()
    assert taken <= burst + rate * sum(waits) + 1e-6


def test_who_guesses_is_not_heard_and_others_are(gate: Gate, clock: Clock) -> None:
    for _ in range(30):
        gate.wrong("192.0.2.66")
    assert not gate.lets_connect("192.0.2.66", 0, 0)
    assert gate.lets_connect("192.0.2.8", 0, 0)
    clock.now += 60
    assert gate.lets_connect("192.0.2.66", 0, 0), "a phone with an old page is let in again after a while"


def test_so_many_connections_and_no_more(gate: Gate) -> None:
    assert gate.lets_connect("192.0.2.8", MOST_OPEN_OF_ONE - 1, MOST_OPEN - 1)
    assert not gate.lets_connect("192.0.2.8", MOST_OPEN_OF_ONE, MOST_OPEN_OF_ONE)
    assert not gate.lets_connect("192.0.2.8", 0, MOST_OPEN)


def test_a_flood_waits_in_the_system(gate: Gate, clock: Clock) -> None:
    paused = 0.0
    for _ in range(1000):
        while pause := gate.pause:
            assert pause < 1
            paused += pause
            clock.now += pause
    assert paused == pytest.approx((1000 - 40) / 20, rel=0.01)


def test_of_many_addresses_no_more_is_remembered_than_said(gate: Gate) -> None:
    for at in range(10 * MOST_PEERS):
        gate.wrong(f"192.0.2.{at}")
    assert len(gate._peers) == MOST_PEERS


# -- phones -------------------------------------------------------------------------------------------------


def name(at: int) -> str:
    return f"{at:032x}"


def test_a_handful_of_phones_each_with_a_number(gate: Gate) -> None:
    phones = [gate.admit(name(at), f"192.0.2.{at + 10}", "en") for at in range(MOST_PHONES)]
    assert [phone.number for phone in phones] == list(range(1, MOST_PHONES + 1))
    with pytest.raises(RefusedError, match="too many"):
        gate.admit(name(99), "192.0.2.99", "en")
    gate.left(phones[1])
    assert gate.admit(name(99), "192.0.2.99", "es").number == MOST_PHONES + 1


def test_a_phone_that_comes_back_has_its_number(gate: Gate) -> None:
    first = gate.admit(name(1), "192.0.2.11", "en")
    gate.admit(name(2), "192.0.2.12", "en")
    gate.left(first)
    assert [phone.number for phone in gate.phones] == [2]
    assert gate.admit(name(1), "192.0.2.11", "en") is first
    assert [phone.number for phone in gate.phones] == [1, 2]


def test_one_sent_away_stays_away_under_any_name(gate: Gate) -> None:
    phone = gate.admit(name(1), "192.0.2.11", "en")
    gate.send_away(phone)
    assert gate.phones == ()
    for me, peer in ((name(1), "192.0.2.12"), (name(2), "192.0.2.11")):
        with pytest.raises(RefusedError, match="sent away"):
            gate.admit(me, peer, "en")
    assert not gate.lets_connect("192.0.2.11", 0, 0)
    assert gate.lets_connect("192.0.2.12", 0, 0)


def test_of_phones_that_come_and_go_no_more_is_remembered_than_said(gate: Gate) -> None:
    for at in range(500):
        gate.left(gate.admit(name(at), "192.0.2.11", "en"))
    assert len(gate._phones) <= 2 * MOST_PHONES
