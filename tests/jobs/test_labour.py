"""The labour of a quote: tasks from its lines, the site, typed hours, written lines."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm.models import Entry, Firm, Person
from jobs.actions.labour import (
    FigureDetails,
    NoLabour,
    change_figure,
    keep_site,
    ship_rates,
    take_figure_back,
    write_labour,
)
from jobs.actions.quotes import LineDetails, keep_lines, revise
from jobs.actions.takeoff import NoSuchFigure
from jobs.models import LabourSetting, Quote, QuoteLine, QuoteOption
from jobs.queries.labour.quote import LabourPage, labour_page
from jobs.queries.labour.site import first_site
from plants.models import Bed
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW

pytestmark = pytest.mark.django_db
D = Decimal


@pytest.fixture
def bed(owner: Person) -> Bed:
    """A bed of loam, in a garden whose drive nobody knows."""
    ship_rates(now=NOW)
    Firm.objects.update(hour_cost=38, hour_price=60)
    made: Bed = factories.BedFactory(
        name="Bed A", texture="loam", garden__latitude=None, garden__longitude=None
    )
    return made


@pytest.fixture
def quote(bed: Bed) -> Quote:
    """The worked planting: twelve #3, four #7 and six cubic yards of mulch."""
    made: Quote = factories.QuoteFactory(garden=bed.garden)
    for position, (count, size) in enumerate(((12, "#3"), (4, "#7")), start=1):
        factories.plants_line(
            quote=made,
            bed=bed,
            position=position,
            description=f"Shrub {size}",
            quantity=D(count),
            size_text=size,
        )
    factories.QuoteLineFactory(
        quote=made,
        bed=bed,
        position=3,
        kind="mulch",
        description="Mulch",
        quantity=D(6),
        unit="cu yd",
    )
    return made


def page_of(quote: Quote) -> LabourPage:
    page = labour_page(quote_id=quote.pk)
    assert page is not None
    return page


def site(quote: Quote, by: Person, **typed: str) -> None:
    quote.refresh_from_db()
    keep_site(
        quote_id=quote.pk,
        version=quote.version,
        typed={**first_site(), **typed},
        by=by,
        now=NOW,
    )


def write(quote: Quote, by: Person) -> dict[str, QuoteLine]:
    quote.refresh_from_db()
    write_labour(quote_id=quote.pk, version=quote.version, by=by, now=NOW)
    return {
        line.typed["labour"]: line
        for line in quote.lines.order_by("position")
        if "labour" in line.typed
    }


def figure(
    quote: Quote, by: Person, name: str, task: str, hours: str = "", note: str = ""
) -> None:
    quote.refresh_from_db()
    change_figure(
        quote_id=quote.pk,
        version=quote.version,
        figure=name,
        details=FigureDetails(task=task, hours=D(hours) if hours else None, note=note),
        by=by,
        now=NOW,
    )


def test_the_worked_planting_is_reckoned_from_its_lines(quote: Quote) -> None:
    # 12 x 0.30 + 4 x 0.65 + 6 x 0.9 = 11.6 h of work: rates common practice, no
    # source, sums arithmetic. Around it, for two people on one day: 0.5 h of setting
    # up, 0.5 h of loading and 0.5 h of clearing up each, 0.5 h of the walk-through.
    page = page_of(quote)
    assert page.whole is not None
    assert page.whole.work_h == D("11.60")
    assert [piece.task.key for piece in page.pieces if piece.task] == [
        "plant-3",
        "plant-7",
        "mulch",
    ]
    assert page.whole.labour_h == D("15.10")
    assert [(crew.size, crew.days) for crew in page.crews][:3] == [
        (1, 2),
        (2, 1),
        (3, 1),
    ]
    assert any("drive is not reckoned" in note for note in page.notes)


