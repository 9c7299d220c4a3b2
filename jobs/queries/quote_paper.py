"""All that an offered quote says on paper: what the client reads, never a cost."""

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from firm.models import Client, Contact, TaxRegion
from firm.models.tax import CHARGED
from firm.queries import firm_or_blank, is_exempt
from jobs.enums import LineKind
from jobs.models import Quote, QuoteLine
from jobs.queries.letterhead import letterhead
from jobs.queries.paper_changes import changes_since, paper_before
from jobs.queries.quote_prices import (
    Priced,
    groups_kept,
    plan_or_why,
    priced_quote,
)
from jobs.queries.quotes import display
from jobs.queries.takeoff.plans import plans_of
from plants.fit import AT_RISK
from plants.models import Plant
from plants.queries.fit import facts_of

# Of a plan on paper and on a phone, in the drawing's own units.
PLAN_WIDTH = 340.0
POISON_LINES = ("poison_line_people", "poison_line_animals", "emergency_number")


def quote_paper(*, quote: Quote, day: dt.date, language: str) -> dict[str, Any]:
    """The snapshot of QUOTE issued on DAY, in the client's language."""
    firm = firm_or_blank()
    client = quote.garden.client
    priced = priced_quote(quote)
    everything = list(priced.rows)
    lines = [line for line in everything if line.option_id is None]
    contact = client.contacts.order_by("-is_main", "id").first()
    earlier = paper_before(quote)
    with translation.override(language):
        paper = {
            "firm": {
                **letterhead(),
                **{name: getattr(firm, name) for name in POISON_LINES},
            },
            "client": client_printed(client, contact),
            "garden": {"name": quote.garden.name, "address": quote.garden.address},
            "number": str(quote),
            "revision": quote.revision,
            "title": quote.title,
            "words": quote.words,
            "terms": quote.terms,
            "issued_on": day,
            "valid_until": quote.valid_until,
            "plants": plants_printed(everything),
            "groups": groups_printed(lines),
            "totals": totals_printed(quote, lines, client, day),
            "options": options_printed(priced),
            "payments": payments_printed(quote),
            "included": included_words(lines),
            "cautions": caution_words(everything, region=quote.garden.tax_region),
            "notices": notices_printed(quote.garden.tax_region),
            "can_be_poisonous": any(line.plant_id for line in everything),
            "plans": plans_printed(quote),
            "not_included": firm.not_included_words,
            "assumptions": firm.assumption_words,
            "warranty": firm.warranty_words,
            "warranty_void": firm.warranty_void_words,
        }
        if earlier is not None:
            paper["changes"] = changes_since(before=earlier, now=paper)
        return paper


def changes_to_come(*, quote: Quote, day: dt.date) -> dict[str, Any]:
    """What the draft says otherwise than the revision before it; empty if it is none.

    With the firm's own letterhead, as the parts of a paper want it.
    """
    if paper_before(quote) is None:
        return {}
    paper = quote_paper(quote=quote, day=day, language=firm_or_blank().language)
    return {"firm": paper["firm"], "changes": paper["changes"]}


def client_printed(client: Client, contact: Contact | None) -> dict[str, Any]:
    """The client as addressed on paper."""
    return {
        "name": client.name,
        "billing_address": client.billing_address,
        "contact": contact.name if contact and contact.name != client.name else "",
    }


def groups_printed(lines: Sequence[QuoteLine]) -> list[dict[str, Any]]:
    """The lines by what they are for, in one order, each kind with its sum."""
    groups = []
    for kind in LineKind:
        own = [line for line in lines if line.kind == kind]
        if not own:
            continue
        groups.append(
            {
                "kind": str(kind),
                "label": str(kind.label),
                "lines": [
                    {
                        "description": line.description,
                        "bed": line.bed.name if line.bed else "",
                        "quantity": line.quantity,
                        "unit": line.unit,
                        "price": line.price,
                        "is_taxed": line.is_taxed,
                    }
                    for line in own
                ],
                "price": sum((line.price for line in own), Decimal(0)),
            }
        )
    return groups


