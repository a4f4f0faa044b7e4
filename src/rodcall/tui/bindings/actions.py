"""The table of actions: key bindings, footer, menu and help pages come from it."""

from __future__ import annotations

from collections.abc import Mapping

from rodcall.frozen import Frozen
from rodcall.i18n import phrase, say


class Action(Frozen):
    """One thing that can be done on a screen; its words and its help are said where they are shown."""

    id: str
    """What it is called in code: the screen's method is `do_` and this."""
    key: str
    """The key that does it, as `Stroke` tells it: a character or a name."""
    words: str
    """One or two words for footer and menu."""
    help: str
    """One line for the help page and the README."""
    also: tuple[str, ...] = ()
    """Second ways, the numeric pad's among them."""

    @property
    def keys(self) -> tuple[str, ...]:
        """All keys that do it."""
        return (self.key, *self.also)


SHOT_GRID = (
    Action(
        "again", "=", "again", ("Read a spot again: one that does not fit, or the last; if two disagree, read a third.")
    ),
    Action("punch_list", "tab", "punch list", "List everything still open: what, where, and what clears it."),
    Action("undo", "u", "undo", "Undo the last entry (kept, lined out).", ("/",)),
    Action("redo", "y", "redo", "Redo what was undone last.", ()),
    Action("leave_out", "o", "leave out", "Leave this spot out (rut, pile), or mark it and others as not pad."),
    Action("strike", "x", "strike", "Undo the last entry at this spot (kept, lined out)."),
    Action("target", "t", "target", "Choose the target: see the dirt each step costs, or type a height."),
    Action("check", "c", "check", "Read a check shot: a reference again, to prove that nothing moved."),
    Action("instrument", "i", "test", "Test the laser (quarter turns, two pegs) or the machine's display."),
    Action("note", "n", "note", "Write a note into the book."),
    Action("photo", "&", "photo", "Keep a photo with the job: its file, and the spot it shows."),
    Action("setup", "s", "set-up", ("Read a backsight on a reference, after every move of the tripod (rod only).")),
    Action("reference", "b", "reference", "Write down a reference: its height above the zero."),
    Action("zero", "z", "zero", "Make this position the zero: heights are measured from it."),
    Action("round", "r", "round", "Begin a new round of shots: working or final."),
    Action("walk", "w", "walk", "Set the walking order: back and forth, or every line from the left."),
    Action("dig", "d", "dig", ("Show the order of work: which cut goes to which fill, and what is over or short.")),
    Action("layout", "p", "lay out", "Show tape distances, squareness, footprint, layers, machine offsets."),
    Action("terms", "e", "terms", "See and set the terms: dirt, stone, bucket, truck, margins and the rest."),
    Action("as_built", "a", "as-built", ("Show the verdict and its reasons; Enter there writes the as-built sheets.")),
    Action("overview", "v", "overview", "Show the whole pad, shaded; again for the numbers."),
    Action(
        "call_out",
        "j",
        "call out",
        ("Show in large letters, for the helper: next spot, last reading, rod reading to hit."),
    ),
    Action("helper", "%", "helper", "Open the helper's page: the call-out on a phone that scans a code.", ("f4",)),
    Action("next_worst", "!", "next item", ("Go to the most serious spot on the punch list, then to the next.")),
    Action("go", ";", "go to", "Go to a position by name, B3, or by number, across and out: 2.3."),
    Action("read", "<", "read in", "Read a file into the job: points, readings, a table, a surface."),
    Action("site", ":", "site", "Show the pads of this site: shared checks, dirt from one pad to another."),
    Action("theme", "f", "colours", "Change the colours: day, sun, night, sixteen, none."),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("legend", "k", "legend", "Show what the marks and colours mean."),
    Action("help", "?", "help", "Show the keys and what each does.", ("f1",)),
    Action("menu", "*", "menu", "Show all commands: by number, or part of its name."),
    Action("settings", "m", "settings", "Change the settings of this tablet."),
    Action("leave", "q", "leave", "Save and quit.", ("ctrl+q",)),
)
"""The shot grid's letters. h, l and g are missing on purpose: they begin a reading (high, low, on grade)."""