def test_written_labour_is_updated_and_never_doubled(
    quote: Quote, owner: Person
) -> None:
    lines = write(quote, owner)
    work, around = lines["work"], lines["around"]
    assert (work.quantity, work.hours, work.unit) == (D("11.600"), D("11.60"), "h")
    assert (work.unit_cost, work.unit_price, work.price) == (38, 60, D("696.00"))
    assert "Shrub #3: 12 × 0.3 h = 3.60 h" in work.formula
    assert around.hours == D("3.50")
    quote.refresh_from_db()
    before = quote.net
    assert {key: row.pk for key, row in write(quote, owner).items()} == {
        "work": work.pk,
        "around": around.pk,
    }
    quote.refresh_from_db()
    assert (quote.net, quote.lines.count()) == (before, 5)
    # Clay loam and a long carry: (3.6 + 2.6) x 1.25 x 1.2 + 5.4 x 1.2 = 15.78 h.
    site(quote, owner, soil="soil-clay-loam", carry="carry-far")
    work.refresh_from_db()
    assert work.hours == D("11.60")
    again = write(quote, owner)
    assert (again["work"].pk, again["work"].hours) == (work.pk, D("15.78"))
    assert quote.lines.count() == 5
    assert Entry.objects.filter(action="labour written").count() == 3
    # What is written carries its hours into the learning of rates later.
    kept = LabourSetting.objects.get(quote=quote)
    assert [(each["task"], each["hours"]) for each in kept.written[:3]] == [
        ("plant-3", "5.40"),
        ("plant-7", "3.90"),
        ("mulch", "6.48"),
    ]


def test_a_line_changed_by_hand_stays_and_one_without_hours_goes(
    quote: Quote, owner: Person
) -> None:
    work = write(quote, owner)["work"]
    quote.refresh_from_db()
    keep_lines(
        quote_id=quote.pk,
        version=quote.version,
        details=[
            LineDetails(
                kind="labour",
                description="Planting",
                quantity=D(14),
                unit="h",
                unit_cost=D(38),
            )
        ],
        instead_of=[work.pk],
        by=owner,
        now=NOW,
    )
    site(quote, owner, soil="soil-clay")
    lines = write(quote, owner)
    assert lines["work"].hours == 14
    assert page_of(quote).by_hand == (lines["work"],)
    quote.lines.filter(kind__in=("plants", "mulch")).delete()
    assert list(write(quote, owner)) == ["work"]
    quote.lines.all().delete()
    with pytest.raises(NoLabour):
        write(quote, owner)


def test_the_soil_of_each_bed_is_proposed_and_the_whole_site_overrules_it(
    quote: Quote, owner: Person, bed: Bed
) -> None:
    bed.texture = "clay"
    bed.save(update_fields=["texture"])
    page = page_of(quote)
    # 3.6 x 1.4, 2.6 x 1.4, and mulch that minds no clay.
    assert [piece.part.hours for piece in page.pieces if piece.part] == [
        D("5.04"),
        D("3.64"),
        D("5.40"),
    ]
    assert page.known == ("Bed A: clay, × 1.4",)
    site(quote, owner, soil="soil-easy")
    assert page_of(quote).pieces[0].part is not None
    assert page_of(quote).pieces[0].part.hours == D("3.60")  # type: ignore[union-attr]


def test_the_drive_comes_from_the_places_or_is_typed(
    quote: Quote, owner: Person, bed: Bed
) -> None:
    # A tenth of a degree of the meridian: 11.12 km on the sphere of GRS 80's mean
    # radius, 6.91 mi x 1.3 / 25 x 2 = 0.72 h (arithmetic), for two people on two days.
    Firm.objects.update(latitude=D("38.5"), longitude=D("-78.4"))
    garden = bed.garden
    garden.latitude, garden.longitude = D("38.6"), D("-78.4")
    garden.save(update_fields=["latitude", "longitude"])
    drive = next(part for part in page_of(quote).around if part.key == "drive")
    assert drive.hours == D("0.72") * 2 * 2
    assert "2 × 6.9 mi straight × 1.3 for the roads" in drive.formula
    site(quote, owner, drive_h="0.25", crew_size="3")
    drive = next(part for part in page_of(quote).around if part.key == "drive")
    assert drive.hours == D("0.75")


