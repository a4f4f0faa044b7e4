"""Reasons that the program gives by itself; in the file they are these codes, whatever language was spoken."""

from __future__ import annotations

from enum import StrEnum

from rodcall.i18n import phrase, say


class OwnReason(StrEnum):
    """Why a spot was left out, or how a target was found; a code is never renamed, since books keep it."""

    RUT = phrase("rut or pile")
    TYPED = phrase("typed")
    SUGGESTED = phrase("suggested")
    AS_IT_WAS = phrase("as it was")
    BY_HAND = phrase("moved by hand")
    AVERAGE = phrase("average")
    BY_AREA = phrase("by area")
    BALANCE = phrase("balance")
    CHOSEN = phrase("chosen")
    LEVEL = phrase("level")
    SLOPES_TYPED = phrase("slopes as typed")
    SLOPES_OF_GROUND = phrase("slopes of the ground")
    BEST_FIT = phrase("balanced, best fit")
    LEAST_EARTH = "balanced, least earth"


_CODES = frozenset(OwnReason)
_SHOWN = {OwnReason.LEAST_EARTH.value: phrase("balanced, least dirt moved")}
"""Codes that people read in other words."""


def reason_words(reason: str) -> str:
    """A reason as people read it: the program's own in the language that is spoken, a person's as it was typed.

    Older books have some of the program's own in the language that was spoken then; they are shown as they are.
    """
    return say(_SHOWN.get(reason, reason)) if reason in _CODES else reason
