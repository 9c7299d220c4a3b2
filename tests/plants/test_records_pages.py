"""Daily records by upload: what is read, asked, refused, kept and shown."""

import gzip
import zlib
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from html import unescape
from math import pi, sin
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.http import HttpResponse
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from firm.models import Entry, Person
from plants.actions.plantings import log_bloom
from plants.actions.records import (
    FileSettled,
    RecordsRefused,
    choose_figures,
    drop_record_file,
    name_columns,
    upload_records,
)
from plants.climate import Climate
from plants.climate.records import Columns
from plants.models import RecordFile, RecordYear, Station, StationRecords
from plants.queries.records import daily_records, year_totals
from plants.queries.seen import seen_page
from tests import factories
from tests.conftest import StrictClient
from tests.plants.test_catalogue_pages import typed

HEAD = "date,tmax_c,tmin_c,rain_mm"


def warmth(day: date) -> float:
    """The low in °C of a smooth northern year: -10 in January, 15 in July."""
    return 2.5 - 12.5 * sin((day.timetuple().tm_yday + 75) / 365 * 2 * pi)


def days_file(
    first: int = 1991,
    last: int = 2020,
    *,
    head: str = HEAD,
    low: Callable[[date], float] = warmth,
    reach: float = 11.0,
) -> bytes:
    day, lines = date(first, 1, 1), [head]
    while day.year <= last:
        lines.append(f"{day},{low(day) + reach:.1f},{low(day):.1f},2.0")
        day += timedelta(days=1)
    return "\n".join(lines).encode()


def upload(
    browser: StrictClient,
    station: Station,
    content: bytes,
    name: str = "days.csv",
    **more: str,
) -> HttpResponse:
    return browser.post(
        reverse("station-records", args=[station.pk]),
        {"file": SimpleUploadedFile(name, content), **more},
    )


def said(page: HttpResponse) -> str:
    return unescape(page.content.decode())


def read_into(station: Station, content: bytes, by: Person, **more: Any) -> RecordFile:
    return upload_records(
        station=station, file_name="days.csv", content=content, by=by,
        today=factories.TODAY, now=factories.NOW, is_sure=True, **more,
    )  # fmt: skip


def test_a_file_of_thirty_years_gives_the_figures_that_the_climate_works_with(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()
    before = dict(station.figures)

    answer = upload(owner_client, station, days_file(), is_sure="on")

    assert answer.status_code == 302
    station.refresh_from_db()
    assert not station.is_typed
    assert station.figures["method"] == "daily records 1991-2020, 30 good years"
    assert station.figures["last_spring_frost"] == {
        "10": [4, 6], "50": [4, 6], "90": [4, 5],
    }  # fmt: skip
    kept = StationRecords.objects.get(station=station)
    assert kept.typed == before
    assert kept.figures["period"] == [1991, 2020]
    assert kept.figures["zones"] == ["8a"]  # a lowest of -10 °C is 14 F
    assert RecordYear.objects.filter(station=station).count() == 30
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "daily records of 1991 to 2020: 30 good years" in page
    assert 'class="drawing frost-risk"' in page
    assert 'class="drawing weather-year"' in page
    # What the picture of frost shows stands in words beside it.
    assert "32\u00a0°F: 10 % 6 April, 50 % 6 April, 90 % 5 April" in page
    assert "high and low first held between 50 and 86 F" in page
    report = said(owner_client.get(answer["Location"]))
    assert "1 January 1991 to 31 December 2020" in report
    assert Entry.objects.filter(action="records read").count() == 1


def test_a_file_given_again_adds_its_new_days_and_doubles_none(owner: Person) -> None:
    station = factories.StationFactory()
    first = read_into(station, days_file(1991, 2018), owner)
    again = read_into(station, days_file(1991, 2018), owner)
    more = read_into(station, days_file(2017, 2020), owner)

    assert first.report["change"] == {"new": 10227, "changed": 0, "same": 0}
    assert again.report["change"] == {"new": 0, "changed": 0, "same": 10227}
    assert more.report["change"] == {"new": 731, "changed": 0, "same": 730}
    assert RecordYear.objects.filter(station=station).count() == 30
    records = daily_records(station=station)
    assert records is not None
    assert records.span() == (date(1991, 1, 1), date(2020, 12, 31))


def test_a_year_stands_once_for_a_station(owner: Person) -> None:
    station = factories.StationFactory()
    read_into(station, days_file(1991, 1991), owner)
    with pytest.raises(IntegrityError), transaction.atomic():
        RecordYear.objects.create(station=station, year=1991, days={})


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("letter.txt", b"Dear all, the list follows.", "no file of daily weather"),
        ("list.xlsx", b"PK\x03\x04rest", "a zip file or a workbook"),
        ("photo.jpg", b"\xff\xd8\xff\xe0\x00\x10JFIF", "no text file"),
        ("days.csv.gz", gzip.compress(days_file(2020, 2020))[:-30], "ends in the mid"),
        (
            "days.csv",
            b"date,tmax_c,tmin_c\n" + b"2021-01-01,90,80\n" * 40,
            "no place on earth",
        ),
    ],
)
def test_what_is_no_weather_file_is_refused_and_nothing_is_kept(
    owner_client: StrictClient, name: str, content: bytes, words: str
) -> None:
    station = factories.StationFactory()
    page = upload(owner_client, station, content, name)
    assert page.status_code == 200
    assert words in said(page)
    assert not RecordFile.objects.exists()
    assert not RecordYear.objects.exists()
    assert not StationRecords.objects.exists()


