"""A sheet as one web page: nothing is fetched, nothing runs, and each spot tells its story under the pointer."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape
from importlib.resources import files

from rodcall.i18n import say, spoken
from rodcall.sheets.content.blocks import (
    Beside,
    Block,
    Certificate,
    Facts,
    Pictures,
    Plan,
    Remarks,
    Sheet,
    Table,
)
from rodcall.sheets.typeset.svg import code_svg, data_address, plan_svg, strip_svg
from rodcall.wording import words

PLAN_WIDTH, PLAN_HEIGHT = 560.0, 520.0
STRIP_WIDTH = 720.0
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:"


def to_html(sheet: Sheet) -> str:
    """The whole page; the same sheet gives the same text."""
    style = (files(__package__) / "web.css").read_text("utf-8")
    title = _safe(f"{sheet.title} - {sheet.subject}")
    body = "".join(_page(sheet))
    return (
        f'<!DOCTYPE html>\n<html lang="{spoken()}">\n<head>\n<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>\n{style}</style>\n</head>\n<body>\n<main>\n{body}</main>\n</body>\n</html>\n"
    )


def _page(sheet: Sheet) -> Iterator[str]:
    if sheet.certificate is not None:
        yield from _certificate(sheet, sheet.certificate)
        yield f'<section class="annex"><h1>{_safe(say("Evidence and annex"))}</h1>\n'
    else:
        yield f"<header><h1>{_safe(sheet.title)}</h1><p>{_safe(sheet.subject)}<br>{_safe(sheet.date)}</p></header>\n"
        yield "<section>\n"
    for block in sheet.blocks:
        yield from _block(block)
    yield f'<p class="muted">{_safe(sheet.foot)}</p>\n</section>\n'


def _certificate(sheet: Sheet, told: Certificate) -> Iterator[str]:
    who = told.contractor
    logo = f'<img src="{escape(who.logo)}" alt="{_safe(who.name)}">' if who.logo else ""
    lines = "".join(f"<br>{_safe(line)}" for line in who.lines)
    report = "".join(f"<p>{_label(label)} <strong>{_safe(value)}</strong></p>" for label, value in told.report)
    yield (
        f'<header><div class="who">{logo}<p><strong>{_safe(who.name)}</strong>{lines}</p></div>'
        f'<div class="report"><h1>{_safe(sheet.title)}</h1>{report}</div></header>\n'
    )
    half = -(-len(told.facts) // 2)
    yield f'<div class="two">{_list(told.facts[:half])}{_list(told.facts[half:])}</div>\n'
    reasons = "".join(f"<li>{_safe(reason)}</li>" for reason in told.reasons)
    band = "".join(f"<div>{_label(label)}<strong>{_safe(value)}</strong></div>" for label, value in told.band)
    yield (
        f'<section class="band {told.outcome}"><p><span class="word">{_safe(told.word)}</span>'
        f"{_safe(told.sentence)}</p>"
        f'<ul>{reasons}</ul><div class="told">{band}</div></section>\n'
    )
    yield _plan(told.plan)
    if told.numbers.rows:
        yield from _block(told.numbers)
    if told.strip is not None:
        said = _safe(told.strip.said)
        yield f"<figure><figcaption>{said}</figcaption>{strip_svg(told.strip, STRIP_WIDTH)}</figure>\n"
    signatures = "".join(f"<div>{_safe(say('{role}, name and date', role=role))}</div>" for role in told.signatures)
    yield f'<div class="sign">{signatures}{code_svg(told.code)}</div>\n'
    title, digest = told.digest
    yield f'<p class="digest">{_label(title)} {_safe(digest)}</p>\n'


def _block(block: Block) -> Iterator[str]:
    match block:
        case Facts():
            yield f"<h2>{_safe(block.title)}</h2>{_list(block.rows)}\n"
        case Beside():
            yield f'<div class="two"><div>{"".join(_block(block.left))}</div>'
            yield f"<div>{''.join(_block(block.right))}</div></div>\n"
        case Remarks():
            yield f"<h2>{_safe(block.title)}</h2>" + "".join(f"<p>{_safe(line)}</p>" for line in block.lines) + "\n"
        case Table():
            yield from _table(block)
        case Plan():
            yield _plan(block)
        case Pictures():
            yield f'<h2>{_safe(block.title)}</h2><div class="photos">'
            for each in block.pictures:
                address = data_address(each.png, "image/png") if each.png else ""
                shown = f'<img src="{address}" alt="{_safe(each.caption)}">' if address else ""
                yield f"<figure>{shown}<figcaption>{_safe(each.caption)}</figcaption></figure>"
            yield "</div>\n"


def _table(table: Table) -> Iterator[str]:
    yield f"<h2>{_safe(table.title)}</h2>"
    if not table.rows:
        yield f'<p class="muted">{_safe(table.none or say("none"))}</p>\n'
        return
    sides = ["" if at in table.words_in else ' class="n"' for at in range(len(table.head))]
    head = "".join(f'<th scope="col"{side}>{_safe(name)}</th>' for side, name in zip(sides, table.head, strict=True))
    yield f"<table><thead><tr>{head}</tr></thead><tbody>\n"
    for number, row in enumerate(table.rows):
        cells = "".join(f"<td{side}>{_safe(cell)}</td>" for side, cell in zip(sides, row, strict=True))
        strong = ' class="strong"' if number in table.strong else ""
        yield f"<tr{strong}>{cells}</tr>\n"
    note = f"<p><small>{_safe(table.note)}</small></p>" if table.note else ""
    yield f"</tbody></table>{note}\n"


def _plan(plan: Plan) -> str:
    drawn = plan_svg(plan, PLAN_WIDTH, PLAN_HEIGHT).svg
    key = "".join(f'<li><i style="background:{colour}"></i>{_safe(means)}</li>' for colour, means in plan.key)
    notes = "".join(f'<li class="muted">{_safe(note)}</li>' for note in (*plan.notes, plan.north_said))
    return (
        f'<h2>{_safe(plan.title)}</h2><figure class="plan">{drawn}<figcaption><ul class="key">{key}{notes}</ul>'
        "</figcaption></figure>\n"
    )


def _list(rows: tuple[tuple[str, str], ...]) -> str:
    return f"<dl>{''.join(f'<dt>{_safe(name)}</dt><dd>{_safe(value)}</dd>' for name, value in rows)}</dl>"


def _label(text: str) -> str:
    return f'<span class="muted">{_safe(text)}</span>'


def _safe(text: str) -> str:
    return escape(words.harmless(text))
