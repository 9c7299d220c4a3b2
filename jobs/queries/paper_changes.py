"""What one revision of a quote says otherwise than the one before it."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from jobs.models import Document, Quote

Paper = Mapping[str, Any]
Key = tuple[str, str, str]


def paper_before(quote: Quote) -> Document | None:
    """The paper of the last revision before QUOTE that went out."""
    return (
        Document.objects.filter(
            quote__number=quote.number, quote__revision__lt=quote.revision
        )
        .select_related("quote")
        .order_by("-quote__revision", "-id")
        .first()
    )


def changes_since(*, before: Document, now: Paper) -> dict[str, Any]:
    """The differences of NOW to the paper BEFORE, with that paper's number and day."""
    old = before.snapshot
    return {
        "number": old["number"],
        "issued_on": old["issued_on"],
        "rows": changed_rows(old, now),
        "words": changed_words(old, now),
    }


def changed_rows(before: Paper, now: Paper) -> list[dict[str, str]]:
    """What was added, left out or priced otherwise, with both amounts as text.

    An empty amount: it is not on that paper. The last row is the whole with tax.
    """
    old, new = _lines_of(before), _lines_of(now)
    rows = []
    for key in [*old, *(key for key in new if key not in old)]:
        was, is_now = old.get(key), new.get(key)
        if was == is_now:
            continue
        rows.append(
            {
                "what": ", ".join(part for part in key[1:] if part),
                "words": _quantity_words(was, is_now),
                "before": f"{was[1]:.2f}" if was else "",
                "now": f"{is_now[1]:.2f}" if is_now else "",
            }
        )
    rows += _of_totals(before, now)
    return rows


def changed_words(before: Paper, now: Paper) -> list[str]:
    """Sentences on what changed beside lines and amounts."""
    said = []
    for name, words in (
        ("title", _("The title has changed.")),
        ("words", _("Our words to you have changed.")),
        ("terms", _("The terms have changed.")),
        ("not_included", _("What is not included has changed.")),
        ("assumptions", _("What the price takes for granted has changed.")),
        ("warranty", _("The warranty has changed.")),
        ("warranty_void", _("What ends the warranty has changed.")),
    ):
        if (before.get(name) or "") != (now.get(name) or ""):
            said.append(words)
    if _plan(before) != _plan(now):
        said.append(_("When it is paid has changed."))
    return said


def _plan(paper: Paper) -> list[tuple[str, str, Decimal]]:
    """The payments apart from their amounts, which follow the price."""
    return [
        (
            str(part["title"]),
            str(part.get("due_on") or part["when"]),
            Decimal(part["percent"]),
        )
        for part in paper.get("payments") or []
    ]


Amounts = tuple[Decimal, Decimal, str]


def _lines_of(paper: Paper) -> dict[Key, Amounts]:
    """Quantity, price and unit by what a line says; lines that say the same added."""
    found: dict[Key, Amounts] = {}
    for key, line in _every_line(paper):
        quantity, price, _unit = found.get(key, (Decimal(0), Decimal(0), ""))
        found[key] = (
            quantity + Decimal(line["quantity"]),
            price + Decimal(line["price"]),
            str(line["unit"]),
        )
    return found


def _every_line(paper: Paper) -> Iterator[tuple[Key, Mapping[str, Any]]]:
    for group in paper["groups"]:
        for line in group["lines"]:
            bed = line["bed"] if group["kind"] == "plants" else ""
            yield ("", line["description"], bed), line
    for option in paper.get("options") or []:
        head = _("If you like: %(title)s") % {"title": option["title"]}
        for line in option["lines"]:
            yield (head, f"{head}: {line['description']}", line["bed"]), line


def _quantity_words(was: Amounts | None, is_now: Amounts | None) -> str:
    if was is None and is_now is not None:
        return _("new: %(now)s %(unit)s") % {
            "now": _plain(is_now[0]),
            "unit": is_now[2],
        }
    if is_now is None or was is None:
        return _("no longer in it")
    if was[0] == is_now[0]:
        return ""
    return _("%(now)s %(unit)s instead of %(before)s") % {
        "now": _plain(is_now[0]),
        "unit": is_now[2],
        "before": _plain(was[0]),
    }


def _plain(quantity: Decimal) -> str:
    return f"{quantity.normalize():,f}"


def _of_totals(before: Paper, now: Paper) -> list[dict[str, str]]:
    """Discount, top-up, tax and the whole where they differ."""
    rows = []
    for name, what in (
        ("discount", _("Discount")),
        ("top_up", _("Up to the least price of a job")),
        ("tax", _("Tax")),
        ("gross", _("All together")),
    ):
        was = Decimal(before["totals"].get(name) or 0)
        is_now = Decimal(now["totals"].get(name) or 0)
        if was != is_now:
            rows.append(
                {
                    "what": what,
                    "words": "",
                    "before": f"{was:.2f}",
                    "now": f"{is_now:.2f}",
                }
            )
    return rows