def totals_printed(
    quote: Quote, lines: Sequence[QuoteLine], client: Client, day: dt.date
) -> dict[str, Any]:
    """The foot: before tax, the tax and on how much, all together."""
    groups = groups_kept(quote.taxes)
    taxable = sum(
        (group.net for group in groups if group.category in CHARGED), Decimal(0)
    )
    return {
        "lines": sum((line.price for line in lines), Decimal(0)),
        "discount": quote.discount,
        "discount_words": quote.discount_words,
        "top_up": quote.top_up,
        "taxes": quote.taxes,
        "net": quote.net,
        "taxable": taxable,
        "tax_name": quote.tax_name,
        "tax_percent": quote.tax_percent,
        "tax": quote.tax,
        "gross": quote.gross,
        "exempt_certificate": client.tax_exempt_certificate
        if is_exempt(client=client, day=day)
        else "",
    }


def options_printed(priced: Priced) -> list[dict[str, Any]]:
    """What the client may take or leave, with the whole when it alone is taken."""
    rows = {row.pk: row for row in priced.rows}
    base = priced.totals_with()
    printed = []
    for option in priced.options:
        totals = priced.totals_with([option.pk])
        instead_of = rows.get(option.instead_of_id or 0)
        printed.append(
            {
                "id": option.pk,
                "title": option.title,
                "words": option.words,
                "instead_of": instead_of.description if instead_of else "",
                "lines": [
                    {
                        "description": row.description,
                        "bed": row.bed.name if row.bed else "",
                        "quantity": row.quantity,
                        "unit": row.unit,
                        "price": row.price,
                    }
                    for row in priced.rows
                    if row.option_id == option.pk
                ],
                "adds": totals.net - base.net,
                "net": totals.tax.net,
                "tax": totals.tax.tax,
                "gross": totals.tax.gross,
            }
        )
    return printed


def payments_printed(quote: Quote) -> list[dict[str, Any]]:
    """When the price without options is paid."""
    plan, _why = plan_or_why(quote=quote, groups=groups_kept(quote.taxes))
    return [
        {
            "title": part.title,
            "when": part.when_words,
            "due_on": part.due_on,
            "percent": part.percent,
            "net": part.amount.net,
            "tax": part.amount.tax,
            "gross": part.amount.gross,
        }
        for part in plan
    ]


def plants_printed(lines: Sequence[QuoteLine]) -> list[dict[str, Any]]:
    """Each plant once, with how many in which bed, its looks and what it can do.

    IF_TAKEN are those that only come with an option.
    """
    printed: dict[int, dict[str, Any]] = {}
    for line in lines:
        if line.plant is None:
            continue
        entry = printed.setdefault(
            line.plant.pk,
            {**plant_printed(line.plant), "count": 0, "if_taken": 0, "beds": []},
        )
        if line.option_id is not None:
            entry["if_taken"] += int(line.quantity)
            continue
        entry["count"] += int(line.quantity)
        if line.bed:
            entry["beds"].append({"name": line.bed.name, "count": int(line.quantity)})
    return list(printed.values())


def plant_printed(plant: Plant) -> dict[str, Any]:
    """What the paper shows of one plant."""
    facts = facts_of(plant)
    bloom = facts.get("bloom") or {}
    mature = facts.get("mature") or {}
    return {
        "common": plant.common,
        "botanical": plant.botanical,
        "habit": facts.get("habit", ""),
        "evergreen": facts.get("evergreen"),
        "bloom": {"colour": bloom.get("colour")},
        "high": grown_words(mature.get("height_m")),
        "wide": grown_words(mature.get("width_m")),
        "toxicity": toxicity_words(facts),
        "toxicity_note": str((facts.get("toxicity") or {}).get("note", "")).strip(),
        "is_toxic": "toxic" in _toxicity(facts).values(),
    }


def grown_words(metres: float | None) -> str:
    """A grown plant's measure, no finer than anybody knows it."""
    if metres is None:
        return ""
    exact = Decimal(str(metres))
    return display().length(exact, places=0 if exact >= 3 else 1, trim=True)


