"""The job sheet as a PDF: black on white, with fonts of its own, the same bytes for the same card."""

from __future__ import annotations

from functools import cache, lru_cache
from importlib.resources import as_file, files
from io import BytesIO
from typing import TYPE_CHECKING

from swarfbook.errors import Problem, SwarfbookError
from swarfbook.reports.sheets.card import Card, kept, rewritten, shown
from swarfbook.reports.sheets.page import PAPERS, Page, sheet
from swarfbook.reports.sheets.setting import Rule

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

NO_PDF = "the PDF needs the extra: pip install 'swarfbook[pdf]'"
FONTS = {False: "DejaVuSans", True: "DejaVuSans-Bold"}
"""The fonts by whether they are bold."""


def pdf(card: Card, paper: str = "a4") -> bytes:
    """Make a job sheet as a PDF: one page for up to twelve steps of common length.

    Args:
        card: what stands on it.
        paper: `a4` or `letter`.

    Raises:
        SwarfbookError: reportlab is not there, or a step does not fit a page.
    """
    try:
        from reportlab.pdfgen.canvas import Canvas  # noqa: PLC0415 - an extra, and slow to start
    except ModuleNotFoundError:
        raise SwarfbookError(Problem("job sheet", "", "", NO_PDF)) from None
    pages = sheet(fit(card), PAPERS[paper], measure).pages
    written = BytesIO()
    canvas = Canvas(written, invariant=1, pageCompression=1, lang="en")
    canvas.setTitle(shown(card.title))
    for page in pages:
        _draw(canvas, page)
    canvas.save()
    return written.getvalue()


def fit(card: Card) -> Card:
    """Make the texts of a card fit to be drawn: an escape for each letter that the fonts lack."""
    letters = set.intersection(*(set(font.face.charToGlyph) for font in _fonts().values()))
    return rewritten(card, lambda text: kept(shown(text, lambda char: ord(char) in letters)))


def measure(text: str, size: float, *, bold: bool) -> float:
    """Tell how wide a text is [pt]."""
    return _width(text, bold) * size


@lru_cache(maxsize=8192)
def _width(text: str, bold: bool) -> float:
    return float(_fonts()[bold].stringWidth(text, 1.0))


@cache
def _fonts() -> dict[bool, TTFont]:
    from reportlab.pdfbase.pdfmetrics import registerFont  # noqa: PLC0415 - an extra, and slow to start
    from reportlab.pdfbase.ttfonts import TTFont  # noqa: PLC0415

    fonts = {}
    for bold, name in FONTS.items():
        with as_file(files(__package__) / "fonts" / f"{name}.ttf") as path:
            fonts[bold] = TTFont(name, str(path))
        registerFont(fonts[bold])
    return fonts


def _draw(canvas: Canvas, page: Page) -> None:
    canvas.setPageSize((page.width, page.height))
    for mark in page.marks:
        y = page.height - mark.y
        if isinstance(mark, Rule):
            canvas.setLineWidth(mark.weight)
            canvas.line(mark.x, y, mark.x + mark.width, y - mark.height)
        else:
            canvas.setFont(FONTS[mark.piece.bold], mark.piece.size)
            canvas.drawString(mark.x, y, mark.piece.text)
    canvas.showPage()
