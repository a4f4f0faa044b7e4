"""The Spanish catalogue against the code: every sentence is there, nothing more, and each takes the same values."""

from __future__ import annotations

from string import Formatter

from tests import catalogue

ENTRIES = list(catalogue.read("es"))
THE_SAME = {"final", "no", "- + h l", "{prompt} {numbered} (Enter: {usual})"}
"""Sentences that Spanish has too."""

PAIRS = [
    (english, other)
    for entry in ENTRIES
    for english, other in (
        [(entry.msgid, entry.msgstr_plural[0]), (entry.msgid_plural, entry.msgstr_plural[1])]
        if entry.msgid_plural
        else [(entry.msgid, entry.msgstr)]
    )
]


def test_the_program_says_something():
    """Else the next tests prove nothing."""
    assert len(catalogue.messages()) > 1000
    assert sum(bool(message.many) for message in catalogue.messages()) > 20


def test_every_sentence_has_its_spanish_and_no_sentence_is_left_over():
    """Beside these the places are right, and the order: `python -m tests.catalogue update` writes the form."""
    known = [catalogue.message_of(entry) for entry in ENTRIES]
    assert set(catalogue.messages()) - set(known) == set()
    assert set(known) - set(catalogue.messages()) == set()
    assert len(known) == len(set(known))
    assert [entry.msgid for entry in ENTRIES if not entry.translated()] == []
    assert catalogue.updated(catalogue.read("es")) == catalogue.file_of("es").read_text("utf-8")


def test_no_sentence_stands_once_alone_and_once_with_its_plural():
    """Gettext finds both by the English for one: the second would take the place of the first."""
    names = [(message.english, message.context) for message in catalogue.messages()]
    assert len(names) == len(set(names))


def test_spanish_takes_the_same_values_in_the_same_form():
    def values(sentence: str) -> list[tuple[str, str, str]]:
        fields = Formatter().parse(sentence)
        return sorted((name, form or "", turned or "") for _, name, form, turned in fields if name is not None)

    assert [pair for pair in PAIRS if values(pair[0]) != values(pair[1])] == []


def test_spanish_begins_and_ends_as_english_does():
    """Blanks join parts of a sentence, and a question must end as one: what follows it hangs on that."""

    def ends(sentence: str) -> tuple[bool, ...]:
        return sentence[:1] == " ", sentence[-1:] == " ", sentence.endswith("?")

    assert [pair for pair in PAIRS if ends(pair[0]) != ends(pair[1])] == []


def test_a_spanish_question_is_opened_as_often_as_it_is_closed():
    """In a legend, `!` and `?` are marks on the plan."""
    sentences = [spanish for english, spanish in PAIRS if not english.startswith("!") and " ? " not in english]
    assert len(sentences) > 1000
    assert [each for each in sentences if each.count("?") != each.count("¿")] == []


def test_one_and_several_are_said_in_two_ways():
    """A noun that follows a number agrees with it, in both languages."""
    plurals = [entry for entry in ENTRIES if entry.msgid_plural]
    alike = [
        each.msgid
        for each in plurals
        if each.msgid == each.msgid_plural or each.msgstr_plural[0] == each.msgstr_plural[1]
    ]
    assert alike == []


def test_what_is_the_same_in_spanish_is_known():
    assert {english for english, other in PAIRS if english == other and any(map(str.isalpha, english))} <= THE_SAME