def test_a_file_over_fifty_megabytes_is_refused_before_it_is_read(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()
    page = upload(owner_client, station, b"0" * (50 * 2**20 + 1))
    assert "51 MB, at most 50 MB" in said(page)
    bomb = gzip.compress(b"0" * (50 * 2**20 + 1))
    assert len(bomb) < 2**20
    page = upload(owner_client, station, bomb, "days.csv.gz")
    assert "at most 50 MB are read, unpacked" in said(page)
    assert not RecordFile.objects.exists()


def test_a_packed_station_file_is_read(owner_client: StrictClient) -> None:
    station = factories.StationFactory()
    content = gzip.compress(days_file(1991, 1991))
    assert upload(owner_client, station, content, is_sure="on").status_code == 302
    assert RecordYear.objects.get().year == 1991


def german(first: int = 2001, last: int = 2020) -> bytes:
    return days_file(first, last, head="Tag,Höchstwert,Tiefstwert,Niederschlag")


COLUMNS = {
    "date": "0", "date_order": "year first", "tmax": "1", "tmax_unit": "°C",
    "tmin": "2", "tmin_unit": "°C", "rain": "3", "rain_unit": "mm",
    "is_sure": "on",
}  # fmt: skip


def test_a_heading_in_another_language_is_kept_and_its_columns_asked_for(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()

    answer = upload(owner_client, station, german(), is_sure="on")

    assert answer.status_code == 302
    file = RecordFile.objects.get()
    assert file.state == "waiting"
    assert not RecordYear.objects.exists()
    page = said(owner_client.get(answer["Location"]))
    assert "Höchstwert" in page
    assert "say which column is what" in page
    done = owner_client.post(answer["Location"], COLUMNS)
    assert done.status_code == 302
    file.refresh_from_db()
    assert (file.state, file.content) == ("read", None)
    assert RecordYear.objects.filter(station=station).count() == 20
    # A second answer finds the file read.
    late = owner_client.post(answer["Location"], COLUMNS, follow=True)
    assert "read or dropped already" in said(late)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"date": ""}, "Name the column of the day"),
        ({"date_order": ""}, "Say how days are written"),
        ({"rain_unit": ""}, "Say in which unit rain is written"),
        ({"tmin": "1"}, "One column cannot be two things"),
        ({"tmax_unit": "furlongs"}, "not one of the available choices"),
        ({"tmax": "17"}, "not one of the available choices"),
        ({"tmin": "1", "tmax": "2"}, "lowest temperature is over the highest"),
        ({"date_order": "day first"}, "cannot be read as days"),
    ],
)
def test_columns_that_cannot_be_are_refused_beside_their_field(
    owner_client: StrictClient, owner: Person, changes: dict[str, str], words: str
) -> None:
    file = read_into(factories.StationFactory(), german(2001, 2002), owner)
    data = {**COLUMNS, **changes}
    page = owner_client.post(reverse("record-file", args=[file.pk]), data)
    assert page.status_code == 200
    assert words in said(page)
    assert not RecordYear.objects.exists()
    assert RecordFile.objects.get().state == "waiting"


