"""A page of the manual as Markdown: its file with the generated parts in their places."""

from __future__ import annotations

import re
from difflib import get_close_matches
from importlib import import_module, resources
from typing import TYPE_CHECKING

from rodcall.i18n import say, spoken
from rodcall.manual.topics import Topic, topics

if TYPE_CHECKING:
    import click

PART = re.compile(r"^<!-- (?P<kind>[a-z-]+)(?: (?P<which>[a-z-]+))? -->$", re.MULTILINE)
"""A line of a page that a part takes the place of, such as `<!-- keys shots -->`."""


class ManualError(LookupError):
    """No page on that topic; one line."""


def list_of_topics() -> str:
    """The topics with a line each, as Markdown."""
    rows = "".join(f"| {topic.name} | {say(topic.title)}: {say(topic.about)} |\n" for topic in topics())
    head = say("The manual")
    how = say("One topic: rodcall manual TOPIC.")
    return f"# {head}\n\n{how}{_in_english()}\n\n| | |\n| --- | --- |\n{rows}"


def page(name: str, commands: click.Group) -> str:
    """The page on a topic, as Markdown.

    Args:
        name: The topic.
        commands: The command line, whose commands and options the pages list.

    Raises:
        ManualError: when there is no such topic.
    """
    topic = _topic(name)
    return f"# {say(topic.title)}{_in_english()}\n\n{filled(source(topic), commands)}"


def source(topic: Topic) -> str:
    """A page as it stands in its file, before its generated parts are filled in."""
    if topic.name == "checks":
        # Made by a module of its own, which is loaded only for this page.
        made = import_module("rodcall.manual.checks").checks_page()
        assert isinstance(made, str)
        return made
    return (resources.files("rodcall.manual") / "pages" / f"{topic.name}.md").read_text("utf-8")


def filled(text: str, commands: click.Group) -> str:
    """The text with every part that follows from the code in its place.

    Raises:
        KeyError: when it asks for a part that nothing makes.
    """
    from rodcall.manual.parts import PARTS

    return PART.sub(lambda found: PARTS[found["kind"]](found["which"] or "", commands).strip("\n"), text)


def _topic(name: str) -> Topic:
    known = {topic.name: topic for topic in topics()}
    if name.lower() in known:
        return known[name.lower()]
    meant = get_close_matches(name.lower(), known, 1, 0.5) or [each for each in known if name.lower() in each]
    if meant:
        raise ManualError(say("no topic {name}; did you mean {topic}?", name=repr(name), topic=meant[0]))
    raise ManualError(say("no topic {name}; rodcall manual lists them", name=repr(name)))


def _in_english() -> str:
    """Where another language is spoken: what of the pages is not in it."""
    return "" if spoken() == "en" else f"\n\n{say('Running text is in English; lists that the program makes are not.')}"