PRACTICE = (
    Action("score", "#", "score", "Show the score of each pad: mistakes, keys, seconds a shot."),
    Action("another", "@", "another", "Begin another pad: new ground, new mistakes."),
)
"""What the shot grid can do besides while it is only practice; Enter shows the score too once all is shot."""

SCORE_PAGE = (
    Action("another", "n", "another", "Begin another pad: new ground, new mistakes.", ("+",)),
    Action("back", "enter", "back", "Go back to this pad.", ("escape", "/")),
    Action("leave", "q", "leave", "Leave, and print the scores once more.", ("-", "ctrl+q")),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
)

TARGET_PAGE = (
    Action("take", "enter", "take", "Use the target shown; it is written into the book."),
    Action("leave", "escape", "leave", "Go back and keep the target as it was.", ("q", "/", "ctrl+q")),
    Action("up", "up", "higher", "Raise the target one rounding step."),
    Action("down", "down", "lower", "Lower the target one rounding step."),
    Action("leap_up", "pageup", "much higher", "Raise the target four steps.", ("right",)),
    Action("leap_down", "pagedown", "much lower", "Lower the target four steps.", ("left",)),
    Action("average", "a", "average", "Set the target to the average."),
    Action("by_area", "r", "by area", "Set the target to the average by area."),
    Action("balance", "b", "balance", "Set the target where cut and fill balance."),
    Action("suggested", "s", "suggested", "Set the target to the suggested one."),
    Action("chosen", "c", "chosen", "Go back to the target chosen before."),
    Action("slopes", "f", "slopes", "Type the slopes: along, then across."),
    Action("ground", "t", "as ground", "Use the slopes that the ground has now."),
    Action("best_fit", "m", "best fit", "Use the balanced plane that fits the ground best (least squares)."),
    Action("least_earth", "e", "least dirt", "Use the balanced plane with the least dirt moved."),
    Action("level", "v", "level", "Set no slopes."),
    Action("design", "d", "design", "Choose the shape: plane, crown, valley, ramp or dish."),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name."),
)
"""The target page's keys; a reading and Enter types a target."""

JOB_LIST = (
    Action("open", "enter", "open", "Open the job under the bar."),
    Action("new", "n", "new job", "Begin a new job.", ("+",)),
    Action("sample", "s", "samples", "Write the sample jobs here."),
    Action("practice", "p", "practise", "Practise on a made-up pad: a helper calls out (also `rodcall practice`)."),
    Action("find", "f", "find", "Find jobs by name, place or file as you type; Esc or * shows all again.", ("/",)),
    Action("archive", "a", "archive", "Move the job to the archive; in the archive, back to the list."),
    Action("other_list", "v", "archived", "List the archived jobs; again for the others."),
    Action("like", "l", "like this", "Begin a job like this one: benchmarks, set-up, limits, site."),
    Action("site", "i", "site", "Show the pads of each site: shared checks, dirt from one pad to another."),
    Action("theme", "t", "colours", "Change the colours: day, sun, night, sixteen, none."),
    Action("up", "up", "up", "Move the bar up.", ("8", "k")),
    Action("down", "down", "down", "Move the bar down.", ("2", "j")),
    Action("settings", "e", "settings", "Change the settings of this tablet.", ("=",)),
    Action("help", "?", "help", "Show the keys and what each does.", ("f1",)),
    Action("menu", "*", "menu", "Show all commands: by number, or part of its name.", ("m",)),
    Action("leave", "q", "leave", "Leave.", ("-", "escape", "ctrl+q")),
)

NEW_JOB = (
    Action("next", "enter", "next", "Go to the next field; on the last line, begin the job.", ("down", "tab")),
    Action("previous", "up", "back", "Go to the previous field.", ("shift+tab",)),
    Action(
        "choose",
        "right",
        "choose",
        "Take the next choice of a list, as + does; left or - for the one before.",
        ("left",),
    ),
    Action("menu", "*", "menu", "Show all commands of the form; to type a *, type a letter first."),
    Action("leave", "escape", "cancel", "Go back to the list; write nothing.", ("ctrl+q",)),
    Action("clear", "delete", "clear", "Empty the field."),
)

