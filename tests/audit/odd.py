"""Files that are no handout, or hardly: an audit may refuse them in one line, or read them, but never break."""

from __future__ import annotations

from pathlib import Path

ROW = 'Food,Pack,Jar,"0-1,000 ft"\nPeaches,hot,pint,20\n'
ODD: dict[str, bytes] = {
    "empty.csv": b"",
    "one-byte.csv": b"x",
    "only-blanks.csv": b" \n\n \t \n",
    "only-commas.csv": b",,,\n,,,\n,,,\n",
    "only-heads.csv": b'Food,Pack,Jar,"0-1,000 ft"\n',
    "only-titles.csv": b"Boiling-water canning\nOur county\n",
    "no-end.csv": b'Food,Pack,Jar,"0-1,000 ft\nPeaches,hot,pint,20\n',
    "ragged.csv": b"Food,Jar,Time\nPeaches\nPears,pint,20 min,,,,,,,\n,,\n",
    "nul.csv": b"Food,Jar\x00,Time\nPeaches,pint,20\n",
    "not-utf-8.csv": b"Food,Jar,Time\nP\xe9aches\xff\xfe,pint,20 min\n",
    "utf-16.csv": ROW.encode("utf-16"),
    "utf-16-no-mark.csv": ROW.encode("utf-16-le"),
    "half-bom.csv": b"\xef\xbb" + ROW.encode(),
    "old-line-ends.csv": ROW.replace("\n", "\r").encode(),
    "breaks-in-a-cell.csv": b'Food,Jar,"Time\n(minutes)\nat 1,650 ft"\n"Peaches,\nhot",pint,25\n',
    "long-cell.csv": b"Food,Jar,Time\n" + b"x" * 200_000 + b",pint,20 min\n",
    "many-columns.csv": (",".join(["Food", *(f"c{n}" for n in range(60))]) + "\n" + "1," * 60 + "\n").encode(),
    "wild-numbers.csv": b"Food,Pack,Jar,Canner,Altitude,Minutes\n"
    + b"Peaches,hot,pint,boiling water,0-1000 ft,20\n" * 12
    + "".join(
        f"Peaches,hot,pint,boiling water,0-1000 ft,{text}\n"
        for text in (
            "-20",
            "1e9",
            "nan",
            "inf",
            "20.",
            ".5",
            "1/0",
            "½",
            "\uff12\uff10",
            "\u0662\u0660",
            "0x14",
            "9" * 400,
            "=2*10",
            "#REF!",
        )
    ).encode(),
    "wild-altitudes.csv": b"Food,Pack,Jar,Altitude,Minutes\n"
    + "".join(
        f"Peaches,hot,pint,{text},20\n"
        for text in (
            "-5 ft",
            "9e99 ft",
            "3,000-1,001 ft",
            "ft",
            "0-0 ft",
            "above",
            "1-2-3 ft",
            "up to up to 5 ft",
            "∞ ft",
        )
    ).encode(),
    "many-digits.csv": (
        f"Food,Pack,Jar,Above {'9' * 400} ft,Altitude,Minutes\nPeaches,hot,pint,20,{'9' * 400} m,20\n".encode()
    ),
    "altitude-without-unit.csv": b"Food,Pack,Jar,0-1000,1001-3000\nPeaches,hot,pint,20,25\n",
    "two-times.csv": b"Boiling-water canning at 1650 ft\nFood,Pack,Jar,Time,Time\nPeaches,hot,pint,20 min,25 min\n",
    "formulas.csv": b'Food,Pack,Jar,Time\n=cmd|\' /C calc\'!A0,hot,pint,"=HYPERLINK(""x"")"\n',
    "marks.csv": "Food,Pack,Jar,\u202e0-1000 ft\nPeaches\u200b\u0301,hot,pint\ufeff,20\n".encode(),
    "surrogates.csv": b"Food\xed\xa0\x80,Jar\nPeaches,pint\n",
    "only-a-rule.md": b"|---|---|\n",
    "uneven.md": b"| Food | Jar |\n|---|---|\n| Peaches |\n| Pears | pint | 20 min | 30 |\n",
    "pipes.md": b"|||||\n|||||\n",
    "two-tables.md": b"| Food | Jar |\n|---|---|\n| Pears | pint |\n\ntext\n\n| A |\n|---|\n| b |\n",
    "torn.html": b"<table><tr><td>Peaches<td>pint<tr><th rowspan=99999999>Food<td colspan=99999999>x",
    "wrong-spans.html": b"<table><tr><td rowspan=-3 colspan=x>Food</td><td rowspan=0>Jar</td></tr></table>",
    "nested.html": b"<table><tr><td>" * 60 + b"Peaches" + b"</td></tr></table>" * 60,
    "deep.html": b"<div>" * 20_000,
    "script.html": b"<script>alert(1)</script><style>td{}</style><table><td>&#0;&#x110000;&amp;&bogus;</td></table>",
    "no-table.html": b"<html><p>Boil peaches for a while</p></html>",
    "entities.html": b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;">]><table><tr><td>&b;</td></tr></table>',
    "no-columns.txt": b"Peaches are canned in pints for 20 minutes.\n",
    "tabs-and-blanks.txt": b"Food \t  Jar\tTime\nPeaches,  hot\t pint \t20 min\n",
    "narrow.txt": b"F  J  T\nP  p  2\n",
    "text.xlsx": b"Food,Jar,Time\n",
    "torn.xlsx": b"PK\x03\x04" + bytes(200),
    "old.xls": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512),
    "print.pdf": b"%PDF-1.7\n1 0 obj\n<<>>\nendobj\n",
    "picture.png": b"\x89PNG\r\n\x1a\n" + bytes(64),
    "picture.csv": b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 8,
    "no-ending": ROW.encode(),
    "other.docx": b"PK\x05\x06" + bytes(18),
}
"""Content of each file by its name."""


def put(folder: Path) -> list[Path]:
    """Write them all, and a folder that is named like a file."""
    for name, data in ODD.items():
        (folder / name).write_bytes(data)
    (folder / "folder.csv").mkdir()
    return [folder / name for name in (*ODD, "folder.csv", "not-there.csv")]


def sheets(folder: Path) -> list[Path]:
    """Write odd workbooks: none filled, dates, errors, formulas without values, merged over everything, hidden."""
    import datetime

    import openpyxl

    paths = []
    for name in ("blank", "dates", "merged", "formulas", "hidden"):
        book = openpyxl.Workbook()
        sheet = book.active
        assert sheet is not None
        if name != "blank":
            sheet.append(["Food", "Pack", "Jar", "0-1,000 ft"])
            sheet.append(["Peaches", "hot", "pint", 20])
        if name == "dates":
            sheet.append([datetime.date(2026, 8, 1), datetime.time(0, 20), True, "#DIV/0!"])
        if name == "merged":
            sheet.merge_cells("A1:D2")
        if name == "formulas":
            sheet.append(["Pears", "hot", "pint", "=10+10"])
        if name == "hidden":
            book.create_sheet("other").append(["Carrots", "raw", "pint"])
            sheet.sheet_state = "hidden"
        book.save(folder / f"odd-{name}.xlsx")
        paths.append(folder / f"odd-{name}.xlsx")
    return paths
