"""The one table of what can be done: key bindings, footer, menu, help page and the README's keys come from it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rodcall.i18n import phrase


@dataclass(frozen=True)
class Action:
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
    Action("again", "=", "again", "Read a spot again: one that does not fit, or the last; if two disagree, a third."),
    Action("punch_list", "tab", "punch list", "Everything still open: what it is, where, and what clears it."),
    Action("undo", "u", "undo", "Undo the last entry; it stays in the book, lined out.", ("/",)),
    Action("redo", "y", "redo", "Take the last undo back.", ()),
    Action("leave_out", "o", "leave out", "Leave this spot out (rut, pile), or mark it and others as not pad."),
    Action("strike", "x", "strike", "Strike the last entry at this spot."),
    Action("target", "t", "target", "Choose the target: see the dirt each step costs, or type a height."),
    Action("check", "c", "check", "Check shot: read a reference again to prove that nothing moved."),
    Action("instrument", "i", "test", "Test the laser (quarter turns, two pegs) or the machine's display."),
    Action("note", "n", "note", "Write a note into the book."),
    Action("photo", "&", "photo", "Keep a photo with the job: its file, and the spot it shows."),
    Action("setup", "s", "setup", "Rod only: a backsight on a reference, after every move of the tripod."),
    Action("reference", "b", "reference", "Write down a reference and its height above the zero."),
    Action("zero", "z", "zero", "Call this position grade; heights are told from it from here on."),
    Action("round", "r", "round", "Begin a new round of shots: working or final."),
    Action("walk", "w", "walk", "Walking order: snake, which turns at its end, or every line from the left."),
    Action("dig", "d", "dig", "Order of work: which highs into which lows, and what is over or short."),
    Action("layout", "p", "lay out", "Tape distances, squareness, footprint, layers, machine offsets."),
    Action("terms", "e", "terms", "Dirt, stone, bucket, truck, margins and the rest: see and set them."),
    Action("as_built", "a", "as-built", "The verdict and all behind it; Enter there writes the as-built sheets."),
    Action("overview", "v", "overview", "All of the pad at once, shaded; again for the numbers."),
    Action("call_out", "j", "call out", "Very large, for the helper: where next, what was read back, what is wanted."),
    Action("helper", "%", "helper", "The helper's page: the call-out on a phone that scans a code.", ("f4",)),
    Action("next_worst", "!", "next item", "To the gravest spot on the punch list, then to the next."),
    Action("go", ";", "go to", "To a position that you name: B3, or by number, across and away: 2.3."),
    Action("theme", "f", "colours", "Other colours: day, sun, night, sixteen, none."),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("legend", "k", "legend", "What the marks and colours mean."),
    Action("help", "?", "help", "The keys, and what each does.", ("f1",)),
    Action("menu", "*", "menu", "All commands: by number, or by letters of what is wanted."),
    Action("settings", "m", "settings", "What is set on this tablet: see and change it."),
    Action("leave", "q", "leave", "Save what is left and leave.", ("ctrl+q",)),
)
"""The shot grid's letters. h, l and g are missing on purpose: they begin a reading (high, low, on grade)."""

PRACTICE = (
    Action("score", "#", "score", "How this pad and those before it went: mistakes, keys, seconds a shot."),
    Action("another", "@", "another", "Another pad: other ground, other mistakes."),
)
"""What the shot grid can do besides while it is only practice; Enter shows the score too once all is shot."""

SCORE_PAGE = (
    Action("another", "n", "another", "Another pad: other ground, other mistakes.", ("+",)),
    Action("back", "enter", "back", "Back to this pad.", ("escape", "/")),
    Action("leave", "q", "leave", "Leave; the scores are told once more.", ("-", "ctrl+q")),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted.", ("m",)),
)

