"""Two invented suppliers with the lists they sent."""

import datetime as dt
from collections.abc import Callable, Sequence
from zoneinfo import ZoneInfo

from django.core.files.base import ContentFile

from firm.imports import read_table
from jobs.actions.demo.story import ZONE, Story
from jobs.actions.suppliers import (
    ListDetails,
    SupplierDetails,
    choose_columns,
    claim_list,
    create_supplier,
    keep_read,
    order_taking,
    take_list,
    take_price,
    upload_list,
)
from jobs.enums import ItemKind, LineKind, PriceListState, SizeClass
from jobs.models import Quote, QuoteLine, Supplier, SupplierItem
from jobs.queries.price_lists.columns import guess_columns, head_key, known_heads
from jobs.queries.price_lists.lists import read_list
from jobs.queries.price_lists.names import Catalogue, Known
from jobs.queries.suppliers import catalogue_names, choices_for
from plants.models import Plant

# What a plant of each kind costs in the demo, invented: size, price, from ten on.
SOLD = {
    "tree": (("2 in balled", "186.00", "172.00"), ("#7", "94.00", "88.00")),
    "perennial": (("#1", "7.40", "6.80"),),
    "grass": (("#1", "7.90", "7.20"),),
    "sedge": (("#1", "6.90", "6.30"),),
    "fern": (("#1", "8.20", "7.60"),),
    "groundcover": (("4 in pot", "2.60", "2.30"), ("flat of 32", "58.00", "")),
    "bulb": (("4 in pot", "3.10", "2.80"),),
}
SHRUBS = (("#3", "24.00", "21.50"), ("#5", "38.00", "35.00"))
# Every so many plants of the catalogue are in the nursery's list, and those that the
# demo's latest quotes name.
EVERY = 3
QUOTED = frozenset(
    {
        "hemerocallis-catherine-woodbury",
        "hemerocallis-stella-de-oro",
        "hydrangea-paniculata-tardiva",
        "spiraea-japonica-goldmound",
    }
)
YARD = """Material,Size,Price,10+
Shredded bark mulch,"cu yd, loose",34.00,31.00
Shredded bark mulch,2 cu ft bag,4.25,3.90
Compost,"cu yd, loose",38.00,35.50
Washed sand,"cu yd, loose",44.00,41.00
Oak stake,6 ft,3.60,3.20
Steel edging,16 ft,31.00,
Starter fertilizer,25 lb bag,22.50,
"""


def buy_from_suppliers(story: Story) -> None:
    """A nursery with a fresh list, and a yard whose list is older than it holds."""
    nursery = create_supplier(
        details=SupplierDetails(
            name="Brackenside Nursery",
            contact="Wren Halloway",
            phone="555-0142",
            email="sales@brackenside.example",
            note="Orders by Tuesday noon come on Thursday.",
        ),
        by=story.owner,
        now=story.now,
    )
    yard = create_supplier(
        details=SupplierDetails(
            name="Lower Quarry Soil Yard", contact="Bo Tilden", phone="555-0177"
        ),
        by=story.owner,
        now=story.now,
    )
    _on_its_day(story, nursery, _plants, kind=ItemKind.PLANT, weeks_ago=2)
    _on_its_day(story, yard, lambda: YARD, kind=ItemKind.OTHER, weeks_ago=11)


def buy(story: Story, quote: Quote, *, now: dt.datetime) -> Quote:
    """The draft with what the suppliers ask for each line that one of them sells."""
    day = now.astimezone(ZoneInfo(ZONE)).date()
    for line in quote.lines.order_by("position", "id"):
        # The size the line names, else the first that is offered; the cheapest of it.
        choices = [
            choice
            for choice in choices_for(line=line, day=day)
            if _is_meant(line, choice.item)
        ]
        if choices:
            quote = take_price(
                quote_id=quote.pk,
                version=quote.version,
                line_id=line.pk,
                item_id=choices[0].item.pk,
                by=story.owner,
                now=now,
            )
    return quote


def _is_meant(line: QuoteLine, item: SupplierItem) -> bool:
    if line.kind == LineKind.PLANTS:
        return item.size_text == line.size_text
    # The yard brings loose what is needed by the yard.
    first = item.name.split()[-1].casefold()
    return item.size_class == SizeClass.BULK and first in line.description.casefold()


def _on_its_day(
    story: Story,
    supplier: Supplier,
    text: Callable[[], str],
    *,
    kind: ItemKind,
    weeks_ago: int,
) -> None:
    day = story.day(-7 * weeks_ago)
    story.then(
        story.at(day, 9),
        lambda now: _take(story, supplier, text(), kind=kind, day=day, now=now),
    )


def _plants() -> str:
    rows = ["Item no,Botanical name,Size,Price,10+,Available"]
    plants = Plant.objects.select_related("group").order_by("key", "id")
    for place, plant in enumerate(plants):
        if place % EVERY and plant.key not in QUOTED:
            continue
        for number, (size, price, more) in enumerate(
            SOLD.get(plant.group.kind, SHRUBS)
        ):
            left = (place * 37 + number * 11) % 240
            rows.append(
                f'B{place:03d}-{number},"{plant.botanical}",{size},{price},{more},'
                f"{left or 'sold out'}"
            )
    return "\n".join(rows)


def _take(
    story: Story,
    supplier: Supplier,
    text: str,
    *,
    kind: ItemKind,
    day: dt.date,
    now: dt.datetime,
) -> None:
    """The list uploaded, read by its heads and taken, as the pages do it."""
    table = read_table(ContentFile(text.encode()), known_heads=known_heads())
    chosen: Sequence[str] = guess_columns(table.headers)
    kept = upload_list(
        supplier_id=supplier.pk,
        details=ListDetails(
            file_name=f"prices-{day:%Y-%m}.csv",
            content=text.encode(),
            priced_on=day,
            kind=str(kind),
            is_whole=True,
            columns={
                "heads": list(table.headers),
                "sample": [list(row.cells) for row in table.rows[:5]],
                "chosen": list(chosen),
            },
        ),
        by=story.owner,
        now=now,
    )
    choose_columns(
        list_id=kept.pk,
        chosen=chosen,
        remembered=dict(zip(map(head_key, table.headers), chosen, strict=True)),
        by=story.owner,
        now=now,
    )
    claim_list(
        waits=PriceListState.TO_READ,
        claimed=PriceListState.READING,
        now=now,
        list_id=kept.pk,
    )
    found = read_list(
        table,
        columns=chosen,
        kind=kind,
        catalogue=Catalogue(
            Known(plant_id=plant, names=names) for plant, names in catalogue_names()
        ),
        answers={},
    )
    keep_read(
        list_id=kept.pk,
        lines=found.lines,
        refused=found.refused,
        rows=found.rows,
        now=now,
    )
    order_taking(list_id=kept.pk, by=story.owner, now=now)
    claim_list(
        waits=PriceListState.TO_TAKE,
        claimed=PriceListState.TAKING,
        now=now,
        list_id=kept.pk,
    )
    take_list(list_id=kept.pk, now=now)