TERMS_PAGE = (
    Action("set", "enter", "set", "Set the term under the bar."),
    Action("facts", "f", "facts", "Size, counts, distances, unit, names: see and change them.", ("=",)),
    Action("up", "up", "up", "Go to the previous term.", ("8", "k")),
    Action("down", "down", "down", "Go to the next term.", ("2", "j")),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
    Action("leave", "q", "back", "Go back to the shot grid.", ("e", "-", "escape", "ctrl+q")),
)

FACTS_PAGE = (
    Action("next", "enter", "next", "Next fact; on the last line: write the changes.", ("down", "tab")),
    Action("previous", "up", "back", "Previous fact.", ("shift+tab",)),
    Action("choose", "right", "choose", "On the last line: nothing.", ("left",)),
    Action("menu", "*", "menu", "Show all commands of the form; to type a *, type a letter first."),
    Action("leave", "escape", "cancel", "Back to the terms; nothing is written.", ("ctrl+q",)),
    Action("clear", "delete", "clear", "Empty the line: the fact stays as it is."),
)

READ_PAGE = (
    Action("take", "enter", "look", "Show what the file would write; Enter again writes it, all or nothing."),
    Action("use", "u", "use as", "What the heights are: readings of this round, existing ground, or design.", ("+",)),
    Action("path", "p", "path", "Type the path of a file in another folder.", (".",)),
    Action("up", "up", "up", "Go to the previous file.", ("8", "k")),
    Action("down", "down", "down", "Go to the next file.", ("2", "j")),
    Action("page_up", "pageup", "far up", "Move half a screen up.", ("9",)),
    Action("page_down", "pagedown", "far down", "Move half a screen down.", ("3",)),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
    Action("leave", "q", "back", "Back to the list of files, then to the shot grid.", ("-", "/", "escape", "ctrl+q")),
)

SITE_PAGE = (
    Action("carry", "enter", "write checks", "Write each check shot into the jobs that it serves too.", ("+",)),
    Action("up", "up", "up", "Move up.", ("8", "k")),
    Action("down", "down", "down", "Move down.", ("2", "j")),
    Action("page_up", "pageup", "far up", "Move half a screen up.", ("9",)),
    Action("page_down", "pagedown", "far down", "Move half a screen down.", ("3",)),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
    Action("leave", "q", "back", "Go back.", ("-", "/", ":", "escape", "ctrl+q")),
)

PUNCH_PAGE = (
    Action(
        "go", "enter", "go there", ("Go to the item's first spot, or to what clears it: check, target, round, terms.")
    ),
    Action("accept", "k", "accept", "Accept suspect shots by decision, with the reason; they stay on the list."),
    Action("correct", "s", "correct", "Correct suspect shots by the check's drift; never in a final round."),
    Action("up", "up", "up", "Go to the previous item.", ("8",)),
    Action("down", "down", "down", "Go to the next item.", ("2",)),
    Action("page_up", "pageup", "far up", "Move half a screen up.", ("9",)),
    Action("page_down", "pagedown", "far down", "Move half a screen down.", ("3",)),
    Action("first", "home", "first", "Go to the most serious item.", ("7",)),
    Action("last", "end", "last", "Go to the last item.", ("1",)),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
    Action("leave", "q", "back", "Go back to the shot grid.", ("tab", "-", "/", "escape", "backspace", "ctrl+q")),
)

_LEAVE_DIG = ("d", "-", "/", "escape", "backspace", "ctrl+q")
DIG_PAGE = (
    Action("view", "enter", "moves", "Show the single moves; again for the zones.", ("m", "tab", "+")),
    Action("up", "up", "up", "Go to the previous zone or move.", ("8",)),
    Action("down", "down", "down", "Go to the next zone or move.", ("2",)),
    Action("page_up", "pageup", "far up", "Move half a screen up.", ("9",)),
    Action("page_down", "pagedown", "far down", "Move half a screen down.", ("3",)),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("first", "home", "first", "Go to the first one.", ("7",)),
    Action("last", "end", "last", "Go to the last one.", ("1",)),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name."),
    Action("leave", "q", "back", "Go back to the shot grid; stop the calculation.", _LEAVE_DIG),
)

