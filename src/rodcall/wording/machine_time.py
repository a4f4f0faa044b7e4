"""The times of a job in words: shots an hour, dirt an hour, and what is left at that pace."""

from __future__ import annotations

from rodcall.figures.machine_time import Forecast, MachineTime
from rodcall.figures.summary import Summary
from rodcall.i18n import counted, say
from rodcall.wording import words

Told = list[tuple[str, str]]
"""Labels and values."""


def time_facts(summary: Summary, measured: MachineTime) -> Told:
    """What was measured, round by round and pass by pass, then the forecast; nothing where nothing was measured."""
    told = []
    for each in measured.shooting:
        if each.an_hour is not None:
            pace = say(
                "{shots} shots in {hours}, {pace:.0f} an hour",
                shots=each.shots,
                hours=_time(each.hours),
                pace=each.an_hour,
            )
            told.append((say("round {round}", round=each.round), pace))
    for work in measured.passes:
        label = say("work after round {round}", round=work.after)
        if work.counts:
            moved, pace = (words.volume(summary.job, each) for each in (work.moved_m3, work.an_hour))
            told.append(
                (label, say("{moved} cut in {hours}, {pace} an hour", moved=moved, hours=_time(work.hours), pace=pace))
            )
        elif work.hours > 0:
            told.append((label, say("{hours}: no pace, over a night or nothing cut", hours=_time(work.hours))))
    if measured.forecast is not None:
        told.append((say("left at that pace"), forecast_words(summary, measured.forecast)))
    return told


def forecast_words(summary: Summary, forecast: Forecast) -> str:
    """`12.0 yd3 to cut, 24 buckets, 2 passes, 3 h 10 min (2 h 30 min to 4 h, of 2 passes)`."""
    passes = counted(forecast.passes, "{number} pass", "{number} passes")
    told = say(
        "{left} to cut, {buckets} buckets, {passes}, {hours}",
        left=words.volume(summary.job, forecast.left_m3),
        buckets=forecast.buckets,
        passes=passes,
        hours=_time(forecast.hours),
    )
    if forecast.fewest is None or forecast.most is None:
        return say("{told} (of one pass, no spread known)", told=told)
    few, many = _time(forecast.fewest), _time(forecast.most)
    return say("{told} ({few} to {many}, of {count} passes)", told=told, few=few, many=many, count=forecast.measured)


def _time(hours: float) -> str:
    """Hours and minutes, to the minute."""
    whole, minutes = divmod(round(hours * 60), 60)
    return (
        say("{hours} h {minutes} min", hours=whole, minutes=minutes) if whole else say("{minutes} min", minutes=minutes)
    )
