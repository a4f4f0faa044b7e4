"""The topics of the manual: a name, a title, and one line that says what is in it."""

from __future__ import annotations

from importlib.util import find_spec

from rodcall.frozen import Frozen
from rodcall.i18n import phrase


class Topic(Frozen):
    """One page; title and line are said in the language spoken."""

    name: str
    """What `rodcall manual` takes, and the name of the page's file in `pages/`."""
    title: str
    about: str


_TOPICS = (
    Topic("start", phrase("Install and first steps"), phrase("install, samples, practice, where files are kept")),
    Topic("pad", phrase("A pad from start to proof"), phrase("the whole job in eight steps, by the keys")),
    Topic("cautions", phrase("Cautions"), phrase("buried services, swing radius, laser, edges, overhead lines")),
    Topic("readings", phrase("Readings"), phrase("what may be typed; signs; readings that do not fit")),
    Topic("keys", phrase("Keys"), phrase("the keys of every page, and the numeric pad alone")),
    Topic("screen", phrase("The screen"), phrase("marks, colours, call-out, sound, a terminal without UTF-8")),
    Topic(
        "check-shots", phrase("Check shots"), phrase("references, set-ups, check shots, and what to do after a bad one")
    ),
    Topic("target", phrase("Target"), phrase("suggested target, slopes, rod reading to hit")),
    Topic("dig", phrase("Dig"), phrase("order of work, dirt, stone, loads, machine offsets")),
    Topic("proof", phrase("Proof"), phrase("the punch list and the verdict read off it")),
    Topic("sheet", phrase("Sheets"), phrase("as-built sheet, blank sheet, files for other programs, digest")),
    Topic("office", phrase("Facts, drawings, sites"), phrase("change a fact, datum, files in, several pads, time")),
    Topic("helper", phrase("The helper's page"), phrase("the call-out on a phone: hotspot, readings, who gets in")),
    Topic("practice", phrase("Practice"), phrase("a made-up pad, with mistakes to catch")),
    Topic("words", phrase("Words"), phrase("what each word means here")),
    Topic("settings", phrase("Settings"), phrase("settings.toml, keys of your own, language")),
    Topic("terms", phrase("Terms of the job"), phrase("every term of a job, with its default")),
    Topic("files", phrase("Job files"), phrase("the format, the journal, seals, what may be edited")),
    Topic("recover", phrase("When something goes wrong"), phrase("crash, full disk, damaged file, two programs")),
    Topic("join", phrase("Two tablets"), phrase("join the books of one job")),
    Topic("shell", phrase("Shell commands"), phrase("every command with its options, exit statuses, completion")),
    Topic("enter", phrase("Lines for rodcall enter"), phrase("one entry a line, by example")),
    Topic("figures", phrase("Figures as JSON"), phrase("every key of figures --json; the season's table")),
    Topic("python", phrase("From Python"), phrase("read a job in a script of your own")),
    Topic("limits", phrase("Limits"), phrase("sizes, ranges, and what the program does not do")),
    Topic("windows", phrase("On Windows"), phrase("installing there, and what is untried")),
    Topic("changes", phrase("Changes"), phrase("what changed in each version")),
)
_CHECKS = Topic("checks", phrase("Published checks"), phrase("our figures beside published values"))


def topics() -> tuple[Topic, ...]:
    """All topics in the order of the list; the page of published checks where it is part of the package."""
    return (*_TOPICS, _CHECKS) if find_spec("rodcall.manual.checks") else _TOPICS