SETTINGS_PAGE = (
    Action("next", "enter", "next", "Take what is typed and go to the next setting.", ("down", "tab")),
    Action("previous", "up", "back", "Go to the previous setting.", ("shift+tab",)),
    Action("more", "right", "more", "Take the next choice, or a larger number.", ("+",)),
    Action("less", "left", "less", "Take the previous choice, or a smaller number.", ("-",)),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
    Action("leave", "q", "back", "Go back; everything is already saved.", ("/", "escape", "ctrl+q")),
)
"""The settings page's keys; digits type a number, and in a setting that is a text every character types."""

HELPER_PAGE = (
    Action("start", "enter", "start", "Start the page at the address under the bar."),
    Action("up", "up", "up", "Go to the previous address.", ("8",)),
    Action("down", "down", "down", "Go to the next address.", ("2",)),
    Action("readings", "r", "readings", "Let phones send readings for this job, or stop that.", ("+",)),
    Action("send_away", "x", "send away", "Send a phone away; it cannot come back before another start."),
    Action("stop", "s", "stop", "Stop the page; every phone shows ENDED.", (".",)),
    Action("menu", "*", "menu", "Show all commands of this page: by number, or part of its name.", ("m",)),
    Action("leave", "q", "back", "Go back to the shot grid; keep the page on.", ("-", "/", "escape", "ctrl+q")),
)
"""The keys of the helper's page in the cab."""

MOVES = (
    (
        phrase("digits, Enter"),
        phrase("Write a reading at the named spot, then go to the next in walking order."),
    ),
    (
        phrase("arrows, tap"),
        phrase("Go to another spot; a reading goes to the spot named when you typed its first character."),
    ),
    (phrase("Enter alone"), phrase("On an empty line, show which spot is next; skip nothing.")),
    (phrase("- + h l"), phrase("Type the sign: - or l is LOW, + or h is HIGH; g or 0 is on grade.")),
    (phrase("Backspace, Esc"), phrase("Delete a character, or the whole line, before Enter.")),
    (
        phrase("* while typing"),
        phrase("Clear the line, as Esc does; again, or at a question, cancel."),
    ),
)
"""What the shot grid does with keys that are no commands."""

TABLES: Mapping[str, tuple[Action, ...]] = {
    "shots": SHOT_GRID,
    "target": TARGET_PAGE,
    "terms": TERMS_PAGE,
    "dig": DIG_PAGE,
    "punch": PUNCH_PAGE,
    "jobs": JOB_LIST,
    "form": NEW_JOB,
    "facts": FACTS_PAGE,
    "read": READ_PAGE,
    "site": SITE_PAGE,
    "settings": SETTINGS_PAGE,
    "practice": PRACTICE,
    "score": SCORE_PAGE,
    "helper": HELPER_PAGE,
}
"""The tables by the name that an action's id begins with in the settings file: `shots.undo`."""


def by_key(actions: tuple[Action, ...]) -> dict[str, Action]:
    """The actions by each of their keys."""
    return {key: action for action in actions for key in action.keys}


_CALLED = {"escape": "Esc", "pageup": "PgUp", "pagedown": "PgDn"}


_NAMES = (
    phrase("Up", "a key"),
    phrase("Down", "a key"),
    phrase("Left", "a key"),
    phrase("Right", "a key"),
    phrase("PgUp", "a key"),
    phrase("PgDn", "a key"),
    phrase("Home", "a key"),
    phrase("End", "a key"),
    phrase("Delete", "a key"),
    phrase("Backspace", "a key"),
    phrase("Space", "a key"),
)
"""Names of keys that are not the same in all languages."""


def key_name(key: str) -> str:
    """A key as it is named on a screen, in the language that is spoken."""
    name = key_words(key)
    return say(name, "a key") if name in _NAMES else name


def key_words(key: str) -> str:
    """A key as people call it: `u`, `PgUp`, `Ctrl+Q`."""
    return key if len(key) == 1 else _CALLED.get(key, "+".join(part.capitalize() for part in key.split("+")))
