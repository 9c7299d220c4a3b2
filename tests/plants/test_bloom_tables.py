"""The regions' tables of bloom by degree days: shipped, read, loaded, gone by."""

from functools import cache
from pathlib import Path
from typing import Any

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm.units import Display
from plants import care
from plants.actions.catalogue import load_catalogue
from plants.forms.stations import station_values
from plants.imports import Catalogue, CatalogueError, read_catalogue
from plants.management.commands.load_catalogue import SHIPPED
from plants.models import BloomTable, BloomTableRow, Garden, Plant, Station
from plants.queries.care import care_years, climate_of, engine_group, local_blooms
from tests import factories
from tests.conftest import StrictClient
from tests.factories import NOW, TODAY
from tests.plants.test_catalogue_reading import GROUP, SHARED, SOURCES

# First and full bloom, F degree days over 50 from 1 January.
# Ohio: Ohio State University Extension, Buckeye Yard and Garden Online, nodes 1918 and
# 1452 (page read) for pieris 60 and border forsythia 86; the rest from memory of its
# phenology calendar, quince 214 and Koreanspice viburnum 205 also in a copy.
OHIO = {
    "pieris": (60, None, "page read"),
    "forsythia": (86, 116, "page read"),
    "magnolia-stellata": (83, 151, "memory"),
    "magnolia-soulangeana": (133, 174, "memory"),
    "flowering-quince": (137, 214, "memory"),
    "rhododendron-pjm": (147, None, "memory"),
    "amelanchier-laevis": (153, None, "memory"),
    "viburnum-carlesii": (185, 205, "memory"),
    "redbud": (191, 254, "memory"),
    "syringa-vulgaris": (234, 315, "memory"),
    "syringa-vulgaris-president-lincoln": (234, 315, "memory"),
    "cornus-florida-cherokee-princess": (263, None, "memory"),
    "cornus-florida-rubra": (263, None, "memory"),
    "spiraea-vanhouttei": (309, 406, "memory"),
    "viburnum-dentatum": (534, None, "memory"),
    "rose-of-sharon": (1347, None, "memory"),
    "panicle-hydrangea": (1354, None, "memory"),
}
# University of Maryland Extension, Pest Predictive Calendar, both editions read.
MARYLAND = {
    "forsythia": (35, 53, "page read"),
    "magnolia-soulangeana": (59, None, "page read"),
    "magnolia-stellata": (89, None, "page read"),
    "flowering-quince": (103, None, "page read"),
    "spiraea-vanhouttei": (104, 123, "page read"),
    "redbud": (137, 156, "page read"),
    "prunus-subhirtella-pendula": (142, None, "page read"),
}


@cache
def shipped() -> Catalogue:
    return read_catalogue(SHIPPED)


def printed(key: str) -> dict[str, tuple[float, float | None, str]]:
    return {
        spot: (row["first"], row.get("full"), row["read"])
        for row in shipped().bloom_tables[key]["rows"]
        for spot in [
            *([row["group"]] if "group" in row else []),
            *row.get("plants", ()),
        ]
    }


# --- the figures -------------------------------------------------------------------


@pytest.mark.parametrize(("key", "figures"), [("ohio", OHIO), ("maryland", MARYLAND)])
def test_the_tables_print_the_totals_of_their_universities(
    key: str, figures: dict[str, Any]
) -> None:
    table = shipped().bloom_tables[key]

    assert printed(key) == figures
    assert (table["base_f"], table["starts"], table["method"]) == (
        50,
        [1, 1],
        "average",
    )


def test_both_states_keep_the_order_but_not_the_totals() -> None:
    # Border forsythia first < full < redbud first < full: both tables, section of
    # ordering tests; the totals differ by half and more, so no table is a constant.
    for table in (printed("ohio"), printed("maryland")):
        forsythia, redbud = table["forsythia"], table["redbud"]
        assert forsythia[1] is not None
        assert forsythia[0] < forsythia[1] < redbud[0]
        assert redbud[1] is not None
        assert redbud[0] < redbud[1]
    assert printed("ohio")["forsythia"][0] / printed("maryland")["forsythia"][0] > 2


