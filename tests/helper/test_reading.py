"""Readings from phones: to the spot that was shown at the first key, once, or refused with the reason.

The state machine lets cab, phones and network do what they like in any order; a phone is modelled as the page's script
has it (`page.html`: latch at the first key, one reading unanswered at a time, sent again under its id).
"""

from __future__ import annotations

import itertools
import json
from collections import deque
from dataclasses import dataclass, field
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from rodcall.book.model.entries import Shot, Strike
from rodcall.helper.messages import Sent, TakeBack, parse
from rodcall.helper.reading import Inbox
from tests.helper.kit import FakeCab
from tests.kit import a_book, a_job

ME, ELSE = "a" * 32, "b" * 32


def an_id(at: int) -> str:
    return f"{at:032x}"


@pytest.fixture
def cab() -> FakeCab:
    return FakeCab(a_book("A1 0", "B1 -1/8"))


def phone_shots(cab: FakeCab) -> list[tuple[str, str]]:
    return [(each.position, each.said) for each in cab.book.entries if isinstance(each, Shot) and each.sent_from]


# -- by hand ------------------------------------------------------------------------------------------------


def test_a_reading_goes_where_the_cab_names_and_is_signed(cab: FakeCab) -> None:
    answer = cab.inbox.take(ME, Sent(an_id(1), cab.turn, "-3/8"))
    assert answer.taken
    shot = cab.book.entries[-1]
    assert isinstance(shot, Shot)
    assert (shot.position, shot.said, shot.sent_from) == ("C1", "-3/8", "phone 1")


def test_what_the_cab_keys_is_not_signed(cab: FakeCab) -> None:
    cab.key("-3/8")
    assert phone_shots(cab) == []


def test_off_until_the_cab_allows_it() -> None:
    cab = FakeCab(allowed=False)
    assert not Inbox(cab).allowed, "off by default"
    answer = cab.inbox.take(ME, Sent(an_id(1), cab.turn, "-3/8"))
    assert (answer.taken, phone_shots(cab)) == (False, [])


@pytest.mark.parametrize("move", ["key", "go", "undo", "there and back"])
def test_refused_when_the_cab_moved_on(cab: FakeCab, move: str) -> None:
    turn = cab.turn
    if move == "key":
        cab.key("-1/2")
    elif move == "go":
        cab.go_to(7)
    elif move == "undo":
        cab.undo()
    else:
        # A reading and its undo: the same spot is named again, and yet it is another turn.
        cab.key("-1/2")
        cab.undo()
    answer = cab.inbox.take(ME, Sent(an_id(1), turn, "-3/8"))
    assert not answer.taken
    assert "moved on" in answer.words
    assert phone_shots(cab) == []


def test_refused_while_the_cab_types(cab: FakeCab) -> None:
    cab.busy = "the cab is typing"
    answer = cab.inbox.take(ME, Sent(an_id(1), cab.turn, "-3/8"))
    assert not answer.taken
    assert cab.busy in answer.words
    assert phone_shots(cab) == []


@pytest.mark.parametrize("said", ["3/8", "x", "-1/3", "-999999", "--1"])
def test_what_is_not_understood_is_refused_with_the_reason_and_not_written(cab: FakeCab, said: str) -> None:
    before = len(cab.book.entries)
    answer = cab.inbox.take(ME, Sent(an_id(1), cab.turn, said))
    assert not answer.taken
    assert answer.words
    assert len(cab.book.entries) == before


def test_sent_again_it_gets_the_same_answer_and_is_not_written_again(cab: FakeCab) -> None:
    sent = Sent(an_id(1), cab.turn, "-3/8")
    assert cab.inbox.take(ME, sent) == cab.inbox.take(ME, sent)
    cab.key("-1/4")
    assert cab.inbox.take(ME, sent).taken
    assert phone_shots(cab) == [("C1", "-3/8")]


def test_a_refusal_sent_again_stays_one(cab: FakeCab) -> None:
    sent = Sent(an_id(1), cab.turn, "-3/8")
    cab.busy = "the cab is typing"
    assert not cab.inbox.take(ME, sent).taken
    cab.busy = ""
    assert not cab.inbox.take(ME, sent).taken


def test_the_phones_own_last_reading_is_undone_and_no_other(cab: FakeCab) -> None:
    sent = Sent(an_id(1), cab.turn, "-3/8")
    cab.inbox.take(ME, sent)
    assert cab.inbox.can_take_back(ME) == sent.id
    assert cab.inbox.can_take_back(ELSE) == ""
    assert not cab.inbox.take(ELSE, TakeBack(an_id(2), sent.id)).taken
    assert cab.inbox.take(ME, TakeBack(an_id(3), sent.id)).taken
    assert isinstance(cab.book.entries[-1], Strike)
    assert cab.inbox.can_take_back(ME) == ""
    assert not cab.inbox.take(ME, TakeBack(an_id(4), sent.id)).taken, "only once"