def _toxicity(facts: dict[str, Any]) -> dict[str, str]:
    """Each who and its word; what is missing is unknown, never safe."""
    written = facts.get("toxicity") or {}
    return {who: str(written.get(who, "unknown")) for who in AT_RISK}


def toxicity_words(facts: dict[str, Any]) -> list[str]:
    """Sentences on whom the plant harms, whom it does not, and what is unknown."""
    names = {
        "people": _("people"),
        "dogs": _("dogs"),
        "cats": _("cats"),
        "horses": _("horses"),
    }
    by_word: dict[str, list[str]] = {"toxic": [], "not toxic": [], "unknown": []}
    for who, word in _toxicity(facts).items():
        by_word.setdefault(word, []).append(names[who])
    said = []
    if by_word["toxic"]:
        said.append(_("Toxic to %(who)s.") % {"who": _listed(by_word["toxic"])})
    if by_word["not toxic"]:
        said.append(
            _("Listed as not toxic to %(who)s.")
            % {"who": _listed(by_word["not toxic"])}
        )
    unknown = [
        name
        for word, found in by_word.items()
        if word not in ("toxic", "not toxic")
        for name in found
    ]
    if unknown:
        said.append(
            _("Not known for %(who)s: treat it as toxic.") % {"who": _listed(unknown)}
        )
    return said


def _listed(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return _("%(first)s and %(last)s") % {
        "first": ", ".join(names[:-1]),
        "last": names[-1],
    }


def plans_printed(quote: Quote) -> list[dict[str, Any]]:
    """The planting plans of the beds as they are drawn now.

    One that no longer fits the lines, or has no room for all of its plants, is not
    printed; the owner's page says so.
    """
    return [
        {"bed": plan.bed.name, "svg": plan.svg, "words": list(plan.words)}
        for plan in plans_of(quote, width=PLAN_WIDTH)
        if not plan.is_stale and not plan.short
    ]


def included_words(lines: Sequence[QuoteLine]) -> list[str]:
    """What the price holds, and what it does not."""
    kinds = {line.kind for line in lines}
    named = [
        _("other things") if kind == LineKind.OTHER else str(kind.label).lower()
        for kind in LineKind
        if kind in kinds
    ]
    return [
        _("The price includes what is listed above: %(kinds)s.")
        % {"kinds": _listed(named)},
        _(
            "What is not listed is not included. If the ground holds a surprise, such"
            " as buried rubble, we stop and speak with you before it costs anything."
        ),
    ]


def notices_printed(region: TaxRegion | None) -> dict[str, Any]:
    """The wording that the garden's place asks for, as the owner has typed it."""
    if region is None:
        return {}
    return {
        "words": region.quote_words,
        "cancellation": region.cancellation_words,
        "cancellation_days": region.cancellation_days,
    }


def located_words(region: TaxRegion | None) -> str:
    """Whom the firm asks before it digs, as the garden's place has it."""
    if region is None or not region.locate_call:
        return _(
            "Before anybody digs, underground lines are located and marked: in the"
            " United States by the free call to 811, some working days ahead; elsewhere"
            " as local law asks. Near the marks we dig by hand."
        )
    return _(
        "Before anybody digs, underground lines are located and marked: we ask %(whom)s"
        " %(days)s business days ahead. Near the marks we dig by hand."
    ) % {"whom": region.locate_call, "days": region.locate_days}


def caution_words(lines: Sequence[QuoteLine], *, region: TaxRegion | None) -> list[str]:
    """What to take care of before anybody digs.

    That the 811 call comes some working days ahead and does not mark private lines:
    utility and city pages on 811 (page read). Local law decides.
    """
    digs = {LineKind.PLANTS, LineKind.SOIL, LineKind.LABOUR}
    if not digs & {LineKind(line.kind) for line in lines}:
        return []
    return [
        located_words(region),
        _(
            "Private lines, such as irrigation, garden lighting, a gas grill or a dog"
            " fence, are not marked by that call. Please show us where yours run."
        ),
    ]
