"""Reading age of English text: the Flesch-Kincaid grade level, and the sentences that it counts.

Grade = 0.39 x words / sentences + 11.8 x syllables / words - 15.59 (Kincaid, Fishburne, Rogers and Chissom, Derivation
of New Readability Formulas, US Navy, Research Branch Report 8-75, 1975). A sentence ends at a full stop, a question or
exclamation mark, and at the end of a paragraph or of a list's item: colons and semicolons end none, which is the
strict way. Syllables are counted by groups of vowels, without a silent e.
"""

from __future__ import annotations

import re

_CODE = re.compile(r"```.*?```", re.DOTALL)
_NOT_PROSE = re.compile(r"^\s*(\||#|<!--|!\[|```|\[)")
_LINK = re.compile(r"\[([^\]]*)\]\([^)]*\)")
_SPELLED = re.compile(r"`[^`]*`|\*\*|\*|_")
_END = re.compile(r"[.?!](?=\s|$)")
_WORD = re.compile(r"[A-Za-z]+(?:['-][A-Za-z]+)*")
_SPOKEN = ("le", "ted", "ded", "ses", "ces", "xes", "zes", "ches", "shes", "ges")
"""Endings whose e is spoken."""

_VOWELS = re.compile(r"[aeiouy]+")


def prose(markdown: str) -> list[str]:
    """Paragraphs and items of lists, without code, tables, headings and pictures; spelled names become one word."""
    blocks: list[str] = []
    going_on = False
    for line in _CODE.sub("\n", markdown).splitlines():
        if not line.strip() or _NOT_PROSE.match(line):
            going_on = False
            continue
        item = re.match(r"\s*(?:[-*]|\d+\.)\s+(.*)", line)
        text = item[1] if item else line.strip()
        if item or not going_on:
            blocks.append(text)
        else:
            blocks[-1] += f" {text}"
        going_on = True
    return [_LINK.sub(r"\1", _SPELLED.sub(lambda found: " it " if "`" in found[0] else "", each)) for each in blocks]


def sentences(text: str) -> list[list[str]]:
    """The words of each sentence."""
    return [words for part in _END.split(text) if (words := _WORD.findall(part))]


def syllables(word: str) -> int:
    """At least one."""
    word = re.sub(r"[^a-z]", "", word.lower())
    count = len(_VOWELS.findall(word))
    silent = len(word) > 3 and word.endswith(("e", "es", "ed")) and not word.endswith(_SPOKEN)
    return max(1, count - silent)


def grade(markdown: str) -> float:
    """The school year in the United States that reads it with ease."""
    spoken = [each for block in prose(markdown) for each in sentences(block)]
    words = [word for each in spoken for word in each]
    return 0.39 * len(words) / len(spoken) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
