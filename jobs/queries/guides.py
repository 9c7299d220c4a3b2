"""All that a care guide says: for just these plants in this garden, twelve months."""

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from django.db.models import QuerySet
from django.utils import translation

from firm.queries import firm_or_blank
from jobs.enums import DocumentKind, LinkPurpose
from jobs.models import Document, PrivateLink
from jobs.queries.guide_lines import (
    closed_printed,
    common_of,
    later_printed,
    lines_printed,
    source_read,
    source_said,
)
from jobs.queries.guide_months import months_printed, water_printed
from jobs.queries.letterhead import letterhead
from jobs.queries.links import link_by_key
from jobs.queries.quote_paper import POISON_LINES, client_printed
from plants.fit import AT_RISK
from plants.models import Bed, Garden, Planting, Source
from plants.queries.care import (
    PlantingYear,
    age_of,
    facts_about,
    planting_year,
    plantings_in,
    sources_by_key,
)
from plants.queries.fit import facts_of
from plants.queries.gardens import instructions_on


def first_of_month(day: dt.date) -> dt.date:
    """The first day of DAY's month."""
    return day.replace(day=1)


def guide_years(
    plantings: Sequence[Planting], *, start: dt.date, day: dt.date
) -> list[PlantingYear]:
    """The care of each planting for twelve months from START as known on DAY."""
    days = (start.replace(year=start.year + 1) - start).days
    return [
        planting_year(
            replace(facts, age_years=age_of(facts.planting, day=start)),
            start=start,
            days=days,
        )
        for facts in facts_about(plantings, day=day)
    ]


def guide_snapshot(
    *,
    garden: Garden,
    plantings: Sequence[Planting],
    number: str,
    start: dt.date,
    day: dt.date,
    language: str,
) -> dict[str, Any]:
    """The guide to PLANTINGS from START's month on, as issued on DAY.

    The plantings come with plant, group, bed and the garden's station selected.
    """
    firm = firm_or_blank()
    start = first_of_month(start)
    end = start.replace(year=start.year + 1) - dt.timedelta(days=1)
    sources = sources_by_key()
    wanted = {planting.pk for planting in plantings}
    contact = garden.client.contacts.order_by("-is_main", "id").first()
    with translation.override(language):
        years = guide_years(plantings, start=start, day=day)
        return {
            "firm": {
                **letterhead(),
                **{name: getattr(firm, name) for name in POISON_LINES},
            },
            "client": client_printed(garden.client, contact),
            "at_risk": {
                "people": garden.client.has_children,
                "dogs": garden.client.has_dogs,
                "cats": garden.client.has_cats,
                "horses": garden.client.has_horses,
            },
            "garden": {"name": garden.name, "address": garden.address},
            "number": number,
            "issued_on": day,
            "start": start,
            "end": end,
            "instructions": [
                {
                    "text": one.text,
                    "number": one.planting.number if one.planting else None,
                }
                for one in instructions_on(garden=garden, day=day)
                if one.planting_id is None or one.planting_id in wanted
            ],
            "plants": [
                plant_printed(year, sources=sources, end=end, day=day) for year in years
            ],
            "water": water_printed(years, end=end),
            "months": months_printed(years, start=start, end=end),
            "beds": beds_printed(plantings),
        }


def beds_printed(plantings: Iterable[Planting]) -> list[dict[str, Any]]:
    """The sketch of each bed the plantings stand in, by name."""
    by_bed: dict[int, list[Planting]] = {}
    for planting in plantings:
        if planting.bed_id is not None:
            by_bed.setdefault(planting.bed_id, []).append(planting)
    drawn = [
        bed_printed(group[0].bed, group)
        for group in by_bed.values()
        if group[0].bed is not None
    ]
    return sorted(drawn, key=lambda bed: (bed["name"], bed["pk"]))


def bed_printed(bed: Bed, plantings: Sequence[Planting]) -> dict[str, Any]:
    """What the sketch of a bed is drawn from: its shape and the plants by number."""
    return {
        "pk": bed.pk,
        "name": bed.name,
        "shape": bed.shape,
        "length_m": bed.length_m,
        "width_m": bed.width_m,
        "across_m": bed.across_m,
        "pieces": bed.pieces,
        "corners": bed.corners,
        "facing": bed.facing,
        "plants": [
            {
                "number": planting.number,
                "common": common_of(planting),
                "count": planting.count,
                "spread_m": _spread(planting),
                "is_hedge": _is_hedge(planting),
            }
            for planting in plantings
        ],
    }


def _spread(planting: Planting) -> Any:
    if planting.plant is None:
        return None
    return (facts_of(planting.plant).get("mature") or {}).get("width_m")