TARGET_PAGE = (
    Action("take", "enter", "take", "Take the target where it is; it is written into the book."),
    Action("leave", "escape", "leave", "Leave the target as it was.", ("q", "/", "ctrl+q")),
    Action("up", "up", "higher", "One rounding step higher."),
    Action("down", "down", "lower", "One rounding step lower."),
    Action("leap_up", "pageup", "much higher", "Four steps higher.", ("right",)),
    Action("leap_down", "pagedown", "much lower", "Four steps lower.", ("left",)),
    Action("average", "a", "average", "To the average."),
    Action("by_area", "r", "by area", "To the average by area."),
    Action("balance", "b", "balance", "To where the dirt evens out."),
    Action("suggested", "s", "suggested", "To the suggested target."),
    Action("chosen", "c", "chosen", "Back to the target chosen before."),
    Action("slopes", "f", "slopes", "Type the slopes: along, then across."),
    Action("ground", "t", "ground's", "The slopes that the ground has now."),
    Action("best_fit", "m", "best fit", "The balanced plane that fits the ground best (least squares)."),
    Action("least_earth", "e", "least earth", "The balanced plane with the least cut and fill."),
    Action("level", "v", "level", "No slopes."),
    Action("design", "d", "design", "The shape: plane, crown, valley, ramp or dish."),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted."),
)
"""The target page's keys; a reading and Enter types a target."""

JOB_LIST = (
    Action("open", "enter", "open", "Open the job under the bar."),
    Action("new", "n", "new job", "Begin a new job.", ("+",)),
    Action("sample", "s", "samples", "Write the sample jobs here."),
    Action("practice", "p", "practise", "Practise on a made-up pad: a helper calls out (also `rodcall practice`)."),
    Action("find", "f", "find", "Find jobs by name, place or file as you type; Esc or * shows all again.", ("/",)),
    Action("archive", "a", "archive", "Move the job out of the list, into the archive; there, back into the list."),
    Action("other_list", "v", "archived", "List the archived jobs; again for the others."),
    Action("theme", "t", "colours", "Other colours: day, sun, night, sixteen, none."),
    Action("up", "up", "up", "Move the bar up.", ("8", "k")),
    Action("down", "down", "down", "Move the bar down.", ("2", "j")),
    Action("settings", "e", "settings", "What is set on this tablet: see and change it.", ("=",)),
    Action("help", "?", "help", "The keys, and what each does.", ("f1",)),
    Action("menu", "*", "menu", "All commands: by number, or by letters of what is wanted.", ("m",)),
    Action("leave", "q", "leave", "Leave.", ("-", "escape", "ctrl+q")),
)

NEW_JOB = (
    Action("next", "enter", "next", "Next field; on the last line: begin the job.", ("down", "tab")),
    Action("previous", "up", "back", "Previous field.", ("shift+tab",)),
    Action(
        "choose",
        "right",
        "choose",
        "In a list: the next choice, as + does; left or - for the one before.",
        ("left",),
    ),
    Action("menu", "*", "menu", "All commands of the form; a * of your own needs a letter before it."),
    Action("leave", "escape", "give up", "Back to the list; nothing is written.", ("ctrl+q",)),
    Action("clear", "delete", "clear", "Empty the field."),
)

TERMS_PAGE = (
    Action("set", "enter", "set", "Set the term under the bar."),
    Action("facts", "f", "facts", "Size, counts, distances, unit, names: see and change them.", ("=",)),
    Action("up", "up", "up", "The term before.", ("8", "k")),
    Action("down", "down", "down", "The next term.", ("2", "j")),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted.", ("m",)),
    Action("leave", "q", "back", "Back to the shot grid.", ("e", "-", "escape", "ctrl+q")),
)

FACTS_PAGE = (
    Action("next", "enter", "next", "Next fact; on the last line: write the changes.", ("down", "tab")),
    Action("previous", "up", "back", "Previous fact.", ("shift+tab",)),
    Action("choose", "right", "choose", "On the last line: nothing.", ("left",)),
    Action("menu", "*", "menu", "All commands of the form; a * of your own needs a letter before it."),
    Action("leave", "escape", "give up", "Back to the terms; nothing is written.", ("ctrl+q",)),
    Action("clear", "delete", "clear", "Empty the line: the fact stays as it is."),
)