def test_a_waiting_file_is_dropped_once(owner: Person) -> None:
    file = read_into(factories.StationFactory(), german(2001, 2002), owner)
    dropped = drop_record_file(file_id=file.pk, by=owner, now=factories.NOW)
    assert (dropped.state, dropped.content) == ("dropped", None)
    with pytest.raises(FileSettled):
        drop_record_file(file_id=file.pk, by=owner, now=factories.NOW)
    with pytest.raises(FileSettled):
        name_columns(
            file_id=file.pk, columns=Columns(), is_sure=True, by=owner,
            today=factories.TODAY, now=factories.NOW,
        )  # fmt: skip


def test_content_is_kept_only_while_a_file_waits(owner: Person) -> None:
    file = read_into(factories.StationFactory(), german(2001, 2002), owner)
    assert zlib.decompress(file.content).startswith("Tag,Höchst".encode())
    with pytest.raises(IntegrityError), transaction.atomic():
        RecordFile.objects.filter(pk=file.pk).update(state="read")


def test_a_file_far_from_the_typed_climate_asks_whether_somebody_is_sure(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()
    cold = days_file(low=lambda day: warmth(day) - 12)
    page = upload(owner_client, station, cold)
    assert "Is the unit right, and is it the file of this place?" in said(page)
    assert 'name="is_sure"' in said(page)
    fresh = owner_client.get(reverse("station-records", args=[station.pk]))
    assert 'name="is_sure"' not in said(fresh)
    assert not RecordYear.objects.exists()
    assert upload(owner_client, station, cold, is_sure="on").status_code == 302


def test_a_short_record_is_shown_and_leaves_the_typed_figures_in_use(
    owner: Person, owner_client: StrictClient
) -> None:
    station = factories.StationFactory()
    before = dict(station.figures)
    read_into(station, days_file(2008, 2020), owner)
    station.refresh_from_db()
    assert station.is_typed
    assert station.figures == before
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "A short record: 13 good years, fewer than 25 of 30." in page
    assert "not in use" in page

    choose_figures(
        station=station, keeps_typed=False, is_newest=False, is_coastal=False,
        by=owner, today=factories.TODAY, now=factories.NOW,
    )  # fmt: skip
    station.refresh_from_db()
    assert not station.is_typed
    # No zone comes out of a short record.
    assert station.figures["lowest_c"] is None


def test_nine_years_never_come_into_use(owner: Person) -> None:
    station = factories.StationFactory()
    read_into(station, days_file(2012, 2020), owner)
    with pytest.raises(RecordsRefused, match="9 good years"):
        choose_figures(
            station=station, keeps_typed=False, is_newest=False, is_coastal=False,
            by=owner, today=factories.TODAY, now=factories.NOW,
        )  # fmt: skip
    station.refresh_from_db()
    assert station.is_typed


def test_the_owner_may_keep_the_typed_figures_and_come_back(
    owner: Person, owner_client: StrictClient
) -> None:
    station = factories.StationFactory()
    before = dict(station.figures)
    read_into(station, days_file(), owner)
    where = reverse("station-figures", args=[station.pk])

    owner_client.post(where, {"use": "typed", "period": "normals"})
    station.refresh_from_db()
    assert (station.is_typed, station.figures) == (True, before)
    # A further file does not take the choice back.
    read_into(station, days_file(2021, 2024), owner)
    station.refresh_from_db()
    assert station.is_typed

    owner_client.post(where, {"use": "records", "period": "newest"})
    station.refresh_from_db()
    assert not station.is_typed
    kept = StationRecords.objects.get()
    assert kept.figures["period"] == [1995, 2024]
    assert kept.typed == before


def test_a_coast_is_reckoned_with_more_sun(owner: Person) -> None:
    station = factories.StationFactory()
    read_into(station, days_file(), owner)
    inland = StationRecords.objects.get().figures["eto"]
    choose_figures(
        station=station, keeps_typed=False, is_newest=False, is_coastal=True,
        by=owner, today=factories.TODAY, now=factories.NOW,
    )  # fmt: skip
    coast = StationRecords.objects.get().figures["eto"]
    assert (inland["k_rs"], coast["k_rs"]) == (0.16, 0.19)
    assert sum(coast["reduced_mm"]) > sum(inland["reduced_mm"])
    assert coast["hargreaves_mm"] == inland["hargreaves_mm"]


def test_typing_while_records_are_in_use_is_kept_beside_them(
    owner: Person, owner_client: StrictClient
) -> None:
    station = factories.StationFactory()
    read_into(station, days_file(), owner)
    where = reverse("station-change", args=[station.pk])
    page = owner_client.get(where)
    # The form starts with what was typed, not with what was computed.
    assert page.context["form"].initial["low_1"] != Decimal("14.3")
    done = owner_client.post(where, {**typed(), "name": "Fernhollow"}, follow=True)
    assert "still hang on the figures of its daily records" in said(done)
    station.refresh_from_db()
    kept = StationRecords.objects.get()
    assert not station.is_typed
    assert station.figures["method"].startswith("daily records")
    assert kept.typed["method"] == "typed"
    assert kept.typed["rain_mm"][0] == 101.6
    # The height, typed in feet, moved the evapotranspiration along.
    assert kept.figures["eto"]["elevation_m"] == 125.0


def new_place(**changes: Any) -> dict[str, Any]:
    data = {
        "name": "Ashford", "latitude": "42.5", "longitude": "-88", "elevation": "700",
        "file": SimpleUploadedFile("days.csv", days_file()),
    }  # fmt: skip
    return {**data, **changes}


def test_records_open_a_climate_of_their_own(owner_client: StrictClient) -> None:
    answer = owner_client.post(reverse("station-from-records"), new_place())
    assert answer.status_code == 302
    station = Station.objects.get(name="Ashford")
    assert (station.is_typed, station.elevation_m) == (False, Decimal("213.4"))
    kept = StationRecords.objects.get(station=station)
    assert kept.typed is None
    # Nothing was typed, so there is nothing to go back to.
    page = owner_client.post(
        reverse("station-figures", args=[station.pk]),
        {"use": "typed", "period": "normals"},
        follow=True,
    )
    assert "No figures were ever typed for this place." in said(page)
    assert not Station.objects.get(name="Ashford").is_typed


def test_a_place_keeps_its_name_while_its_file_waits_for_columns(
    owner_client: StrictClient,
) -> None:
    file = SimpleUploadedFile("tage.csv", german())
    answer = owner_client.post(
        reverse("station-from-records"), new_place(file=file, is_coastal="on")
    )
    assert not Station.objects.exists()
    assert "for Ashford" in said(owner_client.get(answer["Location"]))
    assert "tage.csv" in said(owner_client.get(reverse("station-from-records")))
    owner_client.post(answer["Location"], COLUMNS)
    station = Station.objects.get()
    assert station.name == "Ashford"
    assert StationRecords.objects.get(station=station).is_coastal


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"latitude": "91"}, "This must be at most 66.5"),
        ({"name": "Fernhollow"}, "already a climate named Fernhollow"),
        (
            {"file": SimpleUploadedFile("d.csv", days_file(2015, 2020))},
            "6 good years, and ten are needed",
        ),
        ({"file": SimpleUploadedFile("d.csv", b"")}, "empty"),
    ],
)
def test_a_place_or_a_file_that_cannot_be_opens_no_climate(
    owner_client: StrictClient, changes: dict[str, Any], words: str
) -> None:
    factories.StationFactory()
    if "file" in changes:
        changes["file"].seek(0)
    page = owner_client.post(reverse("station-from-records"), new_place(**changes))
    assert page.status_code == 200
    assert words in said(page)
    assert Station.objects.count() == 1
    assert not RecordFile.objects.exists()