def test_typed_hours_and_another_task_hold_until_they_are_taken_back(
    quote: Quote, owner: Person
) -> None:
    figure(quote, owner, "labour-line-1", "plant-5", "9", "The holes are dug by auger.")
    first = page_of(quote).pieces[0]
    assert first.part is not None
    assert (first.part.hours, first.is_chosen) == (D("9.00"), True)
    assert first.part.formula == "12 × 0.45 h = 5.40 h; typed over it: 9.00 h"
    assert write(quote, owner)["work"].hours == D("17.00")
    # A revision takes both with it.
    Quote.objects.filter(pk=quote.pk).update(
        state="offered", offered_at=NOW, valid_until=factories.TODAY
    )
    new = page_of(revise(quote_id=quote.pk, by=owner, now=NOW))
    assert new.whole is not None
    assert new.whole.work_h == D("17.00")
    assert {line.hours for line in new.lines.values()} == {D("17.00"), D("5.50")}
    draft = new.quote
    take_figure_back(
        quote_id=draft.pk,
        version=draft.version,
        figure="labour-line-1",
        by=owner,
        now=NOW,
    )
    back = page_of(draft).pieces[0].part
    assert back is not None
    assert back.hours == D("3.60")
    draft.refresh_from_db()
    with pytest.raises(NoSuchFigure):
        take_figure_back(
            quote_id=draft.pk,
            version=draft.version,
            figure="labour-line-1",
            by=owner,
            now=NOW,
        )


def test_an_option_has_its_own_labour_and_an_alternate_is_left_to_the_owner(
    quote: Quote, owner: Person, bed: Bed
) -> None:
    extra = QuoteOption.objects.create(quote=quote, position=1, title="Hedge")
    first = quote.lines.get(position=1)
    other = QuoteOption.objects.create(
        quote=quote, position=2, title="Larger", kind="instead", instead_of=first
    )
    for position, option in ((8, extra), (9, other)):
        factories.plants_line(
            quote=quote,
            bed=bed,
            position=position,
            option=option,
            quantity=D(20),
            size_text="#5",
        )
    lines = write(quote, owner)
    assert sorted(lines) == ["around", "option-1", "work"]
    # 20 x 0.45 h (common practice, no source).
    assert (lines["option-1"].hours, lines["option-1"].option) == (D("9.00"), extra)
    assert lines["work"].hours == D("11.60")
    assert "not reckoned" in page_of(quote).pieces[-1].refused


@pytest.mark.parametrize(
    ("facts", "task", "hours"),
    [
        ({"size_text": "4 in pot", "quantity": D(100)}, "plant-pot", "3.00"),
        ({"size_text": "2 in plug", "quantity": D(1000)}, "plant-plug", "30.00"),
        # 3 trees of 2 in: 6 in of trunk at 1.25 h.
        ({"size_text": "2 in balled", "quantity": D(3)}, "plant-balled", "7.50"),
        ({"kind": "soil", "unit": "m³", "quantity": D("0.765")}, "soil-mix", "1.25"),
        (
            {"typed": {"takeoff": "edging-1"}, "unit": "ft", "kind": "other"},
            "edge",
            "0.13",
        ),
        ({"typed": {"takeoff": "stakes-1"}, "kind": "other"}, "stake", "1.50"),
        ({"size_text": "bare root"}, "", ""),
        ({"size_text": ""}, "", ""),
        ({"size_text": "#45"}, "", ""),
        ({"kind": "mulch", "unit": "bags"}, "mulch", ""),
        ({"kind": "other", "unit": "load"}, "none", ""),
    ],
)
def test_a_line_is_proposed_its_task_or_said_to_lack_one(
    bed: Bed, facts: dict[str, Any], task: str, hours: str
) -> None:
    quote = factories.QuoteFactory(garden=bed.garden)
    factories.plants_line(quote=quote, bed=bed, **facts)
    (piece,) = page_of(quote).pieces
    assert piece.proposed == task
    assert (piece.part.hours if piece.part else "") == (D(hours) if hours else "")
    assert piece.is_missing == (not hours and task != "none")


