"""How a catalogue is compiled, found and asked: plurals, contexts, and a checkout whose `.po` was edited since."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from gettext import GNUTranslations
from io import BytesIO
from pathlib import Path

import polib
import pytest

from rodcall import i18n
from rodcall.i18n import LANGUAGES, catalogues, counted, later, later_counted, say, speaking
from rodcall.i18n.catalogues import DOMAIN
from rodcall.i18n.po import PoError, compiled
from tests import catalogue

HEAD = """msgid ""
msgstr ""
"Content-Type: text/plain; charset=UTF-8\\n"
"Plural-Forms: nplurals=3; plural=(n==1 ? 0 : n==2 ? 1 : 2);\\n"
"""
SMALL = f"""# A language of ours, with a dual.
{HEAD}
#: a.py
msgid "level"
msgstr "flat"

#: a.py
msgctxt "tool"
msgid "level"
msgstr "instrument"

#, python-brace-format
msgid "{{number}} rod"
msgid_plural "{{number}} rods"
msgstr[0] "just {{number}}"
msgstr[1] "a pair"
msgstr[2] ""
"many, "
"\\"{{number}}\\"\\n"

#, fuzzy
msgid "guessed"
msgstr "wrong"

msgid "not yet"
msgstr ""

#~ msgid "gone"
#~ msgstr "away"
"""


@pytest.fixture
def po(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    """A catalogue of a language that only this test speaks."""
    monkeypatch.setattr(catalogues, "LOCALES", tmp_path)
    monkeypatch.setattr(i18n, "LANGUAGES", {**LANGUAGES, "xx": "ours"})
    monkeypatch.setattr(i18n, "_loaded", {})
    file = tmp_path / "xx" / "LC_MESSAGES" / f"{DOMAIN}.po"
    file.parent.mkdir(parents=True)
    file.write_text(SMALL, "utf-8")
    return file


def age(file: Path, by_s: int) -> None:
    changed = file.stat().st_mtime + by_s
    os.utime(file, (changed, changed))


def test_a_word_of_two_meanings_is_told_by_its_context(po):
    with speaking("xx"):
        assert (say("level"), say("level", "tool"), say("level", "unknown")) == ("flat", "instrument", "level")
        assert (str(later("level", "tool")), str(later("level"))) == ("instrument", "flat")
    assert say("level", "tool") == "level"


def test_a_value_may_be_called_as_an_argument_is(po):
    assert say("{english} {context}", english=1, context=2) == "1 2"
    assert counted(2, "{number} {one}", "{number} {many}", many="x") == "2 x"


def test_each_number_has_the_form_that_the_language_gives_it(po):
    told = {1: "just 1", 2: "a pair", 5: 'many, "5"\n', 0: 'many, "0"\n'}
    with speaking("xx"):
        assert {number: counted(number, "{number} rod", "{number} rods") for number in told} == told
        assert {number: str(later_counted(number, "{number} rod", "{number} rods")) for number in told} == told
    assert counted(2, "{number} rod", "{number} rods") == "2 rods"


def test_what_is_not_translated_or_fuzzy_is_said_in_english(po):
    with speaking("xx"):
        assert [say(each) for each in ("guessed", "not yet", "gone", "")] == ["guessed", "not yet", "gone", ""]


def test_an_edited_catalogue_speaks_at_once_and_is_kept_compiled(po):
    with speaking("xx"):
        assert say("level") == "flat"
    mo = po.with_suffix(".mo")
    assert mo.is_file()
    po.write_text(SMALL.replace("flat", "even"), "utf-8")
    age(mo, -10)
    i18n._loaded.clear()
    with speaking("xx"):
        assert say("level") == "even"
    assert GNUTranslations(BytesIO(mo.read_bytes())).gettext("level") == "even"
    assert {file.name for file in po.parent.iterdir()} == {po.name, mo.name}


def test_a_package_has_only_what_is_compiled(po):
    po.with_suffix(".mo").write_bytes(compiled(SMALL))
    po.unlink()
    with speaking("xx"):
        assert say("level") == "flat"


def test_a_folder_that_takes_no_file_only_costs_time(po, monkeypatch):
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(tempfile, "NamedTemporaryFile", full)
    with speaking("xx"):
        assert say("level") == "flat"
    assert not po.with_suffix(".mo").exists()


def test_a_file_that_cannot_be_replaced_leaves_nothing_behind(po, monkeypatch):
    """So it is on Windows while another program reads it."""

    def held(*_: object) -> None:
        raise PermissionError(13, "held")

    monkeypatch.setattr(catalogues.os, "replace", held)
    with speaking("xx"):
        assert say("level") == "flat"
    assert list(po.parent.iterdir()) == [po]


def test_a_language_whose_file_is_lost_is_said_in_english(po):
    po.unlink()
    with speaking("xx"):
        assert say("level") == "level"


def test_a_line_that_no_catalogue_has_is_named():
    with pytest.raises(PoError, match=r"^2: msgstr flat$"):
        compiled('msgid "level"\nmsgstr flat\n')


@pytest.mark.parametrize("language", catalogue.languages())
def test_what_is_compiled_is_what_a_catalogues_own_library_reads(language, tmp_path):
    """COMPUTED by polib, both from the text and from what was compiled."""
    text = catalogue.file_of(language).read_text("utf-8")
    (tmp_path / "ours.mo").write_bytes(compiled(text))

    def known(entries: Iterable[polib.POEntry | polib.MOEntry]) -> dict[tuple[str, str, str], tuple[str, ...]]:
        return {
            (entry.msgctxt or "", entry.msgid, entry.msgid_plural): (entry.msgstr, *entry.msgstr_plural.values())
            for entry in entries
        }

    ours = known(polib.mofile(str(tmp_path / "ours.mo")))
    assert ours == known(polib.pofile(text).translated_entries())
    assert len(ours) > 1000


def test_every_language_but_english_has_a_catalogue():
    assert {*LANGUAGES} - {"en"} == {*catalogue.languages()}


def test_english_loads_no_catalogue():
    """In an interpreter of its own: a crew that speaks English is not to wait for it."""
    code = "import sys, rodcall.i18n as i; i.speak('en'); i.say('x'); print(*sys.modules)"
    told = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    assert "rodcall.i18n" in told
    assert {"gettext", "rodcall.i18n.catalogues", "rodcall.i18n.po"} & {*told} == set()


SOURCE = """
say("a"); say("b", "of a shot", value=1); say("c" if x else "d"); later("e"); phrase("f", "of a pad")
counted(n, "g", "gs"); counted(n, "h", "hs", "of a rod", number=2); x = counted_phrase("i", "is"); say(name)
Action("id", "k", "word", "help")
"""


def test_every_sentence_of_a_source_is_found_with_its_context_and_plural():
    assert {*catalogue.said_in(SOURCE)} == {
        *(catalogue.Message(each) for each in ("a", "c", "d", "e", "word", "help")),
        *(catalogue.Message("b", "", "of a shot"), catalogue.Message("f", "", "of a pad")),
        *(catalogue.Message("g", "gs"), catalogue.Message("h", "hs", "of a rod"), catalogue.Message("i", "is")),
    }


def test_updating_adds_what_is_new_takes_out_what_is_gone_and_keeps_the_rest(monkeypatch):
    now = {catalogue.Message("kept"): ["b.py"], catalogue.Message("{n} new", "{n} news"): ["a.py", "b.py"]}
    monkeypatch.setattr(catalogue, "messages", lambda: now)
    before = polib.pofile(f'{HEAD}\n#: a.py\nmsgid "kept"\nmsgstr "guardado"\n\nmsgid "gone"\nmsgstr "ido"\n')
    after = polib.pofile(catalogue.updated(before))
    assert [(entry.msgid, entry.msgstr, entry.occurrences) for entry in after] == [
        ("kept", "guardado", [("b.py", "")]),
        ("{n} new", "", [("a.py", ""), ("b.py", "")]),
    ]
    assert after[1].msgstr_plural == {0: "", 1: "", 2: ""}
    assert catalogue.updated(after) == catalogue.updated(polib.pofile(catalogue.updated(after)))


def test_a_table_fills_what_is_empty_and_tells_what_it_would_change():
    text = f'{HEAD}\nmsgid "a"\nmsgstr ""\n\nmsgid "b"\nmsgstr "be"\n\nmsgid "c"\nmsgid_plural "cs"\nmsgstr[0] ""\n'
    table = {"a": "A", "b": "B", "c": "C", "cs": "CS"}
    filled = polib.pofile(text)
    assert catalogue.fill(filled, table) == ["b"]
    assert [entry.msgstr for entry in filled] == ["A", "be", ""]
    assert filled[2].msgstr_plural == {0: "C", 1: "CS"}
    assert catalogue.fill(filled, table, anew=True) == []
    assert filled[1].msgstr == "B"