def test_this_years_degree_days_come_from_the_records(owner: Person) -> None:
    station = factories.StationFactory()
    read_into(station, days_file(2019, 2020), owner)
    found = year_totals(station=station, year=2020, method="modified")
    assert found is not None
    assert (found.method, found.last) == ("modified", date(2020, 12, 31))
    assert found.on(date(2020, 1, 31)) == 0
    total = 0.0
    for number in range(122):
        low = round(warmth(date(2020, 1, 1) + timedelta(days=number)), 1)
        high = round(warmth(date(2020, 1, 1) + timedelta(days=number)) + 11, 1)
        total += (max(high, 10) + max(low, 10)) / 2 * 1.8 - 18
    assert found.on(date(2020, 5, 1)) == pytest.approx(total, abs=0.001)
    assert found.reached(100) == date(2020, 5, 2)
    assert year_totals(station=factories.StationFactory(name="Bare"), year=2020) is None


def test_a_typed_climate_has_a_page_without_records(owner_client: StrictClient) -> None:
    station = factories.StationFactory()
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "Dates of care hang on figures typed by hand." in page
    assert 'class="drawing weather-year"' in page
    assert 'class="drawing frost-risk"' not in page
    assert owner_client.get(reverse("station", args=[0])).status_code == 404


def test_a_southern_climate_is_shown_from_july(
    owner: Person, owner_client: StrictClient
) -> None:
    station = factories.StationFactory(name="South", latitude=Decimal("-42"))
    south = days_file(low=lambda day: warmth(day + timedelta(days=184)))
    read_into(station, south, owner)
    kept = StationRecords.objects.get()
    assert kept.figures["frost"]["32"]["spring"]["50"] == [10, 4]
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "from 1 July" in page