def _is_hedge(planting: Planting) -> bool:
    return (
        planting.plant is not None
        and facts_of(planting.plant).get("kind") == "hedge"
        and planting.count > 1
    )


def plant_printed(
    year: PlantingYear, *, sources: Mapping[str, Source], end: dt.date, day: dt.date
) -> dict[str, Any]:
    """One planting with its care; unidentified plants say so."""
    planting = year.planting
    facts = facts_of(planting.plant) if planting.plant else {}
    bloom = facts.get("bloom") or {}
    toxicity = facts.get("toxicity") or {}
    lines = lines_printed(year, sources=sources)
    return {
        "planting": planting.pk,
        "number": planting.number,
        "count": planting.count,
        "common": common_of(planting),
        "botanical": planting.plant.botanical if planting.plant else "",
        "is_identified": planting.plant is not None,
        "group": year.group.name,
        "kind": year.group.kind,
        "wood": year.group.wood if year.group.bloom is not None else "none",
        "buds": year.group.buds,
        "evergreen": year.group.evergreen,
        "habit": facts.get("habit", ""),
        "bloom_colour": bloom.get("colour"),
        "height_m": (facts.get("mature") or {}).get("height_m"),
        "width_m": (facts.get("mature") or {}).get("width_m"),
        "light": list((facts.get("light") or {}).get("best", ())),
        "ph": facts.get("ph"),
        "moisture": list(facts.get("moisture") or ()),
        "bed": planting.bed.name if planting.bed else "",
        "place": planting.place,
        "is_irrigated": bool(planting.bed and planting.bed.is_irrigated),
        "planted_on": planting.planted_on,
        "days": year.days,
        "bloom": [list(span) for span in year.bloom],
        "toxicity": {who: str(toxicity.get(who, "unknown")) for who in AT_RISK},
        "toxicity_note": str(toxicity.get("note", "")).strip(),
        "toxicity_sources": poison_sources(facts, sources=sources),
        "instructions": [
            one.text for one in year.instructions if one.planting_id is not None
        ],
        "closed": closed_printed(year),
        **lines,
        "later": later_printed(year, sources=sources),
        "sources": sorted(
            {
                line["source"]
                for part in ("pruning", "any_day", "feeding", "soil", "water", "other")
                for line in lines[part]
            }
        ),
    }


def poison_sources(
    facts: Mapping[str, Any], *, sources: Mapping[str, Source]
) -> list[dict[str, str]]:
    """Where the words on poison come from, each for whom; empty WHOM is for all."""
    found = [
        {
            "whom": key.removeprefix("toxicity").strip(),
            "source": source_read(str(line.get("source", "")), line, sources),
        }
        for key, line in (facts.get("sources") or {}).items()
        if key.split(" ")[0] == "toxicity" and isinstance(line, Mapping)
    ]
    key = str((facts.get("toxicity") or {}).get("source", ""))
    if not found and key:
        found = [{"whom": "", "source": source_said(key, sources)}]
    return found


# --- guides that were issued -------------------------------------------------------


def guides_of(*, garden: Garden) -> QuerySet[Document]:
    """The care guides of a garden, the newest first."""
    return garden.documents.filter(kind=DocumentKind.CARE_GUIDE).order_by("-id")


def guide_document(*, pk: int) -> Document | None:
    """One care guide with garden, client and job."""
    return (
        Document.objects.select_related("garden__client", "job")
        .filter(pk=pk, kind=DocumentKind.CARE_GUIDE)
        .first()
    )


def links_of_guide(*, document: Document) -> list[PrivateLink]:
    """The private links to a guide, the newest first."""
    return list(document.links.filter(purpose=LinkPurpose.CARE_GUIDE).order_by("-id"))


def guide_link(*, link_id: int) -> PrivateLink | None:
    """A private link to a care guide with its document and garden."""
    return (
        PrivateLink.objects.select_related("document__garden__client")
        .filter(pk=link_id, purpose=LinkPurpose.CARE_GUIDE)
        .first()
    )


def growing_in(*, garden: Garden) -> list[Planting]:
    """What grows in a garden, by number, with all that a guide needs."""
    return plantings_in(garden)


@dataclass(frozen=True, kw_only=True)
class GuideByLink:
    """What a private link opens: LINK is None when it opens nothing any more."""

    link: PrivateLink | None
    document: Document | None


def guide_by_link(*, key: str, now: dt.datetime) -> GuideByLink:
    """The care guide that KEY opens at NOW; a closed link still names its guide."""
    link = link_by_key(key=key)
    if link is None or link.purpose != LinkPurpose.CARE_GUIDE:
        return GuideByLink(link=None, document=None)
    is_closed = link.withdrawn_at is not None or (
        link.expires_at is not None and link.expires_at <= now
    )
    return GuideByLink(link=None if is_closed else link, document=link.document)