def test_no_total_stands_in_the_code_of_the_engine() -> None:
    root = Path(care.__file__).parent
    code = "\n".join(path.read_text() for path in sorted(root.glob("*.py")))

    assert "ohio" not in code.lower()
    assert "maryland" not in code.lower()


# --- reading -----------------------------------------------------------------------

TABLES = """\
sources: []
tables:
  - key: hills
    name: The hills
    base_f: 50
    starts: [1, 1]
    method: average
    south: 38
    north: 40
    west: -79
    east: -75
    note: Invented.
    rows:
      - group: trial-shrub
        named: trial shrub
        first: 120
        full: 180
        source: a-reprint
        read: copy
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "groups").mkdir()
    (tmp_path / "sources.yaml").write_text(SOURCES)
    (tmp_path / "shared.yaml").write_text(SHARED)
    (tmp_path / "groups" / "trial-shrub.yaml").write_text(GROUP)
    (tmp_path / "bloom-tables.yaml").write_text(TABLES)
    return tmp_path


def test_a_sound_table_is_read(folder: Path) -> None:
    assert list(read_catalogue(folder).bloom_tables) == ["hills"]


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("group: trial-shrub", "group: nobody", "line 14: there is no group nobody"),
        ("group: trial-shrub", "plants: [nobody]", "line 14: there is no plant nobody"),
        ("source: a-reprint", "source: hearsay", "line 18: source hearsay is not in"),
        ("read: copy", "read: page read", "line 18: source a-reprint is marked copy"),
        ("full: 180", "full: 100", "line 14: full bloom comes after the first"),
        ("base_f: 50", "base_f: 41", "line 5: tables > 0 > base_f: 50 was expected"),
        ("first: 120", "first: many", "line 16: tables > 0 > rows > 0 > first"),
        ("north: 40", "north: 30", "line 3: the sides of hills are not in order"),
        ("first: 120", "last: 120", "line 14: tables > 0 > rows > 0"),
        ("sources: []", "sources: [", "bloom-tables.yaml, line 3: "),
    ],
)
def test_a_broken_table_is_refused_with_its_line(
    folder: Path, old: str, new: str, fault: str
) -> None:
    assert TABLES.count(old) == 1 or old == "read: copy"
    (folder / "bloom-tables.yaml").write_text(TABLES.replace(old, new))

    with pytest.raises(CatalogueError) as refused:
        read_catalogue(folder)

    assert any(fault in line for line in refused.value.faults), refused.value.faults


# --- loading and going by it -------------------------------------------------------


@pytest.mark.django_db
def test_a_second_load_changes_nothing_and_a_changed_total_is_told(
    folder: Path,
) -> None:
    first = load_catalogue(catalogue=read_catalogue(folder), now=NOW)
    again = load_catalogue(catalogue=read_catalogue(folder), now=NOW)
    (folder / "bloom-tables.yaml").write_text(TABLES.replace("120", "125"))
    newer = load_catalogue(catalogue=read_catalogue(folder), now=NOW)

    assert first.added[-2:] == ["bloom table hills", "bloom hills/trial shrub"]
    assert again.changes == 0
    assert (newer.added, newer.changed) == ([], ["bloom hills/trial shrub"])
    assert BloomTableRow.objects.get().gdd50_first == 125


@pytest.mark.django_db
def test_a_table_that_is_no_longer_shipped_stays_for_the_climates_that_go_by_it(
    folder: Path,
) -> None:
    load_catalogue(catalogue=read_catalogue(folder), now=NOW)
    station = factories.StationFactory(bloom_table=BloomTable.objects.get())
    (folder / "bloom-tables.yaml").unlink()

    report = load_catalogue(catalogue=read_catalogue(folder), now=NOW)

    assert report.retired == ["bloom table hills"]
    assert len(local_blooms([station]).of_group) == 1


def garden_by(table: BloomTable | None, name: str = "Fernhollow") -> Garden:
    station = factories.StationFactory(name=name, bloom_table=table)
    garden: Garden = factories.GardenFactory(station=station)
    return garden


@pytest.mark.django_db
def test_gardens_of_a_region_flower_by_its_table_and_others_by_months() -> None:
    load_catalogue(catalogue=shipped(), now=NOW)
    lilac = Plant.objects.get(key="syringa-vulgaris")
    found = {}
    for name in ("ohio", "maryland", ""):
        garden = garden_by(BloomTable.objects.filter(key=name).first(), f"at {name}")
        factories.PlantingFactory(garden=garden, plant=lilac)
        found[name] = (care_years(garden, start=TODAY)[0], climate_of(garden))

    ohio, climate = found["ohio"]
    # Ohio State prints 234 for the first flowers of common lilac (from memory).
    assert ohio.anchors["bloom_start"] == climate.degree_days_reached(234, 2026)
    assert ohio.group.bloom is not None
    assert ohio.group.bloom.local is not None
    assert (ohio.group.bloom.local.place, ohio.group.bloom.local.layer) == (
        "Ohio",
        "shipped",
    )
    # Maryland's calendar does not print lilac: months there, as without any table.
    assert (
        found["maryland"][0].anchors["bloom_start"]
        == found[""][0].anchors["bloom_start"]
        != ohio.anchors["bloom_start"]
    )


@pytest.mark.django_db
def test_a_plant_with_a_bloom_of_its_own_does_not_take_the_groups_total() -> None:
    load_catalogue(catalogue=shipped(), now=NOW)
    station = factories.StationFactory(bloom_table=BloomTable.objects.get(key="ohio"))
    late = Plant.objects.get(key="hydrangea-paniculata-tardiva")
    usual = Plant.objects.get(key="hydrangea-paniculata-limelight")
    arrowwood = Plant.objects.get(key="viburnum-dentatum")

    def total(plant: Plant) -> float | None:
        bloom = engine_group(plant, station=station).bloom
        return bloom.local.first if bloom and bloom.local else None

    # Panicle hydrangea 1354, arrowwood viburnum 534: Ohio State, from memory.
    assert (total(usual), total(late), total(arrowwood)) == (1354, None, 534)


@pytest.mark.django_db
@pytest.mark.parametrize("count", [1, 3])
def test_what_is_known_of_bloom_takes_two_questions_for_any_number_of_climates(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    load_catalogue(catalogue=shipped(), now=NOW)
    table = BloomTable.objects.get(key="ohio")
    stations = [
        factories.StationFactory(name=f"Place {number}", bloom_table=table)
        for number in range(count)
    ]

    with django_assert_num_queries(2):
        found = local_blooms(stations)

    assert len(found.of_plant) == 11 * count


# --- the climate's page ------------------------------------------------------------


def typed(station: Station, **changes: Any) -> dict[str, Any]:
    values = station_values(station, Display("us"))
    sent = {key: value for key, value in values.items() if value is not None}
    for key in list(sent):
        if key.startswith(("spring_", "autumn_")):
            month, _dash, day = sent.pop(key).partition("-")
            sent |= {f"{key}_month": month, f"{key}_day": day}
    return {**sent, **changes}


def test_the_owner_says_which_table_holds_for_a_climate(
    owner_client: StrictClient,
) -> None:
    load_catalogue(catalogue=shipped(), now=NOW)
    station = factories.StationFactory(latitude="39.9", longitude="-82.9")
    ohio = BloomTable.objects.get(key="ohio")
    url = reverse("station-change", args=[station.pk])

    response = owner_client.post(url, typed(station, bloom_table=ohio.pk))

    assert response.status_code == 302
    station.refresh_from_db()
    assert station.bloom_table == ohio
    assert "selected>Ohio" in owner_client.get(url).content.decode()


def test_a_table_of_another_region_is_refused_beside_its_field(
    owner_client: StrictClient,
) -> None:
    load_catalogue(catalogue=shipped(), now=NOW)
    station = factories.StationFactory()
    ohio = BloomTable.objects.get(key="ohio")

    response = owner_client.post(
        reverse("station-change", args=[station.pk]),
        typed(station, bloom_table=ohio.pk),
    )

    assert list(response.context["form"].errors) == ["bloom_table"]
    assert "does not lie in Ohio" in response.content.decode()
    station.refresh_from_db()
    assert station.bloom_table is None