def test_nothing_is_undone_that_the_cab_wrote_after(cab: FakeCab) -> None:
    sent = Sent(an_id(1), cab.turn, "-3/8")
    cab.inbox.take(ME, sent)
    cab.key("-1/2")
    entries = len(cab.book.entries)
    assert not cab.inbox.take(ME, TakeBack(an_id(2), sent.id)).taken
    assert len(cab.book.entries) == entries


def test_of_what_phones_sent_no_more_is_remembered_than_said() -> None:
    cab = FakeCab(allowed=False)
    for at in range(2000):
        cab.inbox.take(an_id(at), Sent(an_id(at), 0, "-1"))
        cab.inbox.take(ME, Sent(an_id(at), 0, "-1"))
    kept = cab.inbox._answers
    assert len(kept) <= 32
    assert max(map(len, kept.values())) <= 8


# -- any order ----------------------------------------------------------------------------------------------


@dataclass
class Link:
    """A connection: what is on its way, either way. A cut loses all of it."""

    up: deque[str] = field(default_factory=deque)
    down: deque[dict[str, Any]] = field(default_factory=deque)


class PhoneModel:
    """The page's script: what it shows, what its line holds, and what it has not heard about yet."""

    def __init__(self, me: str) -> None:
        self.me = me
        self.link: Link | None = None
        self.view: dict[str, Any] | None = None
        self.current = False
        self.latch: tuple[int, str] | None = None
        self.typed = ""
        self.pending: dict[str, Any] | None = None
        self.sent_on: Link | None = None
        self.answers: dict[str, bool] = {}
        self.entered: dict[str, tuple[str, str]] = {}

    def touch(self, said: str) -> None:
        if self.pending or self.view is None or not self.current:
            return
        if self.latch is None:
            if not (self.view["takes"] and self.view["allowed"]):
                return
            self.latch = self.view["turn"], self.view["where"]["name"]
        self.typed = said

    def enter(self, new_id: str) -> None:
        if self.pending or self.latch is None or not self.typed:
            return
        turn, place = self.latch
        self.pending = {"id": new_id, "turn": turn, "said": self.typed}
        self.entered[new_id] = place, self.typed
        self.resend()

    def resend(self) -> None:
        if self.link is not None and self.pending is not None and self.current:
            self.sent_on = self.link
            self.link.up.append(json.dumps(self.pending))

    def hear(self, said: dict[str, Any]) -> None:
        if "view" in said:
            self.view, self.current = said["view"], True
            if self.pending is not None and self.sent_on is not self.link:
                self.resend()
        if "answer" in said and self.pending is not None and said["answer"]["id"] == self.pending["id"]:
            self.answers[self.pending["id"]] = said["answer"]["taken"]
            if said["answer"]["taken"]:
                self.typed, self.latch = "", None
            self.pending = None

    def clear(self) -> None:
        if self.pending is None:
            self.typed, self.latch = "", None

    def cut(self) -> None:
        self.link, self.current = None, False


