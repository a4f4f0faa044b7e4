"""How figures are said: the trade's words for heights, deviations and the rod, and text made harmless to show.

Screens, sheets and shell all speak through this, so that they say the same.
"""

from __future__ import annotations

import unicodedata
from fractions import Fraction

from rodcall.book.model.entries import Readings
from rodcall.book.model.job import Job
from rodcall.figures.earthwork.dirt import Dirt
from rodcall.figures.ground.drainage import Run
from rodcall.figures.summary import THE_ZERO, Summary
from rodcall.i18n import counted, phrase, say
from rodcall.units import FOOT, INCH, MM, M, Unit, in_words, write
from rodcall.units.quantities import CUBIC_UNITS, FOOT_M

NOTHING = "-"
"""What stands where there is nothing to say."""

UNIT_WORDS = {Unit.IN: phrase("inches"), Unit.FT: phrase("feet"), Unit.MM: "mm", Unit.CM: "cm", Unit.M: "m"}
WAY_WORDS = {
    Readings.HEIGHT: phrase("heights"),
    Readings.ROD: phrase("plain rod"),
    Readings.DIRECT_ROD: phrase("direct rod"),
}


def unit_word(unit: Unit) -> str:
    """A unit of heights in words: `inches`, `mm`."""
    return say(UNIT_WORDS[unit])


def reading_words(unit: Unit, readings: Readings) -> str:
    """How readings are taken: `heights, inches`, `plain rod, feet`."""
    return f"{say(WAY_WORDS[readings])}, {unit_word(unit)}"


def height(job: Job, nm: int | None, *, mark: bool = False) -> str:
    """A height exactly as it counts: `-1-3/8`, `+0.04`, `0`."""
    return NOTHING if nm is None else write(nm, job.heights, mark=mark)


def level(summary: Summary, nm: int | None, *, mark: bool = False) -> str:
    """A height of a place as it is told: above the zero, or as an elevation where the term `heights-as` asks for it."""
    told_from = summary.datum.told_from_nm
    if nm is None or told_from is None:
        return height(summary.job, nm, mark=mark)
    return elevation(summary.job, nm + told_from, mark=mark)