SITE = {
    "access": "access-open",
    "carry": "carry-near",
    "slope": "slope-level",
    "soil": "",
    "roots": "roots-none",
    "season": "season-mild",
    "crew": "crew-practised",
    "crew_size": "3",
    "day_h": "7,5",
    "drive_h": "0,5",
    "extra_task_1": "weed",
    "extra_quantity_1": "1800",
    "extra_times_1": "8",
}


def test_an_owner_reckons_and_writes_labour_on_the_page(
    owner_client: StrictClient, quote: Quote
) -> None:
    url = reverse("quote-labour", args=[quote.pk])
    sent = {**SITE, "version": str(quote.version)}
    page = owner_client.post(url, sent, follow=True).content.decode()
    # 1,800 sq ft at 250 an hour, eight times: 57.6 h.
    assert "1,800 sq ft ÷ 250 sq ft an hour × 8 times = 57.60 h" in page
    quote.refresh_from_db()
    page = owner_client.post(
        reverse("quote-labour-write", args=[quote.pk]),
        {"version": str(quote.version)},
        follow=True,
    ).content.decode()
    assert "The labour was written into the quote." in page
    assert "Planting work: 69.20 h,\n              \n                written" in page
    quote.refresh_from_db()
    figure_url = reverse("quote-labour-figure", args=[quote.pk, "labour-line-1"])
    typed = {"version": str(quote.version), "task": "plant-3", "hours": "4,5"}
    answer = owner_client.post(figure_url, typed)
    assert answer.context["form"].errors == {"note": ["Say why the hours are others."]}
    page = owner_client.post(
        figure_url, {**typed, "note": "Half of them pots."}, follow=True
    ).content.decode()
    assert "why: Half of them pots." in page
    assert "written as 69.20 h, now other" in page
    # The old version of the page no longer holds.
    answer = owner_client.post(url, sent)
    assert "Somebody else changed this" in str(answer.context["form"].errors)


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("crew_size", "0", "at least 1"),
        ("crew_size", "two", "Enter a whole number."),
        ("day_h", "0", "more than nothing"),
        ("day_h", "24", "at most 16"),
        ("drive_h", "-1", "more than nothing"),
        ("drive_h", "an hour", "not read as an amount"),
        ("extra_quantity_1", "1e309", "not read as an amount"),
        ("extra_quantity_1", "", "Type how much, in sq ft."),
        ("extra_task_1", "", "Choose what is to be done."),
        ("soil", "soil-peat", "Select a valid choice."),
        ("extra_times_1", "0", "at least 1"),
    ],
)
def test_a_site_nobody_could_have_is_refused_beside_its_field(
    owner_client: StrictClient, quote: Quote, field: str, typed: str, said: str
) -> None:
    answer = owner_client.post(
        reverse("quote-labour", args=[quote.pk]),
        {**SITE, "version": str(quote.version), field: typed},
    )
    errors = answer.context["form"].errors
    assert list(errors) == [field]
    assert said in errors[field][0]
    assert not LabourSetting.objects.exists()


@pytest.mark.parametrize("count", [1, 3])
def test_the_page_takes_the_same_queries_however_many_lines(
    owner_client: StrictClient, bed: Bed, count: int, django_assert_num_queries: Any
) -> None:
    quote = factories.QuoteFactory(garden=bed.garden)
    for _each in range(count):
        factories.plants_line(quote=quote, bed=factories.BedFactory(garden=bed.garden))
    url = reverse("quote-labour", args=[quote.pk])
    owner_client.get(url)
    with django_assert_num_queries(12):
        owner_client.get(url)
