"""README and DEVELOPERS say what is there (commands, topics, rooms, dependencies) and stay short."""

from __future__ import annotations

import re
import tomllib

import pytest

from rodcall.cli.main import cli
from rodcall.manual import topics
from tests.documents import DEVELOPERS, README, TOP, written

TEXT = README.read_text("utf-8")


def section(head: str) -> str:
    """What stands under a heading, down to the next of its rank."""
    return re.split(r"^## ", TEXT.split(f"\n## {head}\n", 1)[1], maxsplit=1, flags=re.MULTILINE)[0]


def test_the_list_of_rooms_is_what_is_there():
    text = DEVELOPERS.read_text("utf-8")
    assert "<!-- rooms -->" in text
    assert written(text) == text, "write it anew: python -m tests.documents"


@pytest.mark.parametrize(("document", "lines"), [(README, 130), (DEVELOPERS, 280)], ids=["README", "DEVELOPERS"])
def test_it_can_be_read_at_one_sitting(document, lines):
    assert len(document.read_text("utf-8").splitlines()) <= lines, "the manual, or a docstring, has room for more"


@pytest.mark.parametrize("document", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_topic_command_and_file_that_it_names_is_there(document):
    text = " ".join(document.read_text("utf-8").split())
    assert set(re.findall(r"rodcall manual ([a-z]\S*?)[`;:,. ]", text)) <= {topic.name for topic in topics()}
    assert set(re.findall(r"`rodcall ([a-z]+)[ `]", text)) <= set(cli.commands)
    places = (TOP, TOP / "src" / "rodcall", TOP / "tests")
    for name in re.findall(r"`([\w/.-]+/[\w.-]*\.(?:py|md|json|po|toml))`", text):
        assert any((place / name.replace("LANGUAGE", "es")).exists() for place in places), name


def commands_of_the_readme() -> list[str]:
    return re.findall(r"```sh\n(.*?)\n```", section("Two commands for a fresh machine"), re.DOTALL)


def test_two_commands_for_a_fresh_machine_and_ci_runs_the_second():
    install, test = commands_of_the_readme()
    assert "\n" not in install + test
    assert install.startswith("python3 -m venv .venv && ")
    assert install.endswith(".venv/bin/rodcall")
    runner = (TOP / ".ci" / "run").read_text("utf-8")
    pytest_call = test.rsplit(".venv/bin/python ", 1)[1]
    assert pytest_call.startswith("-m pytest")
    assert f'"$bin/python" {pytest_call}\n' in runner
    assert "-e '.[test]'" in test
    assert "-e '.[test]'" in runner


def test_each_dependency_is_explained():
    project = tomllib.loads((TOP / "pyproject.toml").read_text("utf-8"))["project"]
    told = DEVELOPERS.read_text("utf-8").split("### Dependencies", 1)[1].split("\n## ", 1)[0]
    for wanted in (*project["dependencies"], *project["optional-dependencies"]["test"]):
        name = re.match(r"[A-Za-z0-9_.-]+", wanted)[0]
        assert f"`{name}`" in told, name