def elevation(job: Job, nm: int | Fraction | float, *, mark: bool = False) -> str:
    """An elevation: feet to the hundredth or metres to the millimetre, rounded half to even."""
    unit, step = (Unit.FT, FOOT // 100) if is_imperial(job) else (Unit.M, MM)
    exact = Fraction(nm) if isinstance(nm, float) else nm
    return write(exact, unit, step=step, sign=False, mark=mark)


def rounded_level(summary: Summary, value: int | Fraction | float | None, *, mark: bool = False) -> str:
    """A height that was worked out, told as `level` tells one."""
    told_from = summary.datum.told_from_nm
    if value is None or told_from is None:
        return rounded(summary.job, value, mark=mark)
    return elevation(summary.job, value + told_from, mark=mark)


def level_words(summary: Summary, nm: int) -> str:
    """A height in words: `LOW 1-3/8`, or `812.31` where elevations are told."""
    return grade_words(summary.job, nm) if summary.datum.told_from_nm is None else level(summary, nm)


def rounded_level_words(summary: Summary, value: int | Fraction | float) -> str:
    """A height that was worked out, in words, or its elevation."""
    told_from = summary.datum.told_from_nm
    return rounded_words(summary.job, value) if told_from is None else rounded_level(summary, value)


def rounded(job: Job, value: int | Fraction | float | None, *, mark: bool = False) -> str:
    """A height that was worked out, at the job's reading step."""
    if value is None:
        return NOTHING
    exact = Fraction(value) if isinstance(value, float) else value
    return write(exact, job.heights, step=job.step, mark=mark)


def rounded_words(job: Job, value: int | Fraction | float) -> str:
    """The same in words: `LOW 3/8`."""
    exact = Fraction(value) if isinstance(value, float) else value
    return in_words(exact, job.heights, step=job.step)


def difference(job: Job, nm: int | None) -> str:
    """A height minus a target: exact on the reading step, else to the finest mark that means anything."""
    if nm is None:
        return NOTHING
    return write(nm, job.heights, step=None if nm % job.step == 0 else FINEST[job.heights])


FINEST = {
    Unit.IN: INCH // 64,
    Unit.FT: FOOT // 1000,
    Unit.MM: MM // 10,
    Unit.CM: MM // 10,
    Unit.M: MM // 10,
}
"""Below this nobody reads or digs; a target that slopes lies between the marks almost everywhere."""


def rod(job: Job, nm: int | None) -> str:
    """A rod reading: no sign, with its mark."""
    return NOTHING if nm is None else write(nm, job.heights, sign=False, mark=True)


def grade_words(job: Job, nm: int) -> str:
    """A height in words: `LOW 1-3/8`, `HIGH 0.04`, `ON GRADE`."""
    return in_words(nm, job.heights)


def work_words(job: Job, deviation: int | None) -> str:
    """What a deviation asks for: `fill 7/8`, `cut 1/4`, `on target`."""
    if deviation is None:
        return ""
    if deviation == 0:
        return say("on target")
    by = difference(job, abs(deviation)).removeprefix("+")
    return say("cut {by}", by=by) if deviation > 0 else say("fill {by}", by=by)


def stake_words(job: Job, deviation: int | None) -> str:
    """The same as it is written on a stake: `F 7/8`, `C 1/4`, `target`."""
    if deviation is None:
        return ""
    by = difference(job, abs(deviation)).removeprefix("+")
    return f"{stake_letter(deviation > 0)} {by}" if deviation else say("target")


def stake_letter(cut: bool) -> str:
    """Cut or fill in one letter, as on a stake and on a map."""
    return "C" if cut else say("F", "fill, on a stake")


def slide(summary: Summary) -> str:
    """Which way the receiver goes on the rod: a LOWER target slides it UP."""
    if summary.target is None:
        return NOTHING
    offset = summary.target.offset_nm
    if offset == 0:
        return say("stays")
    by = write(abs(offset), summary.job.heights, sign=False, mark=True)
    return say("UP {by}", by=by) if offset < 0 else say("DOWN {by}", by=by)


def drop_words(summary: Summary) -> str:
    """What the suggested target costs because it lies lower: `1/4 below the average, 3.1 yd3 more cut`."""
    dirt, suggested, average = summary.dirt, summary.suggested, summary.average_above_slope
    if dirt is None or suggested is None or average is None:
        return ""
    more = dirt.relief.at(suggested * 1e-9).cut - dirt.relief.at(float(average) * 1e-9).cut
    by = rounded(summary.job, average - suggested).removeprefix("+")
    return say("{by} below the average, {volume} more cut", by=by, volume=volume(summary.job, more))


def tape(job: Job, nm: int) -> str:
    """A distance as one tapes it off: feet and inches to the half inch, or metres to the centimetre."""
    return write(nm, Unit.IN if is_imperial(job) else Unit.M, step=tape_step(job), sign=False, mark=True)


def tape_step(job: Job) -> int:
    """To what a tape is read: the half inch or the centimetre, nanometres."""
    return FOOT // 24 if is_imperial(job) else M // 100


def pad_words(job: Job) -> str:
    """The pad's size, as one tapes it off."""
    return say("{length} out x {width} across", length=tape(job, job.length), width=tape(job, job.width))


def grid_words(job: Job) -> str:
    """How many shots away and across, and how far in from the edge the outermost lie."""
    told = say("{along} out x {across} across", along=job.along, across=job.across)
    return say("{grid}, {inset} in from the edge", grid=told, inset=tape(job, job.inset)) if job.inset else told


def volume(job: Job, m3: float | None, *, sign: bool = False) -> str:
    """A volume in yd3 or m3, as the job's heights are in feet or metres, to a tenth; `<0.1 yd3` is a little."""
    if m3 is None:
        return NOTHING
    unit = cubic_unit(job)
    shown = m3 / CUBIC_UNITS[unit]
    if shown < 0.05 and m3 > 1e-6 and not sign:
        return f"<0.1 {unit}"
    return f"{shown:{'+' if sign else ''}.1f} {unit}".replace("-0.0 ", "0.0 ")


def area(job: Job, m2: float) -> str:
    """An area in ft2 or m2, as the job's heights are in feet or metres."""
    return f"{m2 / FOOT_M**2:,.0f} ft2" if is_imperial(job) else f"{m2:,.1f} m2"


def volume_number(job: Job, m3: float) -> str:
    """A volume without its unit, where that stands beside it."""
    return volume(job, m3).removesuffix(f" {cubic_unit(job)}")


def cubic_unit(job: Job) -> str:
    """The unit of volumes: yd3 or m3, as the job's heights are in feet or metres."""
    return "yd3" if is_imperial(job) else "m3"


def spare_volume(summary: Summary, dirt: Dirt) -> str:
    """What is over or short, in volume alone: `over 3.2 yd3`."""
    left = dirt.spare
    if abs(left) < NO_DIRT_M3:
        return say("even")
    told = volume(summary.job, abs(left))
    return say("over {volume}", volume=told) if left > 0 else say("SHORT {volume}", volume=told)


def spare(summary: Summary, dirt: Dirt, m3: float | None = None) -> str:
    """What is over or short, in volume and truck loads: `over 13.2 yd3, 2 loads`."""
    left = dirt.spare if m3 is None else m3
    if abs(left) < NO_DIRT_M3:
        return say("even")
    told, part = volume(summary.job, abs(left)), dirt.spare_loose(left) < summary.terms.number("truck")
    loads = say("under a load") if part else load_words(dirt.loads(left))
    if left > 0:
        return say("over {volume}, {loads}", volume=told, loads=loads)
    return say("SHORT {volume}, {loads}", volume=told, loads=loads)


def stone(summary: Summary, dirt: Dirt) -> str:
    """Stone to order: volume in place, mass, loads and lifts."""
    order = dirt.stone
    if order is None:
        return NOTHING
    mass = say("{mass:.1f} tons", mass=order.short_tons) if is_imperial(summary.job) else f"{order.tonnes:.1f} t"
    hauled, laid = load_words(dirt.stone_loads), counted(dirt.lifts, "{number} lift", "{number} lifts")
    return say(
        "{volume} in place, {mass}, {hauled}, {laid}",
        volume=volume(summary.job, order.in_place_m3),
        mass=mass,
        hauled=hauled,
        laid=laid,
    )


def load_words(loads: int) -> str:
    """So many truck loads: `1 load`, `3 loads`."""
    return counted(loads, "{number} load", "{number} loads")


NO_DIRT_M3 = 0.005
"""Less than a shovelful: no dirt to speak of."""


def is_imperial(job: Job) -> bool:
    """True where heights are said in feet or inches."""
    return job.heights in (Unit.IN, Unit.FT)


def percent(slope: float) -> str:
    """A slope in percent with its sign."""
    return f"{100 * slope + 0.0:+.2f}%"


def slope_words(along: float, across: float) -> str:
    """A slope in words: `rises 1.00% away, falls 0.50% right`, `level`."""
    parts = [
        say(rises if rise > 0 else falls, by=abs(100 * rise))
        for rise, rises, falls in (
            (along, phrase("rises {by:.2f}% away"), phrase("falls {by:.2f}% away")),
            (across, phrase("rises {by:.2f}% to the right"), phrase("falls {by:.2f}% to the right")),
        )
        if round(abs(1e4 * rise))
    ]
    return ", ".join(parts) or say("level")


def water_words(run: Run) -> str:
    """Which way water runs, as one says it from the near edge."""
    ways = [
        {1: say("away from you"), -1: say("towards you"), 0: ""}[run.along],
        {1: say("right"), -1: say("left"), 0: ""}[run.across],
    ]
    said = say(" and ").join(way for way in ways if way)
    return say("water runs {said}", said=said) if said else say("standing water")


def zone_words(summary: Summary) -> str:
    """Where the zone with a tolerance of its own is, and what that is; empty where there is none."""
    zone = summary.zone
    if zone is None:
        return ""
    high, low = (rod(summary.job, nm) for nm in (zone.tolerance.high_nm, zone.tolerance.low_nm))
    return say("{zone}: {high} high, {low} low", zone=harmless(zone.said), high=high, low=low)


def side_words(side: str, part: str) -> str:
    """Which slope: `along`, or `left side, across` where the target has several planes."""
    return f"{say(part)}, {say(side)}" if part else say(side)


def warnings(summary: Summary) -> list[str]:
    """What the crew should know before it digs to the target in force, gravest first."""
    job = summary.job
    told = []
    for point in summary.undermined:
        at = (
            ""
            if point.name == summary.grid.name(point.index)
            else say(" at {name}", name=summary.grid.name(point.index))
        )
        by = rounded(job, abs(point.deviation_nm)).removeprefix("+")
        dug, buried = (
            phrase("{name}{at} will be dug away ({by}): write a reference off the pad"),
            phrase("{name}{at} will be buried ({by}): write a reference off the pad"),
        )
        undone = dug if point.deviation_nm > 0 else buried
        name = say(THE_ZERO) if point.name == THE_ZERO else point.name
        told.append(say(undone, name=name, at=at, by=by))
    for short in summary.shortfalls:
        told.append(
            say(
                "slope {side}: {reached} so far, {asked} agreed",
                side=side_words(short.side, short.part),
                reached=percent(short.reached),
                asked=percent(short.asked),
            )
        )
    if summary.flat_target is not None:
        told.append(
            say(
                "a slope of {slope:.2f}% does not drain on {surface}: it needs {least:g}%",
                slope=100 * summary.flat_target,
                surface=summary.terms.word("surface"),
                least=100 * summary.least_slope,
            )
        )
    return [*told, *design_warnings(summary)]


def design_warnings(summary: Summary) -> list[str]:
    """Where a shaped target itself is too flat to drain, or would hold water."""
    told = []
    for facet in summary.flat_facets:
        told.append(
            say(
                "{part}: the design slopes {slope:.2f}%, {surface} needs {least:g}% to drain",
                part=say(facet.name),
                slope=100 * facet.slope,
                surface=summary.terms.word("surface"),
                least=100 * summary.least_slope,
            )
        )
    for basin in summary.design_basins:
        told.append(
            say(
                "the design holds water at {positions}, {depth} deep at {deepest}; it runs off over {lip}",
                positions=" ".join(summary.names(basin.spots)),
                depth=rounded(summary.job, basin.depth_m * 1e9).removeprefix("+"),
                deepest=summary.grid.name(basin.deepest),
                lip=summary.grid.name(basin.spills_at),
            )
        )
    return told


def harmless(text: str, width: int | None = None) -> str:
    """Text of any origin as it may be shown: one line, no control, format or bidirectional characters.

    What cannot be shown as it is becomes a middle dot; with a width, what is too long ends in two points.
    """
    shown = (
        text
        if text.isascii() and text.isprintable()
        else "".join("·" if unicodedata.category(char)[0] == "C" or char in "\u2028\u2029" else char for char in text)
    )
    if width is not None and len(shown) > width:
        return shown[: max(width - 2, 0)] + ".."[:width]
    return shown
