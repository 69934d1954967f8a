"""On paper no word is printed over its neighbour, however many columns and however long the names of files."""

from pathlib import Path

import pdfplumber

from firstcap.app.report.paper import Cell, Column, Mark, Paper, Section, Table
from firstcap.app.report.typeset import write_pdf

SUPPLIERS = [f"Supplier not named (a_rather_long_name_of_a_paper_{n}.pdf)" for n in range(9)]
VERDICTS = [
    Cell("met with conditions", mark=Mark.FLAG, more="the later of shipment and installation"),
    Cell("met", mark=Mark.GOOD),
    Cell("not met", mark=Mark.BAD, more="customer pays at month 132 −50 % of the price; ◇ unconfirmed"),
]


def test_no_word_is_printed_over_another(tmp_path: Path) -> None:
    columns = (Column("ask", "Ask"), Column("size", "Size"), *(Column(f"s{n}", s) for n, s in enumerate(SUPPLIERS)))
    rows = tuple(
        (Cell(ask), Cell("every size"), *(VERDICTS[(at + n) % 3] for n in range(len(SUPPLIERS))))
        for at, ask in enumerate(("New-meter accuracy", "Register", "Endpoint with its battery"))
    )
    paper = Paper("tender", "Asks", "", (), (Section("Compliance", (Table("asks", "Compliance", columns, rows),)),))
    write_pdf(paper, tmp_path / "asks.pdf")
    with pdfplumber.open(tmp_path / "asks.pdf") as pdf:
        chars = [char for char in pdf.pages[0].chars if char["text"].strip()]
        words = {word["text"] for word in pdf.pages[0].extract_words()}
    for at, one in enumerate(chars):
        for other in chars[at + 1 :]:
            wide = min(one["x1"], other["x1"]) - max(one["x0"], other["x0"])
            high = min(one["bottom"], other["bottom"]) - max(one["top"], other["top"])
            assert wide < 1 or high < 3, (one["text"], other["text"])
    # words that run into the next column are read as one with it
    assert words >= {"conditions", "later", "shipment", "unconfirmed", "Supplier", "named", "Size", "size"}
