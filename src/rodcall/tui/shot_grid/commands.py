"""What the shot grid's letters do. Each asks, if it must, in the entry line, and writes one entry."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from time import time

from rodcall.book.fold.page import ZERO, PageError
from rodcall.book.model.entries import RoundKind, Walk
from rodcall.book.model.own_reasons import OwnReason
from rodcall.figures.checks.check_shots import Reason
from rodcall.figures.next_up import Do
from rodcall.figures.punch_list import Item, Kind
from rodcall.i18n import say
from rodcall.tui.shot_grid.paste import lay_out
from rodcall.tui.shot_grid.punch_commands import Punching
from rodcall.tui.widgets.asking import nothing
from rodcall.tui.widgets.entry_line import Question
from rodcall.wording import punch_list as words_punch
from rodcall.wording import words


class Commands(Punching):
    """The actions of the table `SHOT_GRID`, one method each, named `do_` and the action's id."""

    # -- striking -------------------------------------------------------------------------------------------

    def do_undo(self) -> None:
        """Strike the last entry, or all that one answer wrote."""
        self._write_together(self._screen.book.undo)

    def do_redo(self) -> None:
        """Take back what was struck last."""
        self._write_together(self._screen.book.redo)

    def do_strike(self) -> None:
        """Strike the last thing written at the cursor."""
        self._write(lambda: self._screen.book.strike_last(self._here))

    # -- the position ---------------------------------------------------------------------------------------

    def do_again(self) -> None:
        """Name a spot to be read again: the cursor's, else the next that does not fit, else the one read last."""
        screen = self._screen
        here = screen.book.page.round
        doubtful = [
            spot
            for kind in (Kind.DOES_NOT_FIT, Kind.READINGS_DISAGREE, Kind.TABLETS_DISAGREE)
            for item in screen.listed.of(kind)
            for spot in item.spots
        ]
        named = screen.named.spot if screen.named is not None else None
        if screen.named is not None and screen.named.do is Do.READ_AGAIN and doubtful:
            at = doubtful.index(named) + 1 if named in doubtful else 0
            spot: int | None = doubtful[at % len(doubtful)]
        elif named is not None and here.readings_at(named):
            spot = named
        else:
            latest = here.last if here.last is not None and here.readings_at(here.last) else None
            spot = latest if latest in doubtful or not doubtful else doubtful[-1]
        if spot is None:
            screen.line.message = say("nothing is shot yet that could be read again")
            return
        screen.naming.read_again(spot, named)
        screen.refigure(anew=False)

    def do_zero(self) -> None:
        """Call the cursor's position grade."""
        here = self._here

        def move() -> None:
            self._screen.written(self._screen.book.move_zero(here))
            self._screen.say(say("{position} is the zero", position=here))

        self._ask_choice(
            say("call {position} the zero? heights are told from it.  y or + yes, n or - no", position=here),
            {"y+": move, "n-": nothing},
        )

    # -- the job --------------------------------------------------------------------------------------------

    def do_target(self) -> None:
        """The target page; before the first shot a target can only be typed."""
        screen = self._screen
        if screen.summary.target is None or screen.summary.dirt is None:
            self._type_target()
            return
        from rodcall.tui.pages.target import Aim, TargetScreen

        def taken(aim: Aim | None) -> None:
            if aim is not None:
                plane = aim.plane
                screen.written(screen.book.aim_at(plane.offset_nm, aim.why, plane.along, plane.across))
                self._say_target()
                if len(screen.book.page.references) == 1:
                    screen.line.message = say("b writes a reference off the dig: do it before you dig")
            screen.repaint()

        screen.app.push_screen(TargetScreen(screen.summary), taken)

    def _type_target(self) -> None:
        screen = self._screen

        def take(said: str) -> None:
            if not said.strip():
                raise PageError(say("nothing can be suggested before the first shot; type one, such as -1/2"))
            screen.written(screen.book.aim(said))
            self._say_target()

        screen.line.ask(Question(say("target"), take))

    def _say_target(self) -> None:
        screen = self._screen
        target = screen.summary.target
        if target is not None:
            screen.say(
                say(
                    "TARGET {height}  receiver {slide}",
                    height=words.height(screen.book.job, target.offset_nm),
                    slide=words.slide(screen.summary),
                )
            )

    def do_note(self) -> None:
        """Write a note."""
        self._ask_text(say("note"), self._screen.book.note, said=say("note written"))

    def do_photo(self) -> None:
        """Keep a photo with the job."""
        self._ask_text(say("photo: its file, and a spot"), self._screen.book.photo, said=say("photo kept"))

    def do_round(self) -> None:
        """Begin a new round; a target that is only suggested is chosen first, since digging would move it."""
        screen = self._screen

        def begin(kind: RoundKind) -> Callable[[], None]:
            def do() -> None:
                self._write(lambda: screen.book.begin_round(kind))
                screen.say(say("ROUND {number}  {kind}", number=screen.summary.round, kind=say(str(kind))))

            return do

        def which() -> None:
            self._ask_choice(
                say("new round, all positions again:  1 working   2 final"),
                {"1w": begin(RoundKind.WORKING), "2f": begin(RoundKind.FINAL)},
            )

        def take() -> None:
            suggested = screen.summary.suggested_before_dig
            if suggested is not None:
                along, across = screen.summary.slopes
                screen.written(screen.book.aim_at(suggested, OwnReason.SUGGESTED, along, across))
            which()

        suggested = screen.summary.suggested_before_dig
        if screen.summary.chosen is not None or suggested is None:
            which()
            return
        height = words.height(screen.book.job, suggested)
        self._ask_choice(
            say("target {height} is only suggested:  1 use it   2 choose another", height=height),
            {"1y+": take, "2n-": self.do_target},
            enter=take,
        )

    def do_walk(self) -> None:
        """Change the walking order."""
        screen = self._screen

        def go(order: Walk) -> Callable[[], None]:
            return lambda: self._write(lambda: screen.book.walk(order))

        self._ask_choice(
            say("walk  1 snake: back and forth   2 every line from the left"),
            {"1s": go(Walk.SNAKE), "2l": go(Walk.LINES)},
        )

    # -- looking --------------------------------------------------------------------------------------------

    def do_dig(self) -> None:
        """The order of work."""
        from rodcall.tui.pages.dig import DigScreen

        self._screen.app.push_screen(DigScreen(self._screen.summary))

    def do_layout(self) -> None:
        """All that is taped off and keyed in, for the cursor's position."""
        from rodcall.tui.pages.layout import LayoutScreen

        self._screen.app.push_screen(LayoutScreen(self._screen.summary, self._screen.cursor))

    def do_as_built(self) -> None:
        """The verdict with all that stands behind it; from there the sheets are written."""
        from rodcall.tui.pages.proof import ProofScreen

        self._screen.app.push_screen(ProofScreen(self._screen.summary, self._export, self._issue))

    def _export(self) -> list[str]:
        """Write the sheets beside the job; what came of it, in lines."""
        export = self._screen.app.export  # type: ignore[attr-defined]
        return export(self._screen.file) if export is not None else [say("no sheets can be written from here")]

    def _issue(self) -> str:
        """Issue the certificate; why not, or nothing where it was."""
        certify = self._screen.app.certify  # type: ignore[attr-defined]
        if certify is None:
            return say("no sheets can be written from here")
        try:
            self._screen.written(certify(self._screen.file))
        except ValueError as error:
            return str(error)
        return ""

    def do_terms(self) -> None:
        """See and set the terms."""
        from rodcall.tui.pages.terms import TermsScreen

        screen = self._screen
        screen.app.push_screen(TermsScreen(screen.book, screen.written), lambda _: screen.repaint())

    def do_call_out(self) -> None:
        """Very large letters for the helper, or the grid again."""
        self._screen.calling = not self._screen.calling

    def do_overview(self) -> None:
        """All of the pad in shades, or the numbers."""
        self._screen.calling = False
        self._screen.plan.toggle_overview()

    def do_theme(self) -> None:
        """Other colours."""
        theme = self._screen.app.wear_next()  # type: ignore[attr-defined]
        self._screen.line.message = say("colours: {theme}", theme=theme)

    def do_next_worst(self) -> None:
        """To the gravest spot on the punch list, then to the next; round again after the last."""
        screen = self._screen
        steps: dict[int, Item] = {}
        for item in screen.listed.items:
            for spot in item.spots if item.kind is not Kind.NOT_SHOT else ():
                steps.setdefault(spot, item)
        if not steps:
            first = screen.listed.items[:1]
            told = [words_punch.item_words(screen.summary, item) for item in first]
            screen.line.message = told[0] if told else say("the punch list is empty")
            return
        spots = list(steps)
        at = (spots.index(screen.cursor) + 1 if screen.cursor in spots else 0) % len(spots)
        spot = spots[at]
        screen.go_to(spot)
        screen.say(words.read_back(screen.summary, spot))
        told_item = words_punch.item_words(screen.summary, steps[spot])
        screen.line.message = say("{number} of {total}: {item}", number=at + 1, total=len(spots), item=told_item)

    def do_go(self) -> None:
        """To a position by its name or its numbers: a numeric pad without arrows has no other way."""
        screen, grid = self._screen, self._screen.book.job.grid

        def go(said: str) -> None:
            if said.strip():
                screen.go_to(grid.index_said(said.strip()))

        name, numbers = grid.name(grid.size - 1), f"{grid.across}.{grid.along}"
        self._ask(say("go to which position? such as {name}, or {numbers}", name=name, numbers=numbers), go)

    def do_legend(self) -> None:
        """Explain the marks."""
        from rodcall.tui.pages.help import LegendScreen

        self._screen.app.push_screen(LegendScreen())

    def do_help(self) -> None:
        """Explain the keys."""
        from rodcall.tui.pages.help import HelpScreen

        self._screen.app.push_screen(HelpScreen(say("shot grid"), self._screen.actions))

    def do_leave(self) -> None:
        """Save what is left and leave; ask only where a check is owed or the disk refuses."""
        screen = self._screen
        kept_references = any(name != ZERO for name in screen.book.page.references)
        owed = Reason.LEAVING in screen.summary.trust.due(time(), leaving=True)
        if kept_references and owed and screen.line.question is None:
            self._ask_choice(
                say("no check shot since the last shot.  c or + checks now, q or Enter leaves"),
                {"c+": self.do_check, "q-": self._leave},
                enter=self._leave,
            )
            return
        self._leave()

    def _leave(self) -> None:
        kept = self._screen.keeper.settle()
        if not kept.trouble:
            self._go()
            return
        self._ask_choice(
            say("{state}. Leave all the same?  y or + yes, n or - no, e or * save elsewhere", state=kept.words),
            {"y+": self._go, "n-": nothing, "e*": self._save_elsewhere},
        )

    def _save_elsewhere(self) -> None:
        """Ask where to, and go on there."""
        from rodcall.book.storage.opening import JobFileError
        from rodcall.tablet.paths import file_for

        screen = self._screen
        customary = file_for(screen.book.job.name)

        def save(said: str) -> None:
            path = Path(said.strip()).expanduser() if said.strip() else customary
            path = path if path.suffix.lower() == ".json" else path.with_name(f"{path.name}.json")
            try:
                screen.keeper.save_elsewhere(path)
            except (JobFileError, RuntimeError) as error:
                raise ValueError(str(error)) from None
            screen.say(say("SAVED  {path}", path=path))

        self._ask(say("save as which file? (Enter: {path})", path=customary), save)

    # -- pasted lines ---------------------------------------------------------------------------------------

    def offer(self, lines: list[str]) -> None:
        """Show pasted lines as readings for the next positions, and take them when told to."""
        screen = self._screen
        named = screen.named.spot if screen.named is not None else None
        screen.pasted = offered = lay_out(screen.book, named, lines)

        def drop() -> None:
            screen.pasted = None

        def take() -> None:
            screen.pasted = None
            for line in offered.lines:
                screen.shot(screen.book.job.grid.index(line.position), line.said)

        first, last = offered.lines[0], offered.lines[-1]
        if offered.refused:
            bad = next(line for line in offered.lines if not line.good)
            why = f"{words.harmless(bad.said, 12)!r} {bad.shown}"
            self._ask_choice(
                say(
                    "{refused} of {lines} lines cannot be taken ({why}); Enter drops the paste",
                    refused=offered.refused,
                    lines=len(lines),
                    why=why,
                ),
                {"n-": drop},
                enter=drop,
            )
            return
        self._ask_choice(
            say(
                "{lines} readings for {first} to {last}: Enter takes them, n or - drops them",
                lines=len(lines),
                first=first.position,
                last=last.position,
            ),
            {"y+": take, "n-": drop},
            enter=take,
        )

    def _go(self) -> None:
        self._screen.app.leave(self._screen)  # type: ignore[attr-defined]
