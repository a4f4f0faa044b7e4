"""Files that cannot be read in: each is refused in one line, and nothing is written."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rodcall.files_in.proposal import As, Options, propose
from rodcall.files_in.text import FileInError
from rodcall.units import Unit
from tests.kit import a_book, a_job

HEAD = "point,north ft,east ft,height ft\n"
TIN = (
    '<?xml version="1.0"?><LandXML><Units><Metric linearUnit="meter"/></Units><Surfaces><Surface name="g">'
    '<Definition surfType="TIN"><Pnts><P id="1">0 0 0</P><P id="2">0 20 0</P><P id="3">20 0 0</P></Pnts>'
    "<Faces><F>1 2 3</F></Faces></Definition></Surface></Surfaces></LandXML>"
)
BOMB = (
    '<?xml version="1.0"?><!DOCTYPE LandXML [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;"><!ENTITY d "&c;&c;&c;&c;&c;&c;&c;&c;&c;&c;">]><LandXML>&d;</LandXML>'
)
OUTSIDE = '<?xml version="1.0"?><!DOCTYPE LandXML [<!ENTITY x SYSTEM "file:///etc/passwd">]><LandXML>&x;</LandXML>'

BROKEN: dict[str, bytes | str] = {
    "empty": "",
    "blanks": " \n\n \t\n",
    "only comments": "# nothing\n# here\n",
    "zeros": b"\0" * 200,
    "random": bytes(range(256)),
    "utf-16": "1,0,0,0\n".encode("utf-16"),
    "latin-1": "1,0,0,0,caf\xe9\n".encode("latin-1"),
    "torn utf-8": b"1,0,0,0,caf\xc3",
    "a picture": b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR",
    "a zip": b"PK\x03\x04\x14\0\0\0\x08\0",
    "a pdf": b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n",
    "a job": '{"format": "rodcall job", "version": 1}',
    "words": "hello there, this is no file of points\n",
    "header alone": HEAD,
    "header without north": "point,east ft,height ft,description\nA1,0,0,x\n",
    "header without height": "point,north ft,east ft,description\nA1,0,0,x\n",
    "header of two units": "point,north ft,east m,height ft\nA1,0,0,0\n",
    "no unit": "A1,0,0,0\n",
    "three columns": "A1,0,0\n",
    "two columns later": HEAD + "A1,0,0,0\nB1,0\n",
    "six columns": "A1,0,0,0,gnd,extra\n",
    "letters for a number": HEAD + "A1,0,0,0\nB1,0,20,low\n",
    "letter o": HEAD + "A1,O,0,0\n",
    "nan": HEAD + "A1,nan,0,0\n",
    "infinity": HEAD + "A1,0,inf,0\n",
    "exponent": HEAD + "A1,0,0,1e3\n",
    "underscore": HEAD + "A1,0,0,1_0\n",
    "hexadecimal": HEAD + "A1,0,0,0x1F\n",
    "two points in a number": HEAD + "A1,0,0,1.2.3\n",
    "two signs": HEAD + "A1,0,0,--1\n",
    "foreign digits": HEAD + "A1,0,0,٣\n",
    "a blank cell": HEAD + "A1,0,,0\n",
    "thousands": HEAD + 'A1,"5,000.00",0,0\n',
    "digits without end": HEAD + f"A1,{'9' * 30},0,0\n",
    "an open quotation mark": HEAD + '"A1,0,0,0\n',
    "a line without end": HEAD + f"A1,0,0,0,{'x' * 5000}\n",
    "twice at one position": HEAD + "1,0,0,0\n2,0,0,0.1\n",
    "named for another": HEAD + "B1,0,0,0\n",
    "far off": HEAD + "1,50000,20000,0\n",
    "too high": HEAD + "1,0,0,812.4\n",
    "elevations without a datum": "point,north ft,east ft,elevation ft\n1,0,0,812.4\n",
    "a time without its zone": "2026-04-18T08:00 A1 0\n",
    "a time that is none": "2026-13-40T08:00:00Z A1 0\n",
    "times backwards": "2027-04-18T08:00:00Z A1 0\n2027-04-18T07:00:00Z B1 0\n",
    "a time and nothing else": "2027-04-18T08:00:00Z\n",
    "a reading off the grid": "2027-04-18T08:00:00Z Z9 0\n",
    "a reading without a sign": "2027-04-18T08:00:00Z A1 3\n",
    "a reading that is none": "2027-04-18T08:00:00Z A1 low-ish\n",
    "a table torn": 'job,round,position,state,height mm,a,target mm,b,difference mm,c,plus/minus mm\nx,1,A1,shot,"1\n',
    "a table of another pad": "job,round,position,state,h mm,a,t mm,b,d mm,c,p mm\nx,1,Z9,shot,1,,,,,,\n",
    "a table with words": "job,round,position,state,h mm,a,t mm,b,d mm,c,p mm\nx,1,A1,shot,one,,,,,,\n",
    "a table with a short row": "job,round,position,state,h mm,a,t mm,b,d mm,c,p mm\nx,1,A1\n",
    "a table of nothing": "job,round,position,state,h mm,a,t mm,b,d mm,c,p mm\nx,1,A1,missing,,,,,,,\n",
    "torn xml": TIN[:-40],
    "not LandXML": "<html><body>hello</body></html>",
    "an entity bomb": BOMB,
    "an entity from outside": OUTSIDE,
    "an entity bomb in utf-16": BOMB.encode("utf-16"),
    "nested without end": "<LandXML>" + "<a>" * 5000,
    "no units": TIN.replace('<Units><Metric linearUnit="meter"/></Units>', ""),
    "unit unknown": TIN.replace('"meter"', '"furlong"'),
    "no surface": TIN.replace("Surface ", "Surf ").replace("</Surface>", "</Surf>"),
    "two surfaces": TIN.replace(
        "</Surface><", "</Surface>" + TIN[TIN.index("<Surface ") : TIN.index("</Surfaces>")] + "<"
    ),
    "no faces": TIN.replace("<F>1 2 3</F>", ""),
    "a face of two": TIN.replace("1 2 3", "1 2"),
    "a face of none known": TIN.replace("1 2 3", "1 2 9"),
    "a point of two numbers": TIN.replace("0 20 0", "0 20"),
    "a point that is not a number": TIN.replace("0 20 0", "0 nan 0"),
    "a point without id": TIN.replace('<P id="2">', "<P>"),
    "an id twice": TIN.replace('id="2"', 'id="1"'),
    "a surface elsewhere": TIN.replace("0 0 0<", "900 900 0<")
    .replace("0 20 0", "900 920 0")
    .replace("20 0 0", "920 900 0"),
    "a surface too high": TIN.replace(" 0</P>", " 500</P>"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_each_broken_file_is_refused_in_one_line(name: str, tmp_path: Path) -> None:
    path, said = tmp_path / "in.csv", BROKEN[name]
    path.write_bytes(said if isinstance(said, bytes) else said.encode("utf-8"))
    book = a_book(job=a_job(Unit.FT))
    with pytest.raises(FileInError) as refused:
        propose(path, book, Options(order="pneh"))
    assert "\n" not in str(refused.value)
    assert 0 < len(str(refused.value)) < 200
    assert book.entries == []


def test_there_are_fifty_kinds_and_more() -> None:
    assert len(BROKEN) >= 50


def test_a_sound_surface_is_taken(tmp_path: Path) -> None:
    """Else the broken ones prove nothing."""
    path = tmp_path / "in.xml"
    path.write_text(TIN, "utf-8")
    assert propose(path, a_book(job=a_job(Unit.FT)), Options(use=As.EXISTING)).readings


@pytest.mark.parametrize("what", ["missing", "folder"])
def test_what_is_no_file_is_refused(what: str, tmp_path: Path) -> None:
    path = tmp_path if what == "folder" else tmp_path / "none.csv"
    with pytest.raises(FileInError, match="cannot be read"):
        propose(path, a_book(), Options())


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.binary(max_size=400), st.text(alphabet="A1,.0;\t<>P&#\n -+e\"'", max_size=200).map(str.encode)))
def test_any_bytes_are_refused_or_understood(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    path = tmp_path_factory.mktemp("any") / "in.csv"
    path.write_bytes(raw)
    with suppress(FileInError):
        assert propose(path, a_book(job=a_job(Unit.FT)), Options(order="pneh", unit="ft")).shown()
