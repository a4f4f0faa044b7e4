"""The words that stand in the page itself, by the names that its script calls them; the rest comes with each view."""

from __future__ import annotations

from rodcall.i18n import phrase

WORDS = {
    "title": phrase("Helper's page"),
    "to_hit_rod": phrase("rod reading to hit"),
    "to_hit": phrase("height to hit"),
    "read_back": phrase("read back"),
    "away": phrase("straight out"),
    "right": phrase("right"),
    "from_corner": phrase("tape from the near left corner"),
    "punch": phrase("punch list"),
    "plan": phrase("plan of the pad"),
    "heard": phrase("HEARD"),
    "lost": phrase("LOST"),
    "lost_why": phrase("No word from the cab. Do not rely on what you saw last. The page comes back by itself."),
    "wait": phrase("One moment"),
    "wait_why": phrase("Asking the cab what is next."),
    "ended": phrase("ENDED"),
    "ended_why": phrase("The cab has closed this page. To come back, scan the code in the cab again."),
    "full": phrase("FULL"),
    "full_why": phrase("Too many phones. The cab can send one away."),
    "not_known": phrase("{said} for {place} may not be written: look in the cab."),
    "key": phrase("KEY A READING"),
    "no_keys": phrase("Readings from phones are off. The cab can allow them."),
    "close": phrase("close"),
    "high": phrase("HIGH"),
    "low": phrase("LOW"),
    "enter": phrase("ENTER"),
    "back": phrase("back"),
    "clear": phrase("clear"),
    "for": phrase("for {place}"),
    "moved_on": phrase("The cab has moved on to {place}. Clear this line first."),
    "sending": phrase("sending {said} for {place}"),
    "kept": phrase("kept until the cab is back: {said} for {place}"),
    "undo": phrase("UNDO {said} at {place}"),
    "menu": phrase("menu"),
    "voice_on": phrase("voice: on"),
    "voice_off": phrase("voice: off"),
    "colours": phrase("colors"),
    "sun": phrase("sun"),
    "night": phrase("night"),
    "auto": phrase("as the phone"),
    "awake": phrase("This browser keeps the phone awake."),
    "not_awake": phrase("This browser lets the screen turn off: set a long screen timeout in the phone's settings."),
    "plain": phrase(
        "This page comes over the hotspot without encryption. Anybody on the same hotspot can read along, and could "
        "forge readings while the cab allows them. Readings are no secret, and the cab sees each one that comes from "
        "a phone."
    ),
    "no_script": phrase("This page needs JavaScript."),
}
