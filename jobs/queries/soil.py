"""What it takes to make a bed's soil right: pH, a mix, mulch, fertiliser, loads."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from django.utils.translation import gettext as _

from firm.units import Display, convert
from jobs import takeoff
from jobs.queries.quantities import NATIVE, shape_of
from plants.models import Bed, Plant, Planting
from plants.queries.fit import facts_of, site_of
from plants.queries.gardens import plantings_in_bed
from plants.soil import Change, Feeding, Ph, change_ph, feed, iron_words, read_analysis

PART = re.compile(r"\s*(.{1,40}?)[\s:=]+([0-9]{1,3}(?:[.,][0-9]{1,2})?)\s*%?\s*")
MOST_PARTS = 8


@dataclass(frozen=True, kw_only=True)
class SoilBed:
    """A bed with what is known of its soil and what grows in it."""

    bed: Bed
    grown: Sequence[Planting]
    ph: Ph | None
    area_m2: Decimal | None

    @property
    def stems(self) -> int:
        """How many plants stand in it."""
        return sum(planting.count for planting in self.grown)


def soil_bed(bed: Bed) -> SoilBed:
    """What is known of the soil of BED, with what grows in it."""
    site = site_of(bed)
    return SoilBed(
        bed=bed,
        grown=plantings_in_bed(bed=bed),
        ph=site.ph_range,
        area_m2=site.area_m2,
    )


def plant_ph(plant: Plant) -> Ph | None:
    """The pH that PLANT wants."""
    wanted = facts_of(plant).get("ph")
    if not wanted:
        return None
    return Ph(low=Decimal(str(wanted[0])), high=Decimal(str(wanted[1])))


@dataclass(frozen=True, kw_only=True)
class PhAnswer:
    """What brings the soil to the wanted pH, and the iron that would do as much."""

    change: Change
    wanted: Ph
    iron: str


def ph_answer(
    *,
    soil: Ph,
    wanted: Ph,
    texture: str,
    has_free_lime: bool | None,
    planted: bool,
    cce_percent: Decimal,
    area_m2: Decimal,
    display: Display,
) -> PhAnswer:
    """The doses that bring SOIL to WANTED on an area, or why there are none."""
    change = change_ph(
        soil=soil,
        wanted=wanted,
        texture=texture or None,
        area_m2=area_m2,
        planted=planted,
        has_free_lime=has_free_lime,
        cce_percent=cce_percent,
        display=display,
    )
    sulfur = [dose for dose in change.doses if dose.product == "elemental sulfur"]
    return PhAnswer(
        change=change,
        wanted=wanted,
        iron=iron_words(sulfur[0], display) if sulfur else "",
    )


@dataclass(frozen=True, kw_only=True)
class MixPart:
    """One part of a mix: what goes in and what is ordered so that it settles to it."""

    portion: takeoff.Portion
    ordered: takeoff.Figure | None


@dataclass(frozen=True, kw_only=True)
class Mix:
    """A mix that fills a bed, with one part bought and carried."""

    volume: takeoff.Figure
    parts: Sequence[MixPart]
    bought: MixPart | None
    buying: takeoff.Buying | None
    load: takeoff.Load | None


def read_parts(text: str) -> tuple[tuple[str, Decimal], ...]:
    """The named parts of a mix, one a line; TakeoffError says which is wrong."""
    parts: list[tuple[str, Decimal]] = []
    for number, line in enumerate(
        (line for line in text.splitlines() if line.strip()), start=1
    ):
        found = PART.fullmatch(line)
        if found is None:
            raise takeoff.TakeoffError(
                _("Line %(number)d: write a name and its share, such as compost 25.")
                % {"number": number}
            )
        try:
            parts.append((found[1].strip(), Decimal(found[2].replace(",", "."))))
        except InvalidOperation:
            raise takeoff.TakeoffError(
                _("Line %(number)d: this is no share.") % {"number": number}
            ) from None
    if len(parts) > MOST_PARTS:
        raise takeoff.TakeoffError(_("A mix has at most %d parts.") % MOST_PARTS)
    if len({name.lower() for name, _share in parts}) < len(parts):
        raise takeoff.TakeoffError(_("Two parts have the same name."))
    return tuple(parts)


def mix_for(
    *,
    bed: Bed,
    depth_m: Decimal,
    parts: Sequence[tuple[str, Decimal]],
    settling_percent: Decimal,
    buys: str,
    bag: takeoff.BagPrice | None,
    bulk: takeoff.BulkPrice | None,
    material: str,
    payload_kg: Decimal | None,
    places: int,
    display: Display,
) -> Mix:
    """The mix of a bed; the part named BUYS, or the first that is not the bed's own
    soil, is bought in the cheaper way and weighed as MATERIAL.
    """
    volume = takeoff.soil_volume(shape_of(bed), depth_m=depth_m, display=display)
    found = []
    for portion in takeoff.blend(volume, parts=parts, display=display):
        is_there = portion.name.lower() == NATIVE
        ordered = (
            None
            if is_there
            else takeoff.to_order(
                portion.figure, settling_percent=settling_percent, display=display
            )
        )
        found.append(MixPart(portion=portion, ordered=ordered))
    named = [part for part in found if part.portion.name.lower() == buys.lower()]
    if buys and not named:
        raise takeoff.TakeoffError(_("%s is no part of the mix.") % buys)
    bought = next(
        (part for part in named or found if part.ordered and part.portion.percent), None
    )
    buying = load = None
    if bought is not None and bought.ordered is not None:
        if bag or bulk:
            buying = takeoff.cheapest(
                bought.ordered, bag=bag, bulk=bulk, places=places, display=display
            )
        if material and payload_kg:
            load = takeoff.load(
                bought.ordered,
                material=material,
                payload_kg=payload_kg,
                display=display,
            )
    return Mix(volume=volume, parts=found, bought=bought, buying=buying, load=load)


def mulch_around(
    *, bed: Bed, depth_m: Decimal, stems: int, gap_m: Decimal, display: Display
) -> takeoff.Figure:
    """The mulch of a bed that keeps off its stems."""
    return takeoff.mulch(
        shape_of(bed), depth_m=depth_m, stems=stems, gap_m=gap_m, display=display
    )


def feeding_for(
    *,
    kind: str,
    analysis: str,
    n_rate: Decimal,
    given: Decimal,
    is_slow: bool,
    is_young: bool,
    liquid_weight: Decimal | None,
    area_m2: Decimal,
    display: Display,
) -> Feeding:
    """The fertiliser for an area; rates in the firm's units (lb per 1,000 sq ft, or
    grams on a square metre), a liquid's weight in lb a gallon or kg a litre.
    """
    us = display.system == "us"
    per_1000 = Decimal(1) if us else 1 / _grams_of_a_pound_per_1000()
    weight = liquid_weight
    if weight is not None and us:
        weight = convert(weight, unit="lb", to="kg") / convert(
            Decimal(1), unit="gal", to="L"
        )
    return feed(
        kind=kind,
        analysis=read_analysis(analysis),
        n_lb_per_1000=n_rate * per_1000,
        given_lb_per_1000=given * per_1000,
        is_slow=is_slow,
        is_young=is_young,
        liquid_kg_per_l=weight,
        area_m2=area_m2,
        display=display,
    )


def _grams_of_a_pound_per_1000() -> Decimal:
    """Grams on a square metre that are one pound on 1,000 sq ft."""
    return convert(Decimal(1), unit="lb", to="g") / convert(
        Decimal(1000), unit="sq ft", to="m²"
    )