PUNCH_PAGE = (
    Action("go", "enter", "go there", "To the item's first spot, or to what clears it: check, target, round, terms."),
    Action("accept", "k", "accept", "Accept suspect shots by decision, with the reason; they stay on the list."),
    Action("correct", "s", "correct", "Correct suspect shots by the check's drift; never in a final round."),
    Action("up", "up", "up", "The item before.", ("8",)),
    Action("down", "down", "down", "The next item.", ("2",)),
    Action("page_up", "pageup", "far up", "Half a screen up.", ("9",)),
    Action("page_down", "pagedown", "far down", "Half a screen down.", ("3",)),
    Action("first", "home", "first", "The gravest item.", ("7",)),
    Action("last", "end", "last", "The last item.", ("1",)),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted.", ("m",)),
    Action("leave", "q", "back", "Back to the shot grid.", ("tab", "-", "/", "escape", "backspace", "ctrl+q")),
)

_LEAVE_DIG = ("d", "-", "/", "escape", "backspace", "ctrl+q")
DIG_PAGE = (
    Action("view", "enter", "moves", "The single moves; again for the zones.", ("m", "tab", "+")),
    Action("up", "up", "up", "The zone or move before.", ("8",)),
    Action("down", "down", "down", "The next zone or move.", ("2",)),
    Action("page_up", "pageup", "far up", "Half a screen up.", ("9",)),
    Action("page_down", "pagedown", "far down", "Half a screen down.", ("3",)),
    Action("copy", ">", "copy", "Copy what is shown to the clipboard."),
    Action("first", "home", "first", "The first one.", ("7",)),
    Action("last", "end", "last", "The last one.", ("1",)),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted."),
    Action("leave", "q", "back", "Back to the shot grid; stops the calculation.", _LEAVE_DIG),
)

SETTINGS_PAGE = (
    Action("next", "enter", "next", "Take what is typed, and on to the next setting.", ("down", "tab")),
    Action("previous", "up", "back", "The setting before.", ("shift+tab",)),
    Action("more", "right", "more", "The next choice, or a larger number.", ("+",)),
    Action("less", "left", "less", "The choice before, or a smaller number.", ("-",)),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted.", ("m",)),
    Action("leave", "q", "back", "Back; everything is written already.", ("/", "escape", "ctrl+q")),
)
"""The settings page's keys; digits type a number, and in a setting that is a text every character types."""

HELPER_PAGE = (
    Action("start", "enter", "start", "Start the page at the address under the bar."),
    Action("up", "up", "up", "The address before.", ("8",)),
    Action("down", "down", "down", "The next address.", ("2",)),
    Action("readings", "r", "readings", "Let phones send readings for this job, or stop that.", ("+",)),
    Action("send_away", "x", "send away", "Send a phone away; it cannot come back before another start."),
    Action("stop", "s", "stop", "Stop the page; every phone is told.", (".",)),
    Action("menu", "*", "menu", "All commands of this page: by number, or by letters of what is wanted.", ("m",)),
    Action("leave", "q", "back", "Back to the shot grid; the page stays up.", ("-", "/", "escape", "ctrl+q")),
)
"""The keys of the helper's page in the cab."""

MOVES = (
    (
        phrase("digits, Enter"),
        phrase("A reading and Enter: written at the spot named, then on to the next in walking order."),
    ),
    (
        phrase("arrows, tap"),
        phrase("Go to another spot; a reading goes where the line named when you typed its first character."),
    ),
    (phrase("Enter alone"), phrase("On an empty line: says which spot is next, and stays there.")),
    (phrase("- + h l"), phrase("The sign: - or l is LOW, + or h is HIGH; g or 0 is on grade.")),
    (phrase("Backspace, Esc"), phrase("Take back a character, or the whole line, before Enter.")),
    (
        phrase("* while typing"),
        phrase("The numeric pad's Esc: takes the line back; again, or at a question, gives up."),
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


def key_words(key: str) -> str:
    """A key as people call it: `u`, `PgUp`, `Ctrl+Q`."""
    return key if len(key) == 1 else _CALLED.get(key, "+".join(part.capitalize() for part in key.split("+")))
