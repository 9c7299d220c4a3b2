"""The site of a quote: what was said of it, and what garden and beds know."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext as _

from firm.geo import Position, great_circle_km
from firm.models import Crew
from firm.queries import firm_or_blank
from firm.units import Display, round_figure
from jobs.labour import (
    DAY_H,
    FACTORS,
    Around,
    Factor,
    LabourError,
    Rate,
    Touch,
    drive_h,
)
from jobs.labour.table import DETOUR
from jobs.models import LabourSetting, Quote
from jobs.queries.labour.rates import factor_of, factor_rows, rate_of, rate_rows
from plants.enums import Texture
from plants.models import Bed

# Two people: common practice, no source.
CREW_SIZE = 2
EXTRAS = (1, 2, 3)
# What the owner says of the whole site; the soil may be left to the beds.
ASKED = (
    Touch.ACCESS,
    Touch.CARRY,
    Touch.SLOPE,
    Touch.SOIL,
    Touch.ROOTS,
    Touch.SEASON,
    Touch.CREW,
)
SOILS = {
    Texture.SAND: "soil-easy",
    Texture.SANDY_LOAM: "soil-easy",
    Texture.LOAM: "soil-easy",
    Texture.CLAY_LOAM: "soil-clay-loam",
    Texture.CLAY: "soil-clay",
}


@dataclass(frozen=True, kw_only=True)
class Table:
    """The firm's rates and factors by their keys."""

    rates: Mapping[str, Rate]
    factors: Mapping[str, Factor]

    def levels(self, touch: Touch) -> list[Factor]:
        """The conditions of one kind, the easiest first."""
        return [each for each in self.factors.values() if each.touch == touch]


def table() -> Table:
    """The firm's table; two queries."""
    return Table(
        rates={row.key: rate_of(row) for row in rate_rows()},
        factors={row.key: factor_of(row) for row in factor_rows()},
    )


@dataclass(frozen=True, kw_only=True)
class Extra:
    """A task that no line of the quote asks for."""

    task: str
    quantity: Decimal
    times: int


@dataclass(frozen=True, kw_only=True)
class Site:
    """What the labour of a quote is reckoned with."""

    typed: dict[str, Any]
    levels: Mapping[Touch, str]
    crew_size: int
    day_h: Decimal
    # There and back; None: from the places of yard and garden.
    drive_h: Decimal | None
    extras: Mapping[int, Extra]
    # {figure: {"task", "what"}}.
    tasks: Mapping[str, Mapping[str, str]]

    def factors_for(self, bed: Bed | None, table: Table) -> tuple[Factor, ...]:
        """The factors of work in BED; a soil that nobody said is that of the bed."""
        keys = [self.levels.get(touch, "") for touch in ASKED]
        if not self.levels.get(Touch.SOIL):
            keys.append(soil_of(bed))
        keys.append("pace-firm")
        return tuple(table.factors[key] for key in keys if key in table.factors)


def soil_of(bed: Bed | None) -> str:
    """The factor of the soil that a bed is known to have; nobody knows: an easy one."""
    if bed is None or not bed.texture:
        return "soil-easy"
    return SOILS[Texture(bed.texture)]


def first_site() -> dict[str, Any]:
    """What the form begins with: the easiest of everything."""
    easiest: dict[str, str] = {}
    for factor in FACTORS:
        if factor.touch in ASKED:
            easiest.setdefault(str(factor.touch), factor.key)
    crew = Crew.objects.filter(retired_on__isnull=True).order_by("id").first()
    return {
        **easiest,
        "soil": "",
        "crew_size": str(CREW_SIZE),
        "day_h": f"{(crew.hours_per_day if crew else DAY_H).normalize():f}",
        "drive_h": "",
        **{
            f"extra_{name}_{number}": ""
            for number in EXTRAS
            for name in ("task", "quantity", "times")
        },
    }


def site_of(quote: Quote) -> tuple[Site, LabourSetting | None]:
    """The site as it was kept, or as it is proposed; two queries."""
    kept = LabourSetting.objects.filter(quote=quote).first()
    typed = {**first_site(), **(kept.typed if kept else {})}
    extras = {}
    for number in EXTRAS:
        task, quantity = (
            typed[f"extra_{name}_{number}"] for name in ("task", "quantity")
        )
        if task and quantity:
            extras[number] = Extra(
                task=task,
                quantity=Decimal(quantity),
                times=int(typed[f"extra_times_{number}"] or 1),
            )
    return (
        Site(
            typed=typed,
            levels={touch: typed[str(touch)] for touch in ASKED},
            crew_size=int(typed["crew_size"]),
            day_h=Decimal(typed["day_h"]),
            drive_h=Decimal(typed["drive_h"]) if typed["drive_h"] else None,
            extras=extras,
            tasks=typed.get("tasks", {}),
        ),
        kept,
    )


def around_of(
    quote: Quote, site: Site, table: Table, shows: Display
) -> tuple[Around, tuple[str, ...]]:
    """What the job takes beside the work, and what is not known of it."""
    rates = table.rates

    def hours(key: str) -> Decimal:
        rate = rates.get(key)
        return round_figure(rate.typical, 2) if rate else Decimal(0)

    drive, formula, notes = Decimal(0), "", []
    if site.drive_h is not None:
        drive = site.drive_h
        formula = _("%(hours)s h there and back, typed") % {
            "hours": shows.figure(drive, places=2, trim=True)
        }
    else:
        places = _places(quote)
        if places and "drive" in rates:
            try:
                drive, formula = drive_h(
                    km=great_circle_km(*places),
                    detour=DETOUR,
                    speed=rates["drive"],
                    display=shows,
                )
            except LabourError as refused:
                notes.append(str(refused))
        else:
            notes.append(
                _(
                    "The drive is not reckoned: type how long it takes, or where yard"
                    " and garden lie."
                )
            )
    return (
        Around(
            mobilise_h=hours("mobilise"),
            load_out_h=hours("load-out"),
            drive_h=drive,
            clean_up_h=hours("clean-up"),
            walk_through_h=hours("walk-through"),
            drive_formula=formula,
        ),
        tuple(notes),
    )


def _places(quote: Quote) -> tuple[Position, Position] | None:
    """Where yard and garden lie, as far as both are known."""
    firm, garden = firm_or_blank(), quote.garden
    if (
        firm.latitude is None
        or firm.longitude is None
        or garden.latitude is None
        or garden.longitude is None
    ):
        return None
    return (
        Position(lat=firm.latitude, lon=firm.longitude),
        Position(lat=garden.latitude, lon=garden.longitude),
    )


def known_words(beds: Sequence[Bed], table: Table) -> list[str]:
    """What the beds of the quote say of their soil, and what that makes of the work."""
    found = []
    for bed in beds:
        factor = table.factors.get(soil_of(bed))
        said = Texture(bed.texture).label if bed.texture else _("soil not known")
        times = f"{factor.factor.normalize():f}" if factor else "1"
        found.append(
            _("%(bed)s: %(soil)s, × %(times)s")
            % {"bed": bed.name, "soil": said, "times": times}
        )
    return found
