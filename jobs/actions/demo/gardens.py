"""The invented gardens with their beds, what grows in them and what is insisted on."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from firm.actions.clients import ClientDetails, ContactDetails, create_client
from firm.units import parse_length
from jobs.actions.demo.garden_list import GARDENS, BedOf, GardenOf, GrowsOf
from jobs.actions.demo.place import CLIENTS, LATITUDE, LONGITUDE, REGION
from jobs.actions.demo.story import Story
from plants.actions.beds import BedDetails, Piece, add_bed
from plants.actions.gardens import GardenDetails, give_instruction, open_garden
from plants.actions.plantings import (
    PlantingDetails,
    log_bloom,
    record_planting,
    set_planting_state,
)
from plants.actions.shades import PlacedShade, place_shade
from plants.enums import AgeKnown, BedShape
from plants.models import Garden


@dataclass(frozen=True)
class Measure:
    """A length as typed, with its metres."""

    text: str

    @property
    def metres(self) -> Decimal:
        """Exact metres of the text."""
        return parse_length(self.text, default_unit="ft")


def survey_the_gardens(story: Story) -> None:
    """The clients and their gardens, surveyed one after the other in one month."""
    day = story.day(-460)
    for client in CLIENTS:
        story.clients[client.key] = create_client(
            details=ClientDetails(
                name=client.name,
                billing_address=client.billing_address,
                notes=client.notes,
                has_children=client.has_children,
                has_dogs=client.has_dogs,
                has_cats=client.has_cats,
                tax_exempt_certificate=client.certificate,
            ),
            contacts=[
                ContactDetails(
                    name=contact.name,
                    part=contact.part,
                    email=contact.mail,
                    phone=contact.phone,
                )
                for contact in client.contacts
            ],
            by=story.owner,
            now=story.at(day, 9),
        )
    for number, garden in enumerate(GARDENS):
        _survey(story, garden, day=day + dt.timedelta(days=2 * number))


def _survey(story: Story, told: GardenOf, *, day: dt.date) -> None:
    now = story.at(day, 10)
    garden = open_garden(
        client=story.clients[told.client],
        details=GardenDetails(
            name=told.name,
            address=told.address,
            station=story.climate,
            latitude=LATITUDE + Decimal(told.north),
            longitude=LONGITUDE + Decimal(told.east),
            region=REGION,
            tax_region=story.ward if told.is_in_ward else None,
            has_deer=told.has_deer,
            access_notes=told.way_in,
            gate_code=told.gate_code,
        ),
        now=now,
        by=story.owner,
    )
    story.gardens[told.key] = garden
    for bed in told.beds:
        surveyed = add_bed(
            garden=garden,
            details=_details(bed),
            shades=(),
            now=now,
            by=story.owner,
        )
        for shade in bed.shades:
            place_shade(
                bed=surveyed,
                version=surveyed.version,
                details=_shade(shade),
                row=None,
                now=now,
                by=story.owner,
            )
            surveyed.refresh_from_db()
        story.beds[told.key, bed.name] = surveyed
    for grows in told.grows:
        _record(story, told.key, garden, grows, day=day)
    for words, forbids, name, who in told.insists:
        give_instruction(
            garden=garden,
            text=words,
            day=day,
            now=now,
            by=story.owner,
            planting=story.plantings[told.key, name] if name else None,
            forbids=forbids,
            given_by=who,
        )


def _details(bed: BedOf) -> BedDetails:
    sizes = [Measure(text) for text in bed.sizes]
    seen = {
        "name": bed.name,
        "facing": bed.facing,
        "light": bed.light,
        "latest_sun": dt.time(bed.latest_sun) if bed.latest_sun else None,
        "texture": bed.texture,
        "ph": Decimal(bed.ph) if bed.ph else None,
        "moisture": bed.moisture,
        "is_irrigated": bed.is_irrigated,
        "notes": bed.notes,
    }
    depth = Measure(bed.depth)
    if bed.depth:
        seen |= {"depth_text": depth.text, "depth_m": depth.metres}
    if len(sizes) == 1:
        return BedDetails(
            shape=BedShape.CIRCLE,
            across_text=sizes[0].text,
            across_m=sizes[0].metres,
            **seen,  # type: ignore[arg-type]
        )
    if len(sizes) == 2:
        return BedDetails(
            shape=BedShape.RECTANGLE,
            length_text=sizes[0].text,
            length_m=sizes[0].metres,
            width_text=sizes[1].text,
            width_m=sizes[1].metres,
            **seen,  # type: ignore[arg-type]
        )
    return BedDetails(
        shape=BedShape.PIECES,
        pieces=tuple(
            Piece(
                length_text=length.text,
                width_text=width.text,
                length_m=length.metres,
                width_m=width.metres,
            )
            for length, width in zip(sizes[::2], sizes[1::2], strict=True)
        ),
        **seen,  # type: ignore[arg-type]
    )


def _shade(words: tuple[str, str, str, str, str]) -> PlacedShade:
    kind, side, height, distance, long = words
    size: dict[str, Any] = {"length_text": long, "length_m": Measure(long).metres}
    if kind == "tree":
        size = {"spread_text": long, "spread_m": Measure(long).metres}
    return PlacedShade(
        **size,
        kind=kind.removeprefix("evergreen "),
        side=side,
        height_text=height,
        height_m=Measure(height).metres,
        distance_text=distance,
        distance_m=Measure(distance).metres,
        is_evergreen=kind.startswith("evergreen "),
    )


def _record(
    story: Story, key: str, garden: Garden, grows: GrowsOf, *, day: dt.date
) -> None:
    now = story.at(day, 11)
    planting = record_planting(
        garden=garden,
        details=PlantingDetails(
            plant=story.plant(grows.plant) if grows.plant else None,
            count=grows.count,
            bed=story.beds.get((key, grows.bed)),
            place=grows.place,
            what_it_looks_like=grows.looks,
            age_known=grows.age_known,
            age_years=None if grows.age_known == AgeKnown.UNKNOWN else grows.years,
            notes=grows.notes,
        ),
        day=day,
        now=now,
        by=story.owner,
    )
    if grows.state:
        planting = set_planting_state(
            planting=planting, state=grows.state, now=now, by=story.owner
        )
    story.plantings[key, grows.called] = planting


def see_the_flowers(story: Story) -> None:
    """What was seen in flower last summer, which moved its windows, and years before.

    Days of earlier years come from the owner's own notes and fill the log.
    """
    seen = (
        ("farrow", "bigleaf walk", "first bloom", -160),
        ("farrow", "bigleaf walk", "bloom over", -118),
        ("wynn", "old lilac", "bloom over", -185),
        ("tolliver-town", "azaleas", "bloom over", -190),
        ("wynn", "old lilac", "first bloom", -216),
        ("wynn", "old lilac", "full bloom", -207),
        ("wynn", "old lilac", "first bloom", -216 - 361),
        ("wynn", "old lilac", "bloom over", -188 - 363),
        ("wynn", "old lilac", "first bloom", -216 - 735),
    )
    for garden, called, stage, days in seen:
        day = story.day(days)
        log_bloom(
            planting=story.plantings[garden, called],
            stage=stage,
            day=day,
            today=day,
            now=story.at(day, 15),
            by=story.people["crew"],
        )