def test_metric_firms_see_metric_figures(
    owner: Person, owner_client: StrictClient
) -> None:
    factories.FirmFactory().__class__.objects.update(units="metric")
    station = factories.StationFactory()
    read_into(station, days_file(), owner)
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "0.0\u00a0°C: 10 % 6 April" in page
    assert "January -10 to 1 °C" not in page
    assert "Jan -10 to 1 °C and 62 mm of rain" in page
    assert "°F: 10 %" not in page


@pytest.mark.parametrize("count", [1, 3])
def test_pages_of_climates_ask_the_same_of_one_file_and_of_three(
    count: int,
    owner: Person,
    owner_client: StrictClient,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    station = factories.StationFactory()
    for _turn in range(count):
        read_into(station, days_file(2020, 2020), owner)
    with django_assert_num_queries(5):
        owner_client.get(reverse("station", args=[station.pk]))
    with django_assert_num_queries(5):
        owner_client.get(reverse("station-records", args=[station.pk]))


def test_what_was_seen_in_a_recorded_year_goes_by_the_warmth_of_that_year(
    owner: Person, owner_client: StrictClient
) -> None:
    planting = factories.PlantingFactory()
    station = planting.garden.station
    group = planting.plant.group
    # 2024 was recorded, and far colder than the climate is in the mean.
    read_into(station, days_file(2024, 2024, low=lambda day: warmth(day) - 2), owner)
    for day in (date(2024, 6, 3), date(2025, 6, 3)):
        log_bloom(
            planting=planting, stage="first bloom", day=day, today=date(2026, 3, 2),
            now=factories.NOW, by=owner,
        )  # fmt: skip
    page = seen_page(station_id=station.pk, key=group.key)
    assert page is not None and page.suggestion is not None
    assert page.recorded_years == [2024]
    recorded = year_totals(station=station, year=2024)
    assert recorded is not None
    climate = Climate.from_figures(station.figures, lat=float(station.latitude))
    cold, mean = recorded.on(date(2024, 6, 3)), climate.degree_days(date(2025, 6, 3))
    assert cold is not None
    assert page.suggestion.first.lowest == pytest.approx(cold, abs=0.1)
    assert page.suggestion.first.highest == pytest.approx(mean, abs=0.1)
    assert cold < mean
    where = reverse("seen-group", args=[station.pk, group.key])
    assert "from the daily records of 2024; other years" in said(
        owner_client.get(where)
    )


def test_wind_humidity_and_sunshine_of_a_file_give_the_full_set(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory(elevation_m=125)
    plain = days_file().decode().splitlines()
    windy = [f"{line},3.0,85,50,6.5" for line in plain[1:]]
    head = f"{HEAD},wind,rh max (%),rh min (%),sunshine (h)"
    answer = upload(owner_client, station, "\n".join([head, *windy]).encode())

    # The heading does not tell the unit of the wind: it is asked for as others are.
    asked = said(owner_client.get(answer["Location"]))
    assert "<details open>" in asked
    named = {
        "date": "0", "date_order": "year first", "tmax": "1", "tmax_unit": "°C",
        "tmin": "2", "tmin_unit": "°C", "rain": "3", "rain_unit": "mm",
        "wind": "4", "wind_height_m": "10", "humidity_max": "5",
        "humidity_min": "6", "sunshine": "7", "sunshine_unit": "h", "is_sure": "on",
    }  # fmt: skip
    refused = said(owner_client.post(answer["Location"], named))
    assert "Say in which unit wind is written." in refused
    half = {**named, "wind_unit": "m/s", "humidity_min": ""}
    refused = said(owner_client.post(answer["Location"], half))
    assert "Give the highest and the lowest humidity, or the mean." in refused
    owner_client.post(answer["Location"], {**named, "wind_unit": "m/s"})

    report = said(owner_client.get(answer["Location"]))
    assert "wind: m/s at 10 m" in report
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "The full set was used: wind, humidity and sunshine are known." in page
    assert "Full set" in page
    station.refresh_from_db()
    assert station.figures["eto_measured"] == ["wind", "humidity", "sunshine"]
    eto = StationRecords.objects.get().figures["eto"]
    assert station.figures["eto_mm"] == eto["measured_mm"] != eto["reduced_mm"]


def test_a_file_of_temperatures_alone_says_that_the_reduced_set_was_used(
    owner_client: StrictClient,
) -> None:
    station = factories.StationFactory()
    upload(owner_client, station, days_file(), is_sure="on")
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "The reduced set was used" in page
    assert "Full set" not in page
    assert StationRecords.objects.get().figures["eto"]["measured_mm"] is None


def test_typed_months_of_wind_and_sun_are_kept_as_they_were_typed(
    owner_client: StrictClient,
) -> None:
    wind = {f"wind_{month}": "8.5" for month in range(1, 13)}
    sun = {f"sunshine_{month}": "6.25" for month in range(1, 13)}
    page = said(
        owner_client.post(
            reverse("station-new"), typed(**{**wind, **sun, "sunshine_7": ""})
        )
    )
    assert "Fill this column for all twelve months, or leave it empty." in page
    assert not Station.objects.exists()

    owner_client.post(reverse("station-new"), typed(**wind, **sun))
    station = Station.objects.get()
    assert station.figures["eto_measured"] == ["wind", "sunshine"]
    # 8.5 mph are 3.79984 m/s by definition of the mile.
    assert station.figures["air"]["wind"] == [3.7998] * 12
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "Part of the full set was used: wind, sunshine." in page
    assert "taken as in the reduced set: humidity" in page
    change = reverse("station-change", args=[station.pk])
    form = owner_client.get(change).context["form"]
    assert str(form["wind_3"].value()) == "8.5"
    assert str(form["sunshine_3"].value()) == "6.25"

    owner_client.post(change, typed())
    station.refresh_from_db()
    assert station.figures["eto_mm"] is station.figures["air"] is None
    page = said(owner_client.get(reverse("station", args=[station.pk])))
    assert "The reduced set was used" in page