class Interleavings(RuleBasedStateMachine):
    @initialize()
    def begin(self) -> None:
        self.cab_ = FakeCab(a_book(job=a_job(along=3, across=3)))
        self.phones = [PhoneModel(ME), PhoneModel(ELSE)]
        self.ids = map(an_id, itertools.count(1))
        # Every reading is another one, so that an entry tells which it was.
        self.numbers = itertools.count(1)
        self.named_at: dict[int, str] = {}
        self.taken_in: set[str] = set()
        self.note()

    def note(self) -> None:
        """What the cab named at each turn."""
        named = self.cab_.named
        if named is not None and named.spot is not None:
            name = self.cab_.book.job.grid.name(named.spot)
            assert self.named_at.setdefault(self.cab_.turn, name) == name

    def push(self) -> None:
        self.note()
        for phone in self.phones:
            if phone.link is not None:
                phone.link.down.append({"view": json.loads(self.cab_.seen_by("en"))})

    def unlike_any(self) -> str:
        return f"-0.{next(self.numbers):05d}in"

    # the cab

    @rule(act=st.sampled_from(["keys", "keys", "goes", "goes", "undoes", "types", "stops typing", "allows", "forbids"]))
    def cab(self, act: str) -> None:
        cab = self.cab_
        match act:
            case "keys" if cab.named is not None:
                cab.busy = ""
                cab.key("-1/8")
            case "goes":
                cab.go_to(next(self.numbers) * 5 % 9)
            case "undoes" if cab.book.page.acts.undoable:
                cab.undo()
            case "types" | "stops typing":
                cab.busy = "the cab is typing" if act == "types" else ""
            case "allows" | "forbids":
                cab.inbox.allowed = act == "allows"
        self.push()

    # the phones

    @rule(
        at=st.integers(0, 1),
        act=st.sampled_from(["keys", "keys", "touches", "enters", "enters", "is cut", "clears"]),
    )
    def phone(self, at: int, act: str) -> None:
        phone = self.phones[at]
        match act:
            case "keys":
                # In reach, and with nothing on its way: what crews do most of the time.
                self.connect(at)
                self.deliver_all()
                phone.touch(self.unlike_any())
            case "touches":
                phone.touch(self.unlike_any())
            case "enters":
                phone.enter(next(self.ids))
            case "is cut":
                # Its reading arrives, the answer does not.
                phone.enter(next(self.ids))
                self.deliver_up(at)
                phone.cut()
            case "clears":
                phone.clear()

    # the network

    @rule(at=st.integers(0, 1), act=st.sampled_from(["cut", "connect", "up", "up", "up and cut", "down", "all"]))
    def network(self, at: int, act: str) -> None:
        match act:
            case "cut":
                self.phones[at].cut()
            case "connect":
                self.connect(at)
            case "up":
                self.deliver_up(at)
            case "up and cut":
                # The reading arrives, the answer does not.
                self.deliver_up(at)
                self.phones[at].cut()
            case "down":
                self.deliver_down(at)
            case "all":
                self.deliver_all()

    def connect(self, at: int) -> None:
        phone = self.phones[at]
        if phone.link is None:
            phone.link = Link()
            self.note()
            phone.link.down.append({"view": json.loads(self.cab_.seen_by("en"))})

    def deliver_up(self, at: int) -> None:
        phone = self.phones[at]
        if phone.link is not None and phone.link.up:
            sent = parse(phone.link.up.popleft())
            assert isinstance(sent, Sent)
            new, closed = sent.id not in self.taken_in, bool(self.cab_.busy) or not self.cab_.inbox.allowed
            answer = self.cab_.inbox.take(phone.me, sent)
            self.taken_in.add(sent.id)
            assert not (new and closed and answer.taken), "written while the cab takes none"
            phone.link.down.append({"answer": {"id": answer.id, "taken": answer.taken}})
            self.push()

    def deliver_down(self, at: int) -> None:
        phone = self.phones[at]
        if phone.link is not None and phone.link.down:
            phone.hear(phone.link.down.popleft())

    def deliver_all(self) -> None:
        while any(phone.link is not None and (phone.link.up or phone.link.down) for phone in self.phones):
            for at in (0, 1):
                self.deliver_up(at)
                self.deliver_down(at)
        for phone in self.phones:
            if phone.link is not None and phone.view is not None and self.cab_.named is not None:
                # Nothing is on its way: what is shown as current is what the cab names.
                assert phone.view["turn"] == self.cab_.turn

    # what holds

    @invariant()
    def no_reading_twice_and_none_at_another_spot(self) -> None:
        if not hasattr(self, "cab_"):
            return
        written = phone_shots(self.cab_)
        entered = {said: place for phone in self.phones for place, said in phone.entered.values()}
        assert len(set(written)) == len(written)
        assert all(entered[said] == place for place, said in written)

    @invariant()
    def what_is_shown_was_named_at_that_turn(self) -> None:
        for phone in getattr(self, "phones", ()):
            if phone.current and phone.view is not None and phone.view["turn"] in self.named_at:
                assert phone.view["where"]["name"] == self.named_at[phone.view["turn"]]

    @invariant()
    def what_a_phone_was_answered_is_what_the_book_has(self) -> None:
        if not hasattr(self, "cab_"):
            return
        written = {said for _, said in phone_shots(self.cab_)}
        for phone in self.phones:
            for sent, taken in phone.answers.items():
                assert (phone.entered[sent][1] in written) == taken

    def teardown(self) -> None:
        """The network is back for good: every reading is answered, none is lost, none still waits."""
        if not hasattr(self, "cab_"):
            return
        for at in (0, 1):
            self.connect(at)
        for _ in range(3):
            self.deliver_all()
        for phone in self.phones:
            assert phone.pending is None
            assert set(phone.answers) == set(phone.entered)
        self.no_reading_twice_and_none_at_another_spot()
        self.what_a_phone_was_answered_is_what_the_book_has()


Interleavings.TestCase.settings = settings(max_examples=60, stateful_step_count=60, deadline=None)
TestInterleavings = Interleavings.TestCase
