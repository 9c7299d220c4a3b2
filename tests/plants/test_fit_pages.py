"""Plants searched for a bed, what would make one fit, and what is noted of a place."""

from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from plants.models import Bed, Garden
from plants.queries.care import climate_of
from plants.queries.fit import area_m2, bloom_months, site_of
from tests import factories
from tests.conftest import StrictClient
from tests.plants.test_garden_pages import BED, GARDEN, errors, said

pytestmark = pytest.mark.django_db

SUITED = {
    "light": {"best": ["part shade"], "bearable": []},
    "moisture": ["average"],
    "toxicity": {
        "people": "not toxic",
        "dogs": "not toxic",
        "cats": "not toxic",
        "horses": "not toxic",
    },
}


def plant(key: str, **overrides: Any) -> Any:
    return factories.PlantFactory(key=key, common=key.title(), overrides=overrides)


def listed(page: Any) -> list[str]:
    return [line.plant.key for line in page.context["page"]]


# --- what is noted -----------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("6.5", ("6.5", "6.5", "6.5", "6.5")),
        ("about 6 and a half", ("about 6 and a half", "6.5", "6.0", "7.0")),
        ("6-6.5", ("6-6.5", "6.3", "6.0", "6.5")),
        ("", ("", None, None, None)),
    ],
)
def test_a_ph_is_kept_as_typed_with_the_range_it_means(
    typed: str, kept: tuple[str | None, ...], owner_client: StrictClient
) -> None:
    garden = factories.GardenFactory()
    owner_client.post(reverse("bed-new", args=[garden.pk]), {**BED, "ph": typed})
    bed = Bed.objects.get()
    found = tuple(
        None if value is None else str(value)
        for value in (bed.ph_text, bed.ph, bed.ph_low, bed.ph_high)
    )
    assert found == kept
    site = site_of(bed)
    assert (site.ph, site.ph_high) == (bed.ph_low, bed.ph_high)
    if typed:
        assert typed in said(owner_client.get(reverse("bed", args=[bed.pk])))


def test_an_older_row_with_one_figure_is_that_figure() -> None:
    bed = factories.BedFactory(ph=Decimal("6.2"))
    assert site_of(bed).ph_range is not None
    assert site_of(bed).ph_range.words == "pH 6.2"


@pytest.mark.parametrize(
    ("vinegar", "has_lime", "known"),
    [("", False, None), ("fizzes", True, True), ("quiet", False, False)],
)
def test_a_drop_of_vinegar_tells_what_nobody_knew(
    vinegar: str, has_lime: bool, known: bool | None, owner_client: StrictClient
) -> None:
    garden = factories.GardenFactory()
    url = reverse("bed-new", args=[garden.pk])
    owner_client.post(url, {**BED, "vinegar": vinegar, "is_windy": "no"})
    bed = Bed.objects.get()
    assert bed.has_free_lime == has_lime
    assert site_of(bed).has_free_lime is known
    assert (bed.is_windy, bed.has_salt) == (False, None)
    form = owner_client.get(reverse("bed-change", args=[bed.pk])).context["form"]
    assert form["vinegar"].value() == vinegar
    assert (form["is_windy"].value(), form["has_salt"].value()) == ("no", "")


