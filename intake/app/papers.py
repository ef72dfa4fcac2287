"""What the app prints beside tags: labels of lots, sheets, the report of the day and the card of the table."""

from intake.app.download import Download
from intake.app.session import Shared
from intake.desk.lot_labels import is_labelled, lot_label_png, lot_labels_pdf, record_lots_printed
from intake.desk.pages import day_report_pdf, sheet_pdf, table_card_pdf
from intake.errors import BadInput, UnknownName

_PDF, _PNG = "application/pdf", "image/png"


class Papers:
    """Draws pages on demand, beside the event loop; safe from any thread."""

    def __init__(self, shared: Shared) -> None:
        self._shared = shared

    def report(self, name: str) -> Download:
        """The report of the last day; `name` is what the file is called.

        Raises:
            BadInput: nothing happened yet.
        """
        return Download(
            data=day_report_pdf(self._shared.desk, self._shared.words), media_type=_PDF, filename=name,
            inline=True,
        )  # fmt: skip

    def card(self, name: str) -> Download:
        """The card of the table, with the way to join where it is shared.

        Paper outlives a code, so the symbol holds the address alone: whoever follows it is asked for the code.
        """
        address = self._shared.address if self._shared.door is not None else ""
        data = table_card_pdf(self._shared.desk, self._shared.words, address)
        return Download(data=data, media_type=_PDF, filename=name, inline=True)

    def lot(self, name: str) -> Download:
        """The label of a lot, called `QT-L01.pdf` or `QT-L01.png`; recorded once for what stands on it.

        Raises:
            UnknownName: no such lot or kind of file.
            Refusal: nothing is left of the lot.
        """
        lot, _, kind = name.rpartition(".")
        desk, words = self._shared.desk, self._shared.words
        if lot not in desk.state.lots or kind not in ("pdf", "png"):
            known = [f"{one}.pdf" for one in desk.state.lots]
            raise UnknownName(where="Label", got=name, known=known or ["QT-L01.pdf"], kept="")
        pdf = kind == "pdf"
        data = lot_labels_pdf(desk, words, [lot]) if pdf else lot_label_png(desk, lot, words)
        if not is_labelled(desk, lot):
            record_lots_printed(desk, [lot])
            self._shared.hub.publish()
        return Download(data=data, media_type=_PDF if pdf else _PNG, filename=name)

    def sheet(self, name: str) -> Download:
        """A sheet of every tag and label, called after its stock and first label: `a4-3x8.5.pdf`.

        Raises:
            BadInput: no such stock, or no such first label.
            Refusal: there is nothing to print.
        """
        stock, _, start = name.removesuffix(".pdf").rpartition(".")
        if not (start.isascii() and start.isdigit()):
            expected = "a label stock and the number of its first free label, such as a4-3x8.1.pdf"
            raise BadInput(where="Sheet", got=name, expected=expected, kept="")
        data = sheet_pdf(self._shared.desk, self._shared.words, stock, int(start))
        return Download(data=data, media_type=_PDF, filename=name, inline=True)
