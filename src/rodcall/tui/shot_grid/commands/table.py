"""The shot grid's commands by the id of their action."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from rodcall.tui.shot_grid.commands.aiming import Aiming
from rodcall.tui.shot_grid.commands.leaving import Leaving
from rodcall.tui.shot_grid.commands.leaving_out import LeavingOut
from rodcall.tui.shot_grid.commands.looking import Looking
from rodcall.tui.shot_grid.commands.proving import Proving
from rodcall.tui.shot_grid.commands.punching import Punching
from rodcall.tui.shot_grid.commands.writing import Writing
from rodcall.tui.shot_grid.session import ShotSession
from rodcall.tui.widgets.wanted import Wanted


def commands(
    session: ShotSession, open: Callable[[Wanted], None], *, shown_anew: Callable[[], None], gone: Callable[[], None]
) -> Mapping[str, Callable[[], None]]:
    """What each action does.

    Args:
        session: The job as it is worked on.
        open: Asks for another page.
        shown_anew: Called when something has changed after a page was closed.
        gone: Called when the job is left.
    """
    writing, leaving_out, proving = Writing(session), LeavingOut(session), Proving(session)
    aiming = Aiming(session, open, shown_anew)
    looking = Looking(session, open, shown_anew)
    punching = Punching(session, open, proving=proving, aiming=aiming, looking=looking, shown_anew=shown_anew)
    leaving = Leaving(session, proving.check, gone)
    return {
        "again": writing.again,
        "undo": writing.undo,
        "redo": writing.redo,
        "strike": writing.strike,
        "note": writing.note,
        "photo": writing.photo,
        "leave_out": leaving_out.leave_out,
        "punch_list": punching.punch_list,
        "target": aiming.target,
        "zero": aiming.zero,
        "round": aiming.round,
        "walk": aiming.walk,
        "check": proving.check,
        "instrument": proving.instrument,
        "setup": proving.setup,
        "reference": proving.reference,
        "dig": looking.dig,
        "layout": looking.layout,
        "as_built": looking.as_built,
        "terms": looking.terms,
        "read": looking.read,
        "site": looking.site,
        "legend": looking.legend,
        "next_worst": looking.next_worst,
        "go": looking.go,
        "leave": leaving.leave,
    }
