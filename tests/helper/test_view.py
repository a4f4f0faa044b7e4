"""What a phone shows is what the call-out shows, in the phone's language, and no more of a big pad than it can show."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from rodcall.figures.next_up import Do
from rodcall.helper.view import PLAN_ACROSS, PLAN_ALONG, as_json, view
from rodcall.i18n import speaking, spoken
from rodcall.wording import words
from rodcall.wording.call_out import call_out
from rodcall.wording.read_back import at_spot
from tests.helper.kit import FakeCab
from tests.kit import a_book, a_job

FULL = [f"{column}{row} 0" for row in range(1, 5) for column in "ABC"]


def cab(*lines: str, **known: object) -> FakeCab:
    return FakeCab(a_book(*lines, job=a_job(**known)))  # type: ignore[arg-type]


def test_where_next_what_was_read_back_and_the_reading_to_hit_are_the_call_outs() -> None:
    at = cab("A1 0", "B1 -3/8", "target -1/2")
    seen = at.view()
    told = call_out(at.summary, at.named.spot if at.named else None, at_spot(at.summary, 1))
    assert seen.where.name == told.position == "C1"
    assert tuple(f"{way} {tape}" for way, tape in zip("^>", seen.where.tapes, strict=True)) == told.tapes
    assert f"{seen.back.name} {seen.back.height} {seen.back.work}" == told.read_back[0] == "B1 LOW 3/8 cut 1/8"
    assert seen.back.work == "cut 1/8"
    assert seen.hit == told.wanted == "LOW 1/2"
    assert (seen.back.side, seen.on_the_rod) == (-1, False)


def test_a_rod_reading_to_hit_has_no_sign() -> None:
    from rodcall.book.model.entries import Readings

    at = cab("setup ZERO 4' 3\"", "A1 4' 3\"", "target -1/2", readings=Readings.ROD)
    seen = at.view()
    # A lower target is a bigger reading on a plain rod: 51 + 1/2 in.
    assert (seen.hit, seen.on_the_rod) == ("4' 3-1/2\"", True)
    assert (seen.keys.high_low, seen.keys.minus) == (False, False)


def test_in_spanish_all_of_it_and_the_screen_goes_on_in_english() -> None:
    at = cab("A1 0", "B1 -3/8", "target -1/2")
    seen = at.view("es")
    with speaking("es"):
        told = call_out(at.summary, 2, at_spot(at.summary, 1))
    assert f"{seen.back.name} {seen.back.height} {seen.back.work}" == told.read_back[0] == "B1 BAJO 3/8 cortar 1/8"
    assert seen.hit == told.wanted
    assert spoken() == "en"
    english = at.view("en")
    assert english.shot != seen.shot
    assert [one == other for one, other in zip(english.punch, seen.punch, strict=True)] == [False] * len(seen.punch)


def test_a_reading_that_does_not_fit_is_an_alarm_for_as_long_as_it_is_the_last_one() -> None:
    at = cab("A1 0", "B1 0", "C1 0", "C2 +9")
    alarm = at.view().alarm
    assert alarm is not None
    assert (alarm.stay, alarm.do) == ("STAY AT C2", "READ AGAIN")
    assert "C2" in alarm.why
    quiet = view(replace(at.shown(), shouts=False), "en")
    assert quiet.alarm is None, "a crew that wants no shouts has none on the phone"
    at.key("0")
    assert at.view().alarm is None
    assert any("C2" in item for item in at.view().punch), "it stays on the punch list"


def test_two_readings_that_disagree_ask_for_a_third() -> None:
    at = cab("A1 0", "B1 0", "C1 0", "C2 +9", "C2 +3")
    alarm = at.view().alarm
    assert alarm is not None
    assert (alarm.stay, alarm.do) == ("STAY AT C2", "READ A THIRD TIME")


def test_a_bad_check_is_an_alarm_until_it_was_read_again() -> None:
    at = cab("reference BM1 +4", "A1 0", "B1 0", "check BM1 +5")
    alarm = at.view().alarm
    assert alarm is not None
    assert (alarm.stay, alarm.do) == ("STAY AT BM1", "READ AGAIN")
    at.key("+4")
    assert at.view().alarm is None
    at = cab("reference BM1 +4", "A1 0", "B1 0", "check BM1 +5", "check BM1 +5")
    alarm = at.view().alarm
    assert alarm is not None
    assert alarm.do == "LEVEL IT"


def test_all_shot_says_what_comes_next_and_takes_no_reading() -> None:
    at = cab(*FULL)
    seen = at.view()
    assert (seen.where.name, seen.where.words, seen.takes) == ("ALL SHOT", "cab: choose the target", False)
    assert at.queue[0].do is Do.TARGET
    assert seen.shot == "12 of 12 shot, 0 left"


def test_a_reference_is_named_where_a_check_is_next() -> None:
    at = cab("reference BM1 +4", *FULL, "target -1/2")
    at.figure()
    assert at.queue[0].do is Do.CHECK
    assert at.view().where.words == "rod on BM1 for the check"


def test_out_of_tolerance_is_said_in_a_final_round() -> None:
    at = cab(*FULL, "target 0", "round final", "A1 -2")
    seen = at.view()
    assert seen.back.out == "out of tolerance"
    assert seen.plan.cells[-1][0] == "l2!<"


def test_the_plan_lies_as_the_pad_lies_and_is_a_window_of_a_big_one() -> None:
    at = cab("A1 0", "B1 -3/8", "C4 not pad", "B2 out rut")
    plan = at.view().plan
    assert (plan.columns, plan.rows) == (("A", "B", "C"), (4, 3, 2, 1))
    assert plan.cells[0] == (".", ".", "/")
    assert plan.cells[2][1][0] == "x"
    big = cab("A1 0", along=100, across=100)
    big.go_to(5050)
    plan = big.view().plan
    assert (len(plan.rows), len(plan.columns)) == (PLAN_ALONG, PLAN_ACROSS)
    assert [cell for row in plan.cells for cell in row if ">" in cell] == [".>"]
    assert 51 in plan.rows
    assert len(as_json(big.view())) < 5000


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", '"},"x":"', "a\u202eb\x1b[2J", "й" * 400])
def test_a_jobs_name_is_text_and_no_more(name: str) -> None:
    at = cab("A1 0", name=name[:80])
    sent = as_json(at.view())
    told = json.loads(sent)
    assert told["job"] == words.harmless(name[:80], 60)
    assert not set(sent) & {"\x1b", "\u202e", "\n"}


def test_what_is_sent_is_plain_json_of_the_view() -> None:
    at = cab("A1 0")
    told = json.loads(as_json(at.view()))
    assert told["turn"] == at.turn
    assert told["where"]["name"] == "B1"
    # 0 is a quarter above what is suggested: HIGH, and in.
    assert told["plan"]["cells"][-1] == ["h0<", ".>", "."]
