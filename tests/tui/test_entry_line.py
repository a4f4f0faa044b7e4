"""The entry line's own mind, without any widget: no key is lost, none answers what it could not have seen."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import pytest

from rodcall.figures.next_up import Do
from rodcall.tui.shot_grid.naming import Named
from rodcall.tui.terminal.keys import Stroke
from rodcall.tui.widgets.entry_line import MOST_CHARACTERS, Chosen, Command, EntryLine, Question, Submitted
from rodcall.units import Unit, parse_height

NAMES = {"\n": "enter", "\b": "backspace", "\x1b": "escape"}


def work_off(
    line: EntryLine[Named], key: Stroke, take: Callable[[str], None], command: Callable[[Stroke], bool]
) -> None:
    """Press a key, and act on what comes of it as a screen does."""
    for outcome in line.press(key):
        match outcome:
            case Submitted(text):
                line.finish(partial(take, text))
            case Chosen(answer):
                line.finish(answer)
            case Command(pressed):
                if command(pressed):
                    line.forget_refused()
                else:
                    line.type_in(pressed)


@dataclass
class Desk:
    """A line whose readings and commands are only noted down."""

    taken: list[str] = field(default_factory=list)
    commands: list[str] = field(default_factory=list)
    refuse: str = ""
    """A reading that is refused."""
    ask_about: str = ""
    """A reading after which HIGH or LOW is asked."""
    answers: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.line: EntryLine[Named] = EntryLine()

    def keys(self, text: str, time: float = 0.0) -> None:
        for character in text:
            name = NAMES.get(character, "")
            work_off(self.line, Stroke(name, "" if name else character, time), self._take, self._command)

    def _take(self, said: str) -> None:
        if said and said == self.refuse:
            raise ValueError(f"{said} is refused")
        if said and said == self.ask_about:
            self.line.ask(self.high_or_low(said))
            return
        self.taken.append(said)

    def high_or_low(self, said: str) -> Question:
        choices = {letter: (lambda letter=letter: self.taken.append(said + letter)) for letter in "hl+-"}
        return Question("HIGH or LOW?", choices=choices)

    def _command(self, key: Stroke) -> bool:
        known = key.character in "unt*/"
        if known:
            self.commands.append(key.character)
        return known


@pytest.fixture
def desk() -> Desk:
    return Desk()


def test_forty_readings_typed_ahead_are_forty_readings(desk: Desk) -> None:
    readings = [f"-{number}" for number in range(40)]
    desk.keys("\n".join(readings) + "\n")
    assert desk.taken == readings
    assert desk.line.text == ""


def test_enter_on_an_empty_line_is_a_reading_of_nothing(desk: Desk) -> None:
    desk.keys("\n")
    assert desk.taken == [""]


def test_backspace_takes_back_one_character_and_escape_the_whole_line(desk: Desk) -> None:
    desk.keys("-3/4\b8")
    assert desk.line.text == "-3/8"
    desk.keys("\x1b")
    assert desk.line.text == ""
    desk.keys("\b\b-1\n")
    assert desk.taken == ["-1"]


def test_what_is_refused_stays_with_its_message_until_the_next_key(desk: Desk) -> None:
    desk.refuse = "3/7"
    desk.keys("3/7\n")
    assert (desk.line.text, desk.line.message, desk.taken) == ("3/7", "3/7 is refused", [])
    desk.keys("\b")
    assert desk.line.message == ""
    desk.keys("8\n")
    assert desk.taken == ["3/8"]


def test_a_letter_is_a_command_only_on_an_empty_line(desk: Desk) -> None:
    desk.keys("u")
    assert (desk.commands, desk.line.text) == (["u"], "")
    desk.keys("3u/")
    assert (desk.commands, desk.line.text) == (["u"], "3u/")


@pytest.mark.parametrize("first", "0123456789.,+-hHlLgG½⅜−")
def test_what_begins_a_reading_is_never_taken_for_a_command(first: str) -> None:
    commands: list[Stroke] = []
    line: EntryLine[Named] = EntryLine()
    work_off(line, Stroke(character=first), lambda said: None, lambda key: not commands.append(key))
    assert (line.text, commands) == (first, [])


def test_a_character_that_is_no_command_is_text(desk: Desk) -> None:
    desk.keys("w")
    assert (desk.commands, desk.line.text) == ([], "w")


def test_a_command_clears_the_message_of_the_one_before(desk: Desk) -> None:
    desk.line.message = "nothing to undo"
    desk.keys("n")
    assert desk.line.message == ""


# -- questions ----------------------------------------------------------------------------------------------


def test_high_or_low_is_one_key_and_then_the_line_is_empty(desk: Desk) -> None:
    desk.ask_about = "3/8"
    desk.keys("3/8\n")
    assert desk.line.question is not None
    assert desk.line.question.prompt == "HIGH or LOW?"
    desk.line.seen(1.0)
    desk.keys("L", time=2.0)
    assert (desk.taken, desk.line.question, desk.line.text) == (["3/8l"], None, "")


def test_keys_typed_before_the_question_was_seen_wait_and_are_then_worked_off_in_order(desk: Desk) -> None:
    desk.ask_about = "3/8"
    desk.keys("3/8\n-1\n-2\n", time=1.0)
    assert (desk.taken, desk.line.ahead) == ([], 6)
    desk.line.seen(5.0)
    desk.keys("-", time=4.0)
    assert desk.taken == []
    desk.keys("h", time=6.0)
    assert desk.taken == ["3/8h", "-1", "-2"]
    assert (desk.line.ahead, desk.line.text) == (0, "-")


def test_an_unsigned_reading_among_those_typed_ahead_stops_the_rest_again(desk: Desk) -> None:
    desk.ask_about = "3/8"
    desk.keys("3/8\n3/8\n-2\n", time=1.0)
    desk.line.seen(2.0)
    desk.keys("h", time=3.0)
    assert desk.taken == ["3/8h"]
    assert desk.line.question is not None
    desk.line.seen(4.0)
    desk.keys("l", time=5.0)
    assert desk.taken == ["3/8h", "3/8l", "-2"]


def test_a_question_counts_as_seen_from_the_first_time_it_was(desk: Desk) -> None:
    desk.ask_about = "3/8"
    desk.keys("3/8\n")
    desk.line.seen(1.0)
    desk.line.seen(9.0)
    desk.keys("l", time=2.0)
    assert desk.taken == ["3/8l"]


def test_escape_gives_a_question_up_and_leaves_the_reading_to_be_mended(desk: Desk) -> None:
    desk.ask_about = "3/8"
    desk.keys("3/8\n")
    desk.line.seen(1.0)
    desk.keys("\x1b", time=2.0)
    assert (desk.line.question, desk.line.text, desk.taken) == (None, "3/8", [])
    desk.keys("l\n", time=3.0)
    assert desk.taken == ["3/8l"]


def test_a_key_that_is_no_answer_is_told_which_are(desk: Desk) -> None:
    desk.line.ask(desk.high_or_low("3"))
    desk.line.seen(1.0)
    desk.keys("q", time=2.0)
    assert desk.line.message == "one of: h  l  +  -   (Esc or * cancels)"
    assert desk.line.question is not None
    desk.keys("h", time=3.0)
    assert (desk.taken, desk.line.message) == (["3h"], "")


def test_on_the_numeric_pad_a_star_takes_the_line_back(desk: Desk) -> None:
    desk.keys("-3/7*-3/8")
    assert desk.line.text == "-3/8"
    desk.keys("\n")
    assert desk.taken == ["-3/8"]


def test_a_star_gives_up_a_question_once_nothing_is_typed(desk: Desk) -> None:
    desk.line.ask(Question("check", desk.taken.append))
    desk.keys("12*")
    assert (desk.line.text, desk.line.question is None) == ("", False)
    desk.keys("*")
    assert desk.line.question is None
    desk.line.ask(desk.high_or_low("3"))
    desk.line.seen(1.0)
    desk.keys("*", time=2.0)
    assert (desk.line.question, desk.taken) == (None, [])


def test_whoever_types_letters_has_an_esc_and_means_the_star(desk: Desk) -> None:
    desk.line.ask(Question("note", desk.taken.append))
    desk.keys("2 by 4 *")
    assert desk.line.text == "2 by 4 *"


def test_a_star_that_is_an_answer_is_one(desk: Desk) -> None:
    desk.line.ask(Question("take it?", choices={"*": lambda: desk.taken.append("*")}))
    desk.line.seen(1.0)
    desk.keys("*", time=2.0)
    assert desk.taken == ["*"]


def test_an_answer_that_is_refused_gives_the_line_back_with_its_text(desk: Desk) -> None:
    def refuse() -> None:
        raise ValueError("the disk says no")

    desk.keys("5")
    desk.line.ask(Question("sure?", choices={"y": refuse}))
    desk.line.seen(1.0)
    desk.keys("y", time=2.0)
    assert (desk.line.text, desk.line.message) == ("5", "the disk says no")


def test_a_text_question_takes_what_was_typed_ahead_of_it(desk: Desk) -> None:
    heard: list[str] = []
    desk.line.ask(Question("note", heard.append))
    desk.keys("hub u/s\n-1\n")
    assert heard == ["hub u/s"]
    assert desk.taken == ["-1"]


def test_a_text_question_has_its_own_text_and_escape_leaves_the_line_as_it_was(desk: Desk) -> None:
    desk.keys("-3")
    desk.line.ask(Question("note", desk.taken.append))
    assert desk.line.text == ""
    desk.keys("wet\x1b")
    assert (desk.line.question, desk.line.text) == (None, "-3")


def test_one_answer_may_ask_further(desk: Desk) -> None:
    heard: list[str] = []
    second = Question("how high?", heard.append)

    def first(name: str) -> None:
        heard.append(name)
        desk.line.ask(second)

    desk.line.ask(Question("its name?", first))
    desk.keys("BM1\n")
    assert desk.line.question is second
    desk.keys("-4\n")
    assert heard == ["BM1", "-4"]
    assert desk.line.question is None


def test_a_refused_answer_to_a_text_question_leaves_the_line_empty_with_the_reason(desk: Desk) -> None:
    def refuse(text: str) -> None:
        if text == "ZERO":
            raise ValueError("ZERO is known already")
        desk.taken.append(text)

    desk.line.ask(Question("its name?", refuse))
    desk.keys("ZERO\n")
    assert (desk.line.text, desk.line.message) == ("", "ZERO is known already")
    desk.keys("BM\n")
    assert desk.taken == ["BM"]


# -- limits -------------------------------------------------------------------------------------------------


def test_the_line_holds_no_more_than_an_entry_does(desk: Desk) -> None:
    desk.line.paste("9" * 10_000)
    desk.keys("9")
    assert len(desk.line.text) == MOST_CHARACTERS


def test_a_paste_stands_behind_what_was_typed(desk: Desk) -> None:
    desk.keys("-")
    desk.line.paste("3/8")
    desk.keys("\n")
    assert desk.taken == ["-3/8"]


def test_a_paste_is_no_answer_to_a_question_of_one_key(desk: Desk) -> None:
    desk.line.ask(desk.high_or_low("3"))
    desk.line.seen(1.0)
    desk.line.paste("h")
    assert (desk.taken, desk.line.text) == ([], "")


def test_a_key_that_types_nothing_changes_nothing(desk: Desk) -> None:
    desk.keys("-3")
    work_off(desk.line, Stroke(name="f7"), desk.taken.append, lambda key: False)
    assert desk.line.text == "-3"


# -- where a reading goes -----------------------------------------------------------------------------------


@dataclass
class Walker:
    """A line beside names that move on, as they do under a crew."""

    at: int = 0
    taken: list[tuple[int | None, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.line: EntryLine[Named] = EntryLine()

    def _take(self, said: str) -> None:
        if said == "3/7":
            raise ValueError("sevenths")
        self.taken.append((self.line.meant_for.spot if self.line.meant_for else None, said))

    def keys(self, text: str) -> None:
        for character in text:
            name = NAMES.get(character, "")
            self.line.names = Named(Do.SHOOT, self.at)
            work_off(self.line, Stroke(name, "" if name else character), self._take, lambda key: False)


def test_a_reading_is_meant_for_what_was_named_at_its_first_character() -> None:
    crew = Walker(at=3)
    crew.keys("-")
    crew.at = 4
    crew.keys("1\n-2\n")
    assert crew.taken == [(3, "-1"), (4, "-2")]


def test_an_emptied_line_is_meant_anew() -> None:
    for emptied in ("\x1b", "\b\b"):
        crew = Walker(at=3)
        crew.keys(f"-1{emptied}")
        crew.at = 4
        crew.keys("-2\n")
        assert crew.taken == [(4, "-2")]


def test_a_refused_reading_that_is_mended_stays_where_it_was_and_one_that_replaces_it_is_meant_anew() -> None:
    crew = Walker(at=3)
    crew.keys("3/7\n")
    crew.at = 4
    crew.keys("\b8\n3/7\n")
    crew.at = 5
    crew.keys("-2\n")
    assert crew.taken == [(3, "3/8"), (5, "-2")]


def test_pasted_text_begins_a_reading_like_a_character() -> None:
    crew = Walker(at=3)
    crew.line.names = Named(Do.SHOOT, crew.at)
    crew.line.paste("-3/8")
    crew.at = 4
    crew.keys("\n")
    assert crew.taken == [(3, "-3/8")]


def test_an_unsigned_answer_is_mended_by_a_letter_and_any_other_refused_one_is_replaced() -> None:
    crew = Walker()
    answers: list[str] = []

    def take(said: str) -> None:
        parse_height(said, Unit.IN)
        answers.append(said)

    crew.line.ask(Question("how high?", take))
    crew.keys("4\nh\n")
    crew.line.ask(Question("how high?", take))
    crew.keys("4/7\n-2\n")
    crew.line.ask(Question("how high?", take))
    crew.keys("4\n-3\n")
    assert answers == ["4h", "-2", "-3"]


def test_a_reading_typed_to_a_question_that_it_does_not_answer_is_a_reading(desk: Desk) -> None:
    heard: list[str] = []
    desk.line.ask(Question("its name?", heard.append, is_reading=lambda said: said.startswith("-")))
    desk.keys("-1\n-2\n")
    assert (desk.taken, heard, desk.line.question, desk.line.text) == (["-1", "-2"], [], None, "")


@pytest.mark.parametrize("choices", ["yn", "ynh"], ids=["", "a letter of a reading among the answers"])
def test_a_reading_typed_where_one_key_was_asked_for_is_a_reading(desk: Desk, choices: str) -> None:
    """Its Enter is not an answer either, where Enter would be one."""
    answers = {key: (lambda: desk.answers.append("?")) for key in (*choices, "enter")}
    desk.line.ask(Question("sure?", choices=answers, is_reading=lambda said: said.startswith("-")))
    desk.line.seen(1.0)
    desk.keys("-1h\n-2\n", time=2.0)
    assert (desk.taken, desk.answers, desk.line.question, desk.line.text) == (["-1h", "-2"], [], None, "")


@pytest.mark.parametrize(
    ("typed", "taken", "answers"), [("2\n", [], ["2"]), ("2.31\n", ["2.31"], []), ("y", [], ["y"])]
)
def test_an_answer_that_may_begin_a_reading_waits_for_enter(
    desk: Desk, typed: str, taken: list[str], answers: list[str]
) -> None:
    """By a rod 2.31 is a reading, and its 2 must not answer `1 working 2 final`."""
    choices = {key: (lambda key=key: desk.answers.append(key)) for key in ("1", "2", "y")}
    desk.line.ask(Question("which?", choices=choices, is_reading=lambda said: len(said) >= 3, waits="0123456789"))
    desk.line.seen(1.0)
    desk.keys(typed, time=2.0)
    assert (desk.taken, desk.answers, desk.line.question, desk.line.text) == (taken, answers, None, "")


def test_an_answer_that_waits_says_so_until_more_is_typed(desk: Desk) -> None:
    desk.line.ask(Question("which?", choices={"2": lambda: None}, is_reading=lambda said: True, waits="0123456789"))
    desk.line.seen(1.0)
    desk.keys("2", time=2.0)
    assert desk.line.message == "press Enter to answer 2"
    desk.keys(".", time=3.0)
    assert desk.line.message == ""


def test_digits_typed_where_one_key_was_asked_for_can_be_taken_back(desk: Desk) -> None:
    answers = {"y": lambda: desk.answers.append("y"), "enter": lambda: desk.answers.append("enter")}
    question = Question("sure?", choices=answers, is_reading=lambda said: said.startswith("-"))
    desk.line.ask(question)
    desk.line.seen(1.0)
    desk.keys("-12\b", time=2.0)
    assert (desk.line.text, desk.line.question) == ("-1", question)
    desk.keys("\x1b5\n", time=2.0)
    assert (desk.line.text, desk.line.message, desk.line.question) == ("", "5 is not an answer", question)
    desk.keys("y", time=2.0)
    assert (desk.answers, desk.taken, desk.line.question) == (["y"], [], None)


def test_a_blank_alone_begins_nothing() -> None:
    """A glove on the space bar must not keep the next key from being a command."""
    pressed: list[str] = []

    def command(key: Stroke) -> bool:
        pressed.append(key.character)
        return key.character != " "

    line: EntryLine[Named] = EntryLine()
    work_off(line, Stroke(character=" "), lambda _: None, command)
    work_off(line, Stroke(character="t"), lambda _: None, command)
    assert (line.text, pressed[-1]) == ("", "t")
