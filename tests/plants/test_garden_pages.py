"""Gardens, beds, instructions and plantings through their pages."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm.models import Client, Contact, Entry
from plants.models import Bed, Garden, Planting, StandingInstruction
from tests import factories
from tests.conftest import StrictClient

pytestmark = pytest.mark.django_db

BED = {
    "name": "Front border",
    "shape": "rectangle",
    "length": "12 ft 6 in",
    "width": "4",
    "across": "",
    "pieces": "",
    "depth": "8",
    "facing": "E",
    "light": "part shade",
    "latest_sun": "13:30",
    "texture": "loam",
    "ph": "6.3",
    "moisture": "moist",
    "notes": "",
    "shades-TOTAL_FORMS": "1",
    "shades-INITIAL_FORMS": "0",
    "shades-0-kind": "",
}
GARDEN = {
    "name": "Orchard Row 9",
    "address": "9 Orchard Row",
    "latitude": "38.6",
    "longitude": "-77.8",
    "access_notes": "Side gate",
    "gate_code": "4711",
}
PLANTING = {
    "plant": "",
    "what_it_looks_like": "",
    "count": "2",
    "bed": "",
    "place": "left of the door",
    "number": "",
    "age_known": "unknown",
    "age_years": "",
    "notes": "",
}


def said(response: Any) -> str:
    return " ".join(response.content.decode().split())


def errors(response: Any) -> dict[str, list[str]]:
    return {name: list(told) for name, told in response.context["form"].errors.items()}


# --- gardens -----------------------------------------------------------------------


def test_a_garden_is_opened_together_with_its_new_client(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()

    response = owner_client.post(
        reverse("garden-new"),
        {
            **GARDEN,
            "station": station.pk,
            "new_client": "Dana Quill",
            "contact_name": "Dana Quill",
            "contact_phone": "555 0142",
        },
    )

    garden = Garden.objects.get()
    assert response["Location"] == reverse("garden", args=[garden.pk])
    assert (garden.client.name, garden.latitude) == ("Dana Quill", Decimal("38.60000"))
    assert list(Contact.objects.values_list("phone", "is_main")) == [("555 0142", True)]
    assert Entry.objects.filter(action="garden opened").count() == 1


def test_a_garden_of_nobody_is_refused_and_nothing_is_lost(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()

    response = owner_client.post(
        reverse("garden-new"), {**GARDEN, "station": station.pk, "longitude": ""}
    )

    assert errors(response) == {
        "longitude": ["Latitude and longitude come together."],
        "client": ["Choose a client or name a new one below."],
    }
    assert "Side gate" in said(response)
    assert (Garden.objects.count(), Client.objects.count()) == (0, 0)


def test_of_two_people_in_one_garden_the_second_is_told(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory(name="Old name")
    url = reverse("garden-change", args=[garden.pk])
    base = {**GARDEN, "station": garden.station_id, "version": "1"}

    first = owner_client.post(url, {**base, "name": "First name"})
    second = owner_client.post(url, {**base, "name": "Second name"})

    assert (first.status_code, second.status_code) == (302, 409)
    garden.refresh_from_db()
    assert (garden.name, garden.version) == ("First name", 2)
    assert [vars(line) for line in second.context["differences"]] == [
        {"label": "name", "stands": "First name", "typed": "Second name"}
    ]
    assert 'value="Second name"' in said(second)

    # Looked at and sent again it stands.
    version = second.context["form"]["version"].value()
    third = owner_client.post(url, {**base, "name": "Second name", "version": version})
    garden.refresh_from_db()
    assert (third.status_code, garden.name) == (302, "Second name")


def test_the_gate_code_is_on_the_page_that_changes_it_and_not_in_the_record(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory(gate_code="4711 Z")
    page = owner_client.get(reverse("garden", args=[garden.pk]))
    form = owner_client.get(reverse("garden-change", args=[garden.pk]))

    assert ("4711 Z" in said(page), "4711 Z" in said(form)) == (False, True)
    owner_client.post(
        reverse("garden-change", args=[garden.pk]),
        {
            **GARDEN,
            "gate_code": "0815 Y",
            "station": garden.station_id,
            "version": "1",
        },
    )
    entry = Entry.objects.get(action="garden changed")
    assert "0815" not in f"{entry.summary} {entry.details}"


@pytest.mark.parametrize("count", [1, 3])
def test_the_list_of_gardens_asks_the_same_questions_for_any_number(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for _number in range(count):
        garden = factories.GardenFactory()
        factories.PlantingFactory(garden=garden)
        factories.BedFactory(garden=garden)

    # Session, person, gardens counted and listed, clients of the filter, firm.
    with django_assert_num_queries(6):
        page = owner_client.get(reverse("gardens"))

    rows = list(page.context["page"])
    assert [(row.bed_count, row.planting_count) for row in rows] == [(1, 1)] * count


def test_gardens_are_found_by_client_and_by_words(owner_client: StrictClient) -> None:
    wanted = factories.GardenFactory(name="Mill", client__name="Dana Quill")
    factories.GardenFactory(name="Hill", client__name="Ira Moss")

    def found(query: str) -> list[str]:
        page = owner_client.get(f"{reverse('gardens')}?{query}").context["page"]
        return [garden.name for garden in page]

    assert found("q=quill") == ["Mill"]
    assert found(f"client={wanted.client_id}") == ["Mill"]
    assert found("q=nobody") == []


@pytest.mark.parametrize("count", [1, 3])
def test_the_garden_page_asks_the_same_questions_for_any_number(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    garden = factories.GardenFactory()
    rule = factories.RuleFactory()
    crew = factories.CrewFactory()
    for number in range(1, count + 1):
        bed = factories.BedFactory(garden=garden)
        planting = factories.PlantingFactory(
            garden=garden, bed=bed, number=number, plant__group=rule.group
        )
        StandingInstruction.objects.create(
            garden=garden, planting=planting, text="x", given_on=dt.date(2026, 1, 1)
        )
        factories.QuoteFactory(garden=garden)
        factories.ContractFactory(garden=garden)
        job = factories.JobFactory(garden=garden, crew=crew)
        factories.VisitFactory(job=job, crew=crew)

    with django_assert_num_queries(14):
        page = owner_client.get(reverse("garden", args=[garden.pk])).context["page"]

    assert [
        len(rows)
        for rows in (
            page.instructions,
            page.beds,
            page.growing,
            page.visits,
            page.quotes,
            page.jobs,
            page.contracts,
        )
    ] == [count] * 7


# --- instructions ------------------------------------------------------------------


def test_an_instruction_is_given_and_ended(owner_client: StrictClient) -> None:
    planting = factories.PlantingFactory()
    garden = planting.garden

    owner_client.post(
        reverse("instruction-new", args=[garden.pk]),
        {
            "text": "Never cut: it screens the bedroom window",
            "planting": planting.pk,
            "forbids": ["prune", "shear"],
            "given_by": "Dana Quill",
            "given_on": "2026-01-05",
        },
    )
    instruction = StandingInstruction.objects.get()
    assert (instruction.planting, instruction.forbids) == (planting, ["prune", "shear"])
    page = owner_client.get(reverse("garden", args=[garden.pk]))
    assert "Never cut: it screens the bedroom window" in said(page)
    assert "Forbidden: prune, shear" in said(page)

    owner_client.post(reverse("instruction-end", args=[instruction.pk]))
    ended = StandingInstruction.objects.get()
    assert ended.ended_on is not None
    page = owner_client.get(reverse("garden", args=[garden.pk]))
    assert page.context["page"].instructions == []


def test_an_instruction_for_another_gardens_planting_is_refused(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    stranger = factories.PlantingFactory()

    response = owner_client.post(
        reverse("instruction-new", args=[garden.pk]),
        {"text": "x", "planting": stranger.pk, "given_on": "2999-01-01"},
    )

    assert sorted(errors(response)) == ["given_on", "planting"]
    assert StandingInstruction.objects.count() == 0


# --- beds --------------------------------------------------------------------------


def test_a_bed_keeps_what_was_typed_beside_exact_metres(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()

    owner_client.post(
        reverse("bed-new", args=[garden.pk]),
        {
            **BED,
            "shades-0-kind": "tree",
            "shades-0-side": "W",
            "shades-0-height": "30",
            "shades-0-distance": "12 ft",
        },
    )

    bed = Bed.objects.get()
    # 12 ft 6 in x 0.3048: the international foot, exact by definition.
    assert (bed.length_text, bed.length_m) == ("12 ft 6 in", Decimal("3.810000"))
    assert (bed.width_text, bed.width_m) == ("4 ft", Decimal("1.219200"))
    assert (bed.depth_text, bed.depth_m) == ("8 in", Decimal("0.203200"))
    assert bed.latest_sun == dt.time(13, 30)
    shade = bed.shades.get()
    assert (shade.kind, shade.height_text, shade.height_m) == (
        "tree",
        "30 ft",
        Decimal("9.1440"),
    )


def test_the_bed_of_the_worked_garden_shows_its_area_and_volume(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()

    page = said(owner_client.get(reverse("bed", args=[bed.pk])))

    # 30 ft x 8 ft x 8 in: arithmetic.
    assert "240.00 sq ft" in page
    assert "160.00 cu ft" in page.replace("\u00a0", " ")
    assert "5.926 cu yd" in page


def test_a_circle_and_several_rectangles_are_read(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()
    url = reverse("bed-new", args=[garden.pk])

    owner_client.post(
        url, {**BED, "name": "Round", "shape": "circle", "across": "12 ft"}
    )
    owner_client.post(
        url,
        {
            **BED,
            "name": "Corner",
            "shape": "pieces",
            "pieces": "12 ft 6 in x 4 ft\n10 x 3 ft",
        },
    )

    circle, pieces = Bed.objects.get(name="Round"), Bed.objects.get(name="Corner")
    assert (circle.across_m, circle.length_m) == (Decimal("3.657600"), None)
    assert pieces.pieces == [
        {
            "length_text": "12 ft 6 in",
            "width_text": "4 ft",
            "length_m": "3.81",
            "width_m": "1.2192",
        },
        {
            "length_text": "10 ft",
            "width_text": "3 ft",
            "length_m": "3.048",
            "width_m": "0.9144",
        },
    ]
    page = said(owner_client.get(reverse("bed", args=[pieces.pk])))
    assert "80.00 sq ft" in page


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("length", "-3 ft", "cannot be negative"),
        ("length", "0", "at least"),
        ("length", "9999 ft", "at most"),
        ("length", "12 ft 6 qq", "not a unit of length"),
        ("length", "", "This shape needs it."),
        ("ph", "15", "between 3 and 10"),
        ("depth", "400 in", "at most"),
        ("light", "moonlight", "Select a valid choice"),
    ],
)
def test_what_no_bed_can_be_is_refused_beside_its_field(
    field: str, value: str, told: str, owner_client: StrictClient
) -> None:
    garden = factories.GardenFactory()

    response = owner_client.post(
        reverse("bed-new", args=[garden.pk]), {**BED, field: value}
    )

    assert list(errors(response)) == [field]
    assert told in errors(response)[field][0]
    assert Bed.objects.count() == 0
    assert 'value="Front border"' in said(response)


def test_lines_of_pieces_are_refused_by_their_number(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()

    response = owner_client.post(
        reverse("bed-new", args=[garden.pk]),
        {**BED, "shape": "pieces", "pieces": "10 x 3\nten by\n"},
    )

    told = errors(response)["pieces"]
    assert len(told) == 1
    assert told[0].startswith("Line 2: ")


def test_a_bed_is_measured_by_its_corners_and_drawn(owner_client: StrictClient) -> None:
    """An L of 20 ft by 10 ft less 10 ft by 5 ft has 150 sq ft (arithmetic)."""
    garden = factories.GardenFactory()
    url = reverse("bed-new", args=[garden.pk])
    ell = "20 left\n5 left\n10 right\n5 left\n10 left"

    crossed = owner_client.post(
        url, {**BED, "shape": "outline", "outline": "0; 0\n9; 0\n0; 9\n9; 9"}
    )
    assert "Side 2 crosses or touches side 4" in errors(crossed)["outline"][0]
    empty = owner_client.post(url, {**BED, "shape": "outline", "outline": ""})
    assert errors(empty)["outline"] == ["This shape needs it."]
    assert not Bed.objects.exists()
    owner_client.post(url, {**BED, "shape": "outline", "outline": ell})

    bed = Bed.objects.get()
    assert bed.outline_text.splitlines()[0] == "20 ft left"
    assert bed.corners[2] == ["6.096", "1.524"]
    assert (bed.length_m, bed.pieces) == (None, [])
    page = said(owner_client.get(reverse("bed", args=[bed.pk])))
    assert "150.00 sq ft" in page
    assert "an outline of 6 corners" in page
    for name in ("bed-sketch", "bed-fit", "bed-soil", "bed-change"):
        assert owner_client.get(reverse(name, args=[bed.pk])).status_code == 200
    factories.PlantingFactory(garden=garden, bed=bed, count=5)
    assert "A bed with 6 corners, 20 ft by 10 ft in all." in said(
        owner_client.get(reverse("bed", args=[bed.pk]))
    )


def test_an_area_that_nobody_could_plant_is_refused(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()

    response = owner_client.post(
        reverse("bed-new", args=[garden.pk]),
        {**BED, "length": "1600 ft", "width": "1600 ft"},
    )

    assert list(errors(response)) == ["length"]


def test_two_beds_of_one_name_are_refused_in_one_garden_only(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(name="Front border")
    other = factories.GardenFactory()

    refused = owner_client.post(reverse("bed-new", args=[bed.garden_id]), BED)
    taken = owner_client.post(reverse("bed-new", args=[other.pk]), BED)

    assert errors(refused) == {"name": ["This garden already has a bed of that name."]}
    assert taken.status_code == 302


def test_of_two_people_in_one_bed_the_second_is_told(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(name="Front border")
    url = reverse("bed-change", args=[bed.pk])

    first = owner_client.post(url, {**BED, "ph": "5.5", "version": "1"})
    second = owner_client.post(url, {**BED, "ph": "7.1", "version": "1"})

    assert (first.status_code, second.status_code) == (302, 409)
    bed.refresh_from_db()
    assert bed.ph == Decimal("5.5")
    assert [(line.label, line.stands) for line in second.context["differences"]] == [
        ("pH", "5.5")
    ]


def test_a_bare_number_means_the_same_after_the_firm_changes_units(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(name="Front border")
    url = reverse("bed-change", args=[bed.pk])
    owner_client.post(url, {**BED, "length": "10", "version": "1"})
    factories.FirmFactory().__class__.objects.update(units="metric")

    form = owner_client.get(url).context["form"]

    assert form["length"].value() == "10 ft"
    assert (form.fields["length"].unit, form.fields["depth"].unit) == ("m", "cm")


def test_the_ranking_says_why_and_asks_the_same_questions_for_any_number(
    owner_client: StrictClient, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    bed = factories.BedFactory(light="part shade", ph=Decimal("8.0"))
    url = reverse("bed-fit", args=[bed.pk])
    for count in (1, 3):
        while factories.PlantFactory._meta.model.objects.count() < count:
            factories.PlantFactory()
        # Session, person, bed, shades, firm twice, plants, natives, what grows there.
        with django_assert_num_queries(9):
            page = owner_client.get(url).context["page"]
        assert len(page) == count
    line = page[0]
    assert line.fit.verdict == "wrong"
    assert "soil pH" in line.reason


def test_the_verdict_on_one_plant_shows_needed_and_found(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(light="part shade", ph=Decimal("8.0"))
    plant = factories.PlantFactory()

    page = owner_client.get(reverse("bed-fit-plant", args=[bed.pk, plant.key]))

    found = {line.key: line for line in page.context["page"].fit.criteria}
    ph = next(line for line in found.values() if line.name == "soil pH")
    assert (ph.needed, ph.found, ph.verdict) == ("pH 5 to 6.5", "pH 8", "wrong")
    assert ph.words in page.content.decode().replace("&#x27;", "'")


# --- plantings ---------------------------------------------------------------------


def test_an_unidentified_plant_needs_a_description(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()
    url = reverse("planting-new", args=[garden.pk])

    refused = owner_client.post(url, PLANTING)
    taken = owner_client.post(url, {**PLANTING, "what_it_looks_like": "tall, glossy"})

    assert list(errors(refused)) == ["what_it_looks_like"]
    assert taken.status_code == 302
    planting = Planting.objects.get()
    assert (planting.number, planting.plant, planting.origin) == (1, None, "there")
    page = owner_client.get(reverse("planting", args=[planting.pk]))
    assert "only dead wood may be cut" in said(page)


def test_numbers_go_on_and_a_lost_plants_number_is_not_given_again(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    plant = factories.PlantFactory()
    factories.PlantingFactory(garden=garden, number=7, state="lost")
    url = reverse("planting-new", args=[garden.pk])

    owner_client.post(url, {**PLANTING, "plant": plant.pk})
    refused = owner_client.post(url, {**PLANTING, "plant": plant.pk, "number": "7"})

    numbers = garden.plantings.order_by("number").values_list("number", flat=True)
    assert list(numbers) == [7, 8]
    assert errors(refused) == {
        "number": ["Number 7 is already on this garden's sketch."]
    }


@pytest.mark.parametrize(
    ("known", "years", "field"),
    [
        ("known", "", ["age_years"]),
        ("unknown", "4", ["age_years"]),
        ("about", "900", ["age_years"]),
        ("about", "4", []),
        ("unknown", "", []),
    ],
)
def test_an_age_is_known_about_or_unknown(
    known: str, years: str, field: list[str], owner_client: StrictClient
) -> None:
    garden = factories.GardenFactory()
    plant = factories.PlantFactory()

    response = owner_client.post(
        reverse("planting-new", args=[garden.pk]),
        {**PLANTING, "plant": plant.pk, "age_known": known, "age_years": years},
    )

    if field:
        assert list(errors(response)) == field
        assert Planting.objects.count() == 0
    else:
        planting = Planting.objects.get()
        assert planting.age_years == (int(years) if years else None)
        assert (planting.age_on is None) == (not years)


def test_very_many_plants_are_asked_about_and_then_taken(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    plant = factories.PlantFactory()
    url = reverse("planting-new", args=[garden.pk])
    many = {**PLANTING, "plant": plant.pk, "count": "10000"}

    asked = owner_client.post(url, many)
    assert errors(asked) == {
        "count": ["10,000 plants? Tick the box below if so many are meant."]
    }
    assert 'type="checkbox" name="count_is_right"' in said(asked)
    owner_client.post(url, {**many, "count_is_right": "on"})

    assert Planting.objects.get().count == 10_000


def test_what_was_seen_is_written_down_once_and_can_be_taken_back(
    owner_client: StrictClient,
) -> None:
    planting = factories.PlantingFactory()
    url = reverse("planting-bloom", args=[planting.pk])
    day = (dt.datetime.now(tz=dt.UTC).date() - dt.timedelta(days=3)).isoformat()  # noqa: TID251

    for _time in range(2):
        owner_client.post(url, {"stage": "first bloom", "day": day})
    observed = planting.observations.get()
    assert observed.seen_by is not None
    owner_client.post(reverse("observation-forget", args=[observed.pk]))

    assert planting.observations.count() == 0


def test_bloom_of_tomorrow_is_refused_beside_the_field(
    owner_client: StrictClient,
) -> None:
    planting = factories.PlantingFactory()

    response = owner_client.post(
        reverse("planting-bloom", args=[planting.pk]),
        {"stage": "first bloom", "day": "2999-06-01"},
    )

    assert list(response.context["bloom_form"].errors) == ["day"]
    assert planting.observations.count() == 0


def test_a_lost_planting_leaves_the_list_of_what_grows(
    owner_client: StrictClient,
) -> None:
    planting = factories.PlantingFactory()

    owner_client.post(reverse("planting-state", args=[planting.pk]), {"state": "lost"})

    page = owner_client.get(reverse("garden", args=[planting.garden_id])).context[
        "page"
    ]
    assert (page.growing, [one.pk for one in page.gone]) == ([], [planting.pk])


@pytest.mark.parametrize("count", [1, 3])
def test_the_planting_page_asks_the_same_questions_for_any_number_of_rules(
    count: int,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    planting = factories.PlantingFactory()
    for number in range(count):
        factories.RuleFactory(
            group=planting.plant.group,
            key=f"rule-{number}",
            spec=factories.rule_spec(key=f"rule-{number}"),
        )

    with django_assert_num_queries(13):
        owner_client.get(reverse("planting", args=[planting.pk]))


def test_a_64th_of_an_inch_is_kept_exactly(owner_client: StrictClient) -> None:
    garden = factories.GardenFactory()

    owner_client.post(
        reverse("bed-new", args=[garden.pk]),
        {**BED, "length": "150 1/64 in", "depth": "7 1/64"},
    )

    bed = Bed.objects.get()
    # 1/64 in is 0.000396875 m: the inch is 0.0254 m by definition.
    assert bed.length_m == Decimal("3.810396875")
    assert bed.depth_m == Decimal("0.178196875")
