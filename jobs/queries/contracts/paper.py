"""All that an offered care contract says on paper: what the client reads."""

import datetime as dt
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from jobs.models import Contract
from jobs.queries.contracts.pages import VisitShown, visits_shown
from jobs.queries.contracts.reckoning import parts_of, parts_words
from jobs.queries.letterhead import letterhead
from jobs.queries.quote_paper import client_printed
from jobs.queries.quote_prices import money_places


def contract_paper(
    *, contract: Contract, day: dt.date, language: str
) -> dict[str, Any]:
    """The snapshot of CONTRACT issued on DAY, in the client's language."""
    client = contract.garden.client
    contact = client.contacts.order_by("-is_main", "id").first()
    visits = [one for one in visits_shown(contract) if not one.is_out]
    parts = parts_of(contract, places=money_places())
    with translation.override(language):
        return {
            "firm": letterhead(),
            "client": client_printed(client, contact),
            "garden": {
                "name": contract.garden.name,
                "address": contract.garden.address,
            },
            "number": str(contract),
            "title": contract.title,
            "words": contract.words,
            "terms": contract.terms,
            "issued_on": day,
            "valid_until": contract.valid_until,
            "starts_on": contract.starts_on,
            "ends_on": contract.ends_on,
            "visits": [
                {
                    "number": number,
                    "title": visit.title,
                    "earliest": visit.earliest,
                    "best": visit.best,
                    "latest": visit.latest,
                    "work": work_printed(visit),
                }
                for number, visit in enumerate(visits, start=1)
            ],
            "net": contract.net,
            "tax": contract.tax,
            "tax_name": contract.tax_name,
            "tax_percent": contract.tax_percent,
            "gross": contract.gross,
            "exempt_certificate": client.tax_exempt_certificate,
            "instalments": [
                {
                    "number": part.number,
                    "due_on": part.due_on,
                    "net": part.amount.net,
                    "tax": part.amount.tax,
                    "gross": part.amount.gross,
                }
                for part in parts
            ],
            "instalments_words": [
                {"count": count, "gross": gross} for count, gross in parts_words(parts)
            ],
            "not_included": not_included_words(contract),
            "cautions": caution_words(contract),
        }


def work_printed(visit: VisitShown) -> list[dict[str, Any]]:
    """The work of a visit: each kind once, with the plants by their numbers."""
    found: dict[str, dict[str, Any]] = {}
    for task in visit.tasks:
        line = found.setdefault(task["title"], {"title": task["title"], "plants": []})
        line["plants"].append(
            {
                "number": task["number"],
                "plant": task["plant"],
                "count": task["count"],
            }
        )
    typed = [{"title": words, "plants": []} for words in visit.work]
    return [*found.values(), *typed]


def not_included_words(contract: Contract) -> list[str]:
    """What the price does not hold."""
    return [
        _(
            "Work that is not listed above, and plants that were not there when the"
            " visits were planned."
        ),
        _("Watering between the visits, unless it is listed."),
        _("Plants to replace lost ones, and damage by storm, animals or others."),
        _(
            "Spraying. Where a plant needs it we tell you; the law may ask for a"
            " licensed applicator."
        ),
        _(
            "Work in trees off the ground or near overhead lines: that is for a"
            " qualified arborist."
        ),
    ]


def caution_words(contract: Contract) -> list[str]:
    """What the client should know about the days and the cuts."""
    said = [
        _(
            "Each visit may fall on any day between its first and last day. The days"
            " follow the weather of your place; in an early or late year, and after"
            " rain, we move a visit inside them."
        ),
        _(
            "Outside these days some cuts do harm: they cost the flowers of the next"
            " year or bring disease in. If you want something cut at another time,"
            " please ask first."
        ),
        _(
            "Please keep children and animals away while we work, and tell us of bees,"
            " wasps and buried lines."
        ),
    ]
    if contract.plan.get("unidentified"):
        said.append(_("From plants that nobody could name yet we take only dead wood."))
    return said
