"""The settings file: each line by itself; what is wrong is told with its place and costs nothing else."""

from __future__ import annotations

import json
import os
import tomllib
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from rodcall.cli.main import cli
from rodcall.tablet import settings
from rodcall.tablet.settings import SettingError, Settings, read, schema, settings_file, write_setting


def written(text: str) -> Path:
    path = settings_file()
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return path


def test_a_number_longer_than_python_reads_costs_its_line():
    settings, wrong = read(written(f'vibration_ms = {"9" * 5000}\ntheme = "sun"\n'))
    assert settings.theme == "sun"
    assert len(wrong) == 1
    assert wrong[0].startswith("settings, line 1: not understood")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such file")
def test_a_pipe_in_place_of_the_settings_hangs_nobody_and_stays():
    path = settings_file()
    path.parent.mkdir(parents=True, exist_ok=True)
    os.mkfifo(path)
    settings, wrong = read()
    assert settings == Settings()
    assert wrong == (f"{path} cannot be read (not a regular file); defaults are used",)
    with pytest.raises(OSError, match="not a regular file"):
        write_setting("theme", "sun")
    assert path.is_fifo()


def test_settings_that_cannot_be_read_are_not_written_over(monkeypatch):
    path = written('theme = "night"\n')

    def refused(*_: object, **__: object) -> int:
        raise PermissionError(13, "Permission denied")

    with monkeypatch.context() as patch:
        patch.setattr("rodcall.book.storage.safe_read.open_regular", refused)
        with pytest.raises(OSError, match="Permission denied"):
            write_setting("theme", "sun")
    assert path.read_text("utf-8") == 'theme = "night"\n'


def test_no_file_is_no_mistake():
    assert read() == (Settings(), ())


def test_a_line_sets_and_a_comment_does_not():
    written('# ours\nlanguage = "es"  # the helper\'s\n\n[keys]\nshots.undo = "j"\n')
    found, wrong = read()
    assert (found.language, dict(found.keys), wrong) == ("es", {"shots.undo": "j"}, ())


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ('language = "latin"', "language: must be one of en, es"),
        ("language = 3", "language: must be a text in quotes"),
        ('tongue = "es"', "no such setting: tongue"),
        ("language es", "not understood"),
        ("language = [", "not understood"),
        ("[colours]", "no such section"),
    ],
)
def test_a_wrong_line_is_told_with_its_place_and_the_others_count(line, told):
    written(f'# first\n{line}\n[keys]\nshots.undo = "j"\n')
    found, wrong = read()
    assert found.language == "en"
    assert dict(found.keys) == {"shots.undo": "j"}
    assert len(wrong) == 1
    assert wrong[0].startswith("settings, line 2: ")
    assert told in wrong[0]
    assert "\n" not in wrong[0]


def test_a_wrong_key_is_told_with_its_line_and_its_id():
    written('language = "en"\n[keys]\nshots.undo = 3\n"shots.\\nredo" = true\nshots.note = "F3"\n')
    found, wrong = read()
    assert dict(found.keys) == {"shots.note": "F3"}
    assert dict(found.key_lines) == {"shots.note": 5}
    assert [line.partition(": a key is")[0] for line in wrong] == [
        "settings, line 3: shots.undo",
        "settings, line 4: 'shots.\\nredo'",
    ]


def test_what_is_set_is_read_and_the_rest_of_the_file_stays():
    path = written('# ours\nlanguage = "en"\nnonsense here\n\n[keys]\nshots.undo = "j"\n')
    write_setting("language", "es")
    assert path.read_text("utf-8") == '# ours\nnonsense here\n\nlanguage = "es"\n[keys]\nshots.undo = "j"\n'
    assert read()[0].language == "es"


def test_what_cannot_be_is_not_written():
    with pytest.raises(SettingError, match="one of"):
        write_setting("language", "latin")
    assert not settings_file().exists()


def test_the_schema_takes_what_we_take():
    """Held against the jsonschema library; TOML read by the standard library's own reader."""
    text = 'language = "es"\n[keys]\nshots.undo = "j"\n'
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(tomllib.loads(text), schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"language": "latin"}, schema())
    json.dumps(schema())


@given(st.text(max_size=200))
def test_any_text_gives_settings_and_one_line_for_each_mistake(text):
    found, wrong = settings._understand(text)
    assert isinstance(found, Settings)
    assert all("\n" not in line for line in wrong)
    assert len(wrong) <= len(text.splitlines())


def test_the_shell_prints_a_schema_that_another_validator_accepts():
    """Held against the jsonschema library."""
    printed = CliRunner().invoke(cli, ["schema", "--settings"])
    told = json.loads(printed.output)
    jsonschema.Draft202012Validator.check_schema(told)
    jsonschema.validate({"language": "es"}, told)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({"tongue": "es"}, told)


def test_what_is_toml_is_read_as_toml():
    """A value over several lines, a quoted name, a table in one line (TOML 1.0)."""
    written('"theme" = """\\\n    sun"""\nkeys = { shots.undo = "j", "jobs.find" = "g" }\n')
    found, wrong = read()
    assert wrong == ()
    assert found.theme == "sun"
    assert dict(found.keys) == {"shots.undo": "j", "jobs.find": "g"}
    assert set(found.key_lines.values()) == {3}


def test_a_wrong_value_is_told_with_the_line_on_which_it_begins():
    written('# ours\nsound = [\n  "bell",\n]\n[keys]\nshots.undo = 3\n[colours]\nhigh = "red"\n')
    _, wrong = read()
    assert [line.split(":")[0] for line in wrong] == [f"settings, line {number}" for number in (2, 6, 7)]


def test_a_doubled_name_is_told_and_the_first_counts():
    found, wrong = read(written('theme = "sun"\ntheme = "night"\n[keys]\nshots.undo = "j"\n[keys]\njobs.find = "g"\n'))
    assert found.theme == "sun"
    assert wrong == (
        "settings, line 2: theme is already set in line 1",
        "settings, line 5: [keys] already begins in line 3",
    )


def test_a_value_over_several_lines_is_not_torn_by_a_change():
    path = written('theme = """\\\n  sun"""\n')
    with pytest.raises(SettingError, match="cannot be changed here"):
        write_setting("theme", "night")
    assert read(path)[0].theme == "sun"
