"""Job totals and tax totals as files: no cell in them could run as a formula."""

import io
from collections.abc import Iterator
from decimal import Decimal

import xlsxwriter
from defusedcsv import csv
from django.utils.translation import gettext as _

from jobs.costing import JobTotal
from jobs.queries.books import Totals
from jobs.queries.tax_totals import TaxRow, TaxTotals

Cell = str | Decimal | None


def head(*, currency: str) -> list[str]:
    """The words over the columns."""
    return [
        _("Number"),
        _("Kind"),
        _("Title"),
        _("Garden"),
        _("Client"),
        _("State"),
        _("Currency"),
        _("Quoted before tax"),
        _("Planned cost"),
        _("Actual cost"),
        _("Hours"),
        _("Billed before tax"),
        _("Tax billed"),
        _("Margin"),
        _("Margin in %"),
    ]


def _figures(figures: JobTotal) -> list[Cell]:
    return [
        figures.quoted,
        figures.planned_cost,
        figures.actual_cost,
        figures.hours,
        figures.billed,
        figures.tax,
        figures.margin,
        figures.margin_percent,
    ]


def lines(totals: Totals, *, currency: str) -> Iterator[list[Cell]]:
    """The rows and then the foot, cell by cell."""
    for row in totals.rows:
        yield [
            row.number,
            row.kind,
            row.title,
            row.garden,
            row.client,
            row.state,
            currency,
            *_figures(row.figures),
        ]
    yield ["", "", _("Sum"), "", "", "", currency, *_figures(totals.foot)]


def totals_csv(totals: Totals, *, currency: str) -> bytes:
    """The job totals as CSV; a byte order mark tells spreadsheets that it is UTF-8."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(head(currency=currency))
    for line in lines(totals, currency=currency):
        writer.writerow(["" if cell is None else cell for cell in line])
    return text.getvalue().encode("utf-8-sig")


def totals_xlsx(totals: Totals, *, currency: str) -> bytes:
    """The job totals as a workbook: text stays text, figures are figures."""
    kept = io.BytesIO()
    workbook = xlsxwriter.Workbook(
        kept,
        {
            "in_memory": True,
            "strings_to_formulas": False,
            "strings_to_urls": False,
            "strings_to_numbers": False,
        },
    )
    bold = workbook.add_format({"bold": True, "text_wrap": True, "bottom": 1})
    money = workbook.add_format({"num_format": "#,##0.00"})
    total = workbook.add_format({"bold": True, "num_format": "#,##0.00", "top": 1})
    sheet = workbook.add_worksheet(_("Job totals")[:31])
    sheet.write_row(0, 0, head(currency=currency), bold)
    sheet.freeze_panes(1, 1)
    sheet.set_column(0, 0, 14)
    sheet.set_column(1, 6, 18)
    sheet.set_column(7, 14, 13)
    foot_at = len(totals.rows) + 1
    for number, line in enumerate(lines(totals, currency=currency), start=1):
        shape = total if number == foot_at else money
        for column, cell in enumerate(line):
            if isinstance(cell, Decimal):
                sheet.write_number(number, column, float(cell), shape)
            elif cell:
                sheet.write_string(number, column, cell, shape)
            elif number == foot_at:
                sheet.write_blank(number, column, None, total)
    workbook.close()
    return kept.getvalue()


def _tax_figures(row: TaxRow | TaxTotals) -> list[Cell]:
    return [
        row.billed_net,
        row.billed_tax,
        row.credited_net,
        row.credited_tax,
        row.net,
        row.tax,
    ]


def tax_csv(totals: TaxTotals, *, currency: str) -> bytes:
    """The tax totals of a period as CSV, the foot last."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(
        [
            _("From"),
            _("To"),
            _("Category"),
            _("Tax"),
            _("Rate in %"),
            _("Currency"),
            _("Billed before tax"),
            _("Tax billed"),
            _("Credited before tax"),
            _("Tax credited"),
            _("Before tax"),
            _("Tax"),
        ]
    )
    days = [totals.first.isoformat(), totals.last.isoformat()]
    for row in totals.rows:
        writer.writerow(
            [
                *days,
                row.category_words,
                row.name,
                f"{row.percent:f}",
                currency,
                *_tax_figures(row),
            ]
        )
    writer.writerow([*days, _("Sum"), "", "", currency, *_tax_figures(totals)])
    return text.getvalue().encode("utf-8-sig")
