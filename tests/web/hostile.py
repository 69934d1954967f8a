"""A paper whose text is script: whatever a document says is shown as words."""

from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

SCRIPT = "<script>document.title='owned'</script>"
IMAGE = '<img src=x onerror="document.title=1">'


def hostile_paper(path: Path) -> None:
    """A warranty of an invented supplier, with markup where names and clauses stand."""
    canvas = Canvas(str(path), pagesize=(612, 792), invariant=True)
    lines = [
        (14, f"Thistledown {SCRIPT} Meter Company"),
        (12, "Limited Warranty, Form TD-9 Rev. A, March 2024"),
        (10, f"Thistledown warrants the 5/8 inch {IMAGE} meter to be free of defects in"),
        (10, "materials and workmanship for five (5) years from shipment or 500,000 gallons, whichever comes first."),
        (10, f"This warranty does not cover damage by freezing {SCRIPT} or by tampering."),
        (10, "Claims: the customer shall give written notice within 30 days."),
    ]
    top = 720.0
    for size, text in lines:
        canvas.setFont("Helvetica", size)
        canvas.drawString(60, top, text)
        top -= size + 12
    canvas.save()