def test_a_ph_that_cannot_be_read_is_told_beside_its_field(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory()
    url = reverse("bed-new", args=[garden.pk])
    response = owner_client.post(url, {**BED, "ph": "sourish"})
    assert list(errors(response)) == ["ph"]
    assert "is not read as a pH" in errors(response)["ph"][0]
    assert Bed.objects.count() == 0


def test_a_gardens_state_says_where_a_plant_must_not_go(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()
    base = {**GARDEN, "station": station.pk, "new_client": "Dana Quill"}
    owner_client.post(
        reverse("garden-new"), {**base, "region": "Virginia", "has_deer": "yes"}
    )
    garden = Garden.objects.get()
    assert (garden.region, garden.has_deer) == ("Virginia", True)
    bed = factories.BedFactory(garden=garden)
    spreading = plant("spreading", invasive=["Virginia"], deer_eat="often")
    page = owner_client.get(reverse("bed-fit-plant", args=[bed.pk, spreading.key]))
    verdicts = {
        line.key: str(line.verdict) for line in page.context["page"].fit.criteria
    }
    assert (verdicts["invasive"], verdicts["deer"]) == ("wrong", "wrong")
    # The next garden is in the same state until somebody says otherwise.
    form = owner_client.get(reverse("garden-new")).context["form"]
    assert form["region"].value() == "Virginia"


# --- searching ---------------------------------------------------------------------


def test_the_catalogue_is_searched_for_a_bed(owner_client: StrictClient) -> None:
    bed = factories.BedFactory(light="part shade", moisture="average")
    plant("low", mature={"height_m": 0.5, "width_m": 0.5})
    plant("tall", mature={"height_m": 3, "width_m": 0.5}, evergreen="yes")
    plant(
        "blue",
        bloom={
            "months": [9, 10],
            "region": "mid-atlantic",
            "colour": "violet or blue; red berries",
            "source": "common practice",
        },
        native=["Europe"],
    )
    url = reverse("bed-fit", args=[bed.pk])

    def found(**asked: str) -> list[str]:
        return sorted(listed(owner_client.get(url, asked)))

    assert found() == ["blue", "low", "tall"]
    assert found(height_to="2 ft") == ["low"]
    assert found(height_from="2 m") == ["tall"]
    assert found(evergreen="yes") == ["tall"]
    assert found(colour="purple") == found(colour="blue") == ["blue"]
    # The berries are red, the flowers are not.
    assert found(colour="red") == []
    # Native regions are asked of the groups; this one has none, so no field stands.
    assert found(flowers_from="9", flowers_to="10") == ["blue"]
    assert found(flowers_from="12", flowers_to="1") == []
    assert found(q="tall", evergreen="no") == []


def test_native_regions_are_those_of_the_catalogue(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    url = reverse("bed-fit", args=[bed.pk])
    assert "native" not in owner_client.get(url).context["form"].fields
    group = factories.GroupFactory(key="settled")
    type(group).objects.filter(pk=group.pk).update(
        facts={**group.facts, "native": ["Europe", "East Asia"]}
    )
    group.refresh_from_db()
    factories.PlantFactory(key="settled", group=group)
    factories.PlantFactory(key="unsaid")
    page = owner_client.get(url, {"native": "Europe"})
    choices = [key for key, _word in page.context["form"].fields["native"].choices]
    assert choices == ["", "East Asia", "Europe"]
    assert listed(page) == ["settled"]


def test_bloom_is_computed_in_the_gardens_own_climate() -> None:
    bloom = {"months": [4, 4], "region": "mid-atlantic", "source": "common practice"}
    early = plant("early", bloom=bloom)
    garden = factories.GardenFactory()
    climate = climate_of(garden)
    figures = garden.station.figures
    cold = factories.StationFactory(
        name="Cold",
        figures={
            **figures,
            "tmin_c": [low - 5 for low in figures["tmin_c"]],
            "tmax_c": [high - 5 for high in figures["tmax_c"]],
        },
    )
    colder = climate_of(factories.GardenFactory(station=cold))
    # April in the region; here leaves come later, and later still where it is colder.
    assert bloom_months(early, climate=climate, year=2026) == frozenset({4, 5})
    assert bloom_months(early, climate=colder, year=2026) == frozenset({5, 6})
    assert (
        bloom_months(plant("flowerless", bloom=None), climate=climate, year=2026)
        == frozenset()
    )


def test_what_is_wrong_is_left_out_when_that_is_asked(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(light="part shade", moisture="average")
    plant("good", **SUITED)
    plant("burnt", **{**SUITED, "light": {"best": ["shade"], "bearable": []}})
    url = reverse("bed-fit", args=[bed.pk])
    assert listed(owner_client.get(url)) == ["good", "burnt"]
    assert listed(owner_client.get(url, {"only_fitting": "on"})) == ["good"]


@pytest.mark.parametrize(
    "asked",
    [
        {"height_from": "tall"},
        {"flowers_from": "13"},
        {"colour": "plaid"},
        {"height_from": "3 ft", "height_to": "2 ft"},
        {"native": "the moon"},
    ],
)
def test_a_filter_that_cannot_be_read_is_told_and_asks_for_nothing(
    asked: dict[str, str], owner_client: StrictClient
) -> None:
    bed = factories.BedFactory()
    plant("any")
    page = owner_client.get(reverse("bed-fit", args=[bed.pk]), asked)
    assert page.status_code == 200
    assert len(page.context["page"]) == 1 or "height_to" in asked


def test_the_page_asks_for_what_is_not_noted(owner_client: StrictClient) -> None:
    bed = factories.BedFactory()
    page = owner_client.get(reverse("bed-fit", args=[bed.pk]))
    assert page.context["not_noted"] == [
        "light",
        "latest_sun",
        "ph",
        "texture",
        "moisture",
        "heat_zone",
        "deer",
        "place",
    ]
    assert "Not noted yet, so it is not judged: light" in said(page)


# --- what would make it fit --------------------------------------------------------


def test_a_wrong_plant_is_told_its_dose_its_water_and_a_better_bed(
    owner_client: StrictClient,
) -> None:
    garden = factories.GardenFactory(region="Virginia", has_deer=False)
    limy = factories.BedFactory(
        garden=garden,
        name="Limy bed",
        light="part shade",
        ph=Decimal("7.5"),
        texture="loam",
        is_lime_tested=True,
        moisture="dry",
    )
    factories.BedFactory(
        garden=garden,
        name="Sour bed",
        light="part shade",
        ph=Decimal("6.0"),
        moisture="average",
    )
    factories.BedFactory(
        garden=garden, name="Sunny bed", light="full sun", ph=Decimal("6.0")
    )
    wanted = plant("wanted", **{**SUITED, "moisture": ["moist"]})
    page = owner_client.get(reverse("bed-fit-plant", args=[limy.pk, wanted.key]))
    found = page.context["page"]
    assert str(found.fit.verdict) == "wrong"
    assert [(each.key, str(each.means)) for each in found.mending.remedies] == [
        ("ph", "treat the soil"),
        ("moisture", "irrigate"),
    ]
    assert [other.bed.name for other in found.better] == ["Sour bed"]
    assert found.mending.after.verdict == "bearable"
    words = said(page)
    assert reverse("bed-soil", args=[limy.pk]) + "?plant=wanted" in words
    assert "With that done:" in words


def test_walls_and_neighbours_are_reckoned_with_what_the_bed_holds(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory(light="part shade")
    for kind, distance in (("house", "0.1"), ("tree", "0")):
        bed.shades.create(
            kind=kind, side="N", height_m=Decimal(5), distance_m=Decimal(distance)
        )
    big = plant("big", mature={"height_m": 2, "width_m": 4})
    factories.PlantingFactory(garden=bed.garden, bed=bed, plant=big, count=1)
    page = owner_client.get(reverse("bed-fit-plant", args=[bed.pk, big.key]))
    lines = {line.key: line for line in page.context["page"].fit.criteria}
    # 9.144 x 2.4384 m are 22.3 m², of which a plant 4 m across takes 12.57.
    assert area_m2(bed) == Decimal("9.144") * Decimal("2.4384")
    assert str(lines["neighbours"].verdict) == "bearable"
    assert str(lines["walls"].verdict) == "wrong"
    assert "house" in lines["walls"].found


def test_the_planting_year_is_drawn_for_the_size_it_is_sold_in(
    owner_client: StrictClient,
) -> None:
    bed = factories.BedFactory()
    shrub = plant("shrub")
    url = reverse("bed-fit-plant", args=[bed.pk, shrub.key])
    keys = {}
    for size in ("", "bare root", "#3", "3 in balled"):
        page = owner_client.get(url, {"size": size})
        assert 'class="drawing planting-year"' in page.content.decode()
        keys[size] = {each.key for each in page.context["page"].time.periods}
    assert "bare-in-leaf" in keys["bare root"]
    assert "bare-in-leaf" not in keys["#3"] | keys[""]
    assert "balled-heat" in keys["3 in balled"]
    refused = owner_client.get(url, {"size": "large"})
    assert "does not say how it is sold" in said(refused)
    assert refused.context["page"].size is None
