"""Wind, humidity and sunshine in station files, and the evapotranspiration of them."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from plants.climate import Climate
from plants.climate.evapotranspiration import daylight_h
from plants.climate.monthly import month_evaporation_mm
from plants.climate.records import (
    Columns,
    ColumnsNeeded,
    DailyRecords,
    RecordError,
    laid_over,
    read_records,
    records_of_years,
    station_figures,
)
from plants.climate.records.days import MISSING
from plants.water import typical_days
from tests.pure.care_gardens import virginia
from tests.pure.test_records_reading import (
    by_station,
    bytes_of,
    days_by_station,
    fixed_line,
    fixed_month,
    table,
)

# 4.87 / ln(67.8 x 10 - 5.42), equation 47 of FAO-56: 10 m down to 2 m.
TO_2_M = 0.748
HEAD = "date,tmax_c,tmin_c,rain_mm,wind (km/h),rh max (%),rh min (%),sunshine (h)"


def row(day: date, _number: int) -> str:
    return f"{day},24.4,12.0,1.3,10.8,90,50,7.5"


def test_fixed_columns_carry_wind_humidity_and_sunshine() -> None:
    def same(value: int) -> dict[int, str]:
        return {day: f"{value:5}  7" for day in range(1, 32)}

    lines = [
        *fixed_month(2021, 1),
        fixed_line(2021, 1, "AWND", {**same(45), 2: "   45 G7"}),
        fixed_line(2021, 1, "RHAV", same(71)),
        fixed_line(2021, 1, "RHMX", same(90)),
        fixed_line(2021, 1, "RHMN", same(48)),
        fixed_line(2021, 1, "TSUN", same(321)),
        fixed_line(2021, 1, "PSUN", {**same(55), 3: "  101  7"}),
    ]
    records, report = read_records(bytes_of(lines))
    kept = {element: int(slots[0]) for element, slots in records.beside.items()}
    assert kept == {
        "wind": round(450 * TO_2_M), "humidity": 710, "humidity_max": 900,
        "humidity_min": 480, "sunshine": 321, "sun_share": 550,
    }  # fmt: skip
    assert records.of("wind")[1] == MISSING
    assert report.flagged == {"wind": {"G": 1}}
    assert report.impossible["sun_share"] == 1
    assert report.kept["wind"] == report.kept["sun_share"] == 30
    assert report.units["wind"] == "tenths of m/s, taken as measured at 10 m"


def test_a_csv_by_station_carries_them_too_and_a_file_without_says_nothing() -> None:
    lines = days_by_station(31)
    lines += [
        by_station(date(2021, 1, 1) + timedelta(days=n), "AWND", 30) for n in range(31)
    ]
    records, report = read_records(bytes_of(lines))
    assert set(records.of("wind")[:31].tolist()) == {round(300 * TO_2_M)}
    assert set(report.kept) == {"tmax", "tmin", "rain", "wind"}
    without, report = read_records(bytes_of(days_by_station(31)))
    assert without.beside == {}
    assert set(report.kept) == {"tmax", "tmin", "rain"}


def test_named_columns_are_read_with_the_units_of_their_heading() -> None:
    records, report = read_records(table(HEAD, row=row))
    # 10.8 km/h are 3 m/s.
    assert {one: int(slots[0]) for one, slots in records.beside.items()} == {
        "wind": round(300 * TO_2_M), "humidity_max": 900, "humidity_min": 500,
        "sunshine": 450,
    }  # fmt: skip
    assert report.units["wind"] == "km/h at 10 m"
    assert (report.days, report.missing["sunshine"]) == (60, 0)


@pytest.mark.parametrize(
    ("head", "cell", "element", "kept"),
    [
        ("AWND (m/s)", "3", "wind", 224),
        ("wind speed [mph]", "10", "wind", 334),
        ("Mean wind (knots)", "10", "wind", 385),
        ("RH (%)", "63.5%", "humidity", 635),
        ("relative humidity", "63.5", "humidity", 635),
        ("sunshine hours", "7.25", "sunshine", 435),
        ("tsun (minutes)", "435", "sunshine", 435),
        ("PSUN (%)", "57", "sun_share", 570),
    ],
)
def test_headings_and_units_of_the_air(
    head: str, cell: str, element: str, kept: int
) -> None:
    content = table(
        f"date,tmax_c,tmin_c,rain_mm,{head}",
        row=lambda day, _n: f"{day},24.4,12.0,1.3,{cell}",
    )
    records, _report = read_records(content)
    (found,) = records.beside
    assert found == element
    assert records.beside[found][0] == pytest.approx(kept, abs=1)


def test_wind_without_a_unit_is_asked_for_and_may_be_left_out() -> None:
    content = table(
        "date,tmax_c,tmin_c,rain_mm,wind",
        row=lambda day, _n: f"{day},24.4,12.0,1.3,4.7",
    )
    with pytest.raises(ColumnsNeeded) as asked:
        read_records(content)
    guess = asked.value.guess
    assert (guess.wind, guess.wind_unit) == (4, None)
    without, _report = read_records(content, columns=replace(guess, wind=None))
    assert without.beside == {}
    low, _report = read_records(
        content, columns=replace(guess, wind_unit="m/s", wind_height_m=2.0)
    )
    assert low.beside["wind"][0] == pytest.approx(470, abs=1)


@pytest.mark.parametrize(
    ("cells", "words"),
    [
        (",700,90,50,7.5", "readings of wind are such as no place on earth has"),
        (",10,0.9,0.5,7.5", "under 5 % in the mean"),
        (",10,90,50,31", "hours of sunshine are such as no place on earth has"),
    ],
)
def test_air_in_the_wrong_unit_is_refused(cells: str, words: str) -> None:
    with pytest.raises(RecordError, match=words):
        read_records(table(HEAD, row=lambda day, _n: f"{day},24.4,12.0,1.3{cells}"))


def test_a_lowest_humidity_over_the_highest_drops_both_and_is_counted() -> None:
    def crossed(day: date, number: int) -> str:
        return row(day, number).replace("90,50", "50,90" if number == 4 else "90,50")

    records, report = read_records(table(HEAD, row=crossed))
    assert records.of("humidity_max")[4] == records.of("humidity_min")[4] == MISSING
    assert report.impossible["humidity_max"] == report.impossible["humidity_min"] == 1


def test_missing_marks_and_words_in_the_air_are_counted() -> None:
    def holed(day: date, number: int) -> str:
        wind = {3: "9999", 4: "", 5: "calm"}.get(number, "10.8")
        return f"{day},24.4,12.0,1.3,{wind},90,50,7.5"

    records, report = read_records(table(HEAD, row=holed))
    assert records.of("wind")[3:6].tolist() == [MISSING] * 3
    assert report.marked_missing["wind"] == 2
    assert report.flagged["wind"] == {"unreadable": 1}
    assert report.missing["wind"] == 3


def test_a_newer_file_with_wind_lays_it_over_the_days_that_are_kept() -> None:
    plain, _report = read_records(
        table(row=lambda day, _n: f"{day},24.4,12.0,1.3", days=60)
    )
    windy, _report = read_records(table(HEAD, row=row, days=40))
    joined, change = laid_over(plain, windy)
    assert change == (0, 40, 0)
    assert (joined.of("wind")[:60] != MISSING).sum() == 40
    again, change = laid_over(joined, windy)
    assert (change.new, change.changed, change.same) == (0, 0, 40)
    back = records_of_years(again.years())
    assert back is not None
    assert back.years() == joined.years()
    # A year without any wind keeps no empty list of it.
    assert "wind" not in plain.years()[2021]


# --- evapotranspiration ------------------------------------------------------------


def ten_years(cells: Callable[[date], str], head: str = HEAD) -> DailyRecords:
    lines, day = [head], date(2011, 1, 1)
    while day.year < 2021:
        turn = np.sin((day.timetuple().tm_yday - 100) / 365 * 2 * np.pi)
        lines.append(f"{day},{14 + 14 * turn:.1f},{4 + 12 * turn:.1f},1.3,{cells(day)}")
        day += timedelta(days=1)
    return read_records(bytes_of(lines))[0]


def test_the_full_set_is_used_where_all_of_it_was_measured() -> None:
    found = station_figures(ten_years(lambda _day: "10.8,85,55,6"), lat=43)
    assert found.eto_measured == ("wind", "humidity", "sunshine")
    assert len(found.eto_measured_mm) == 12
    # Less wind and damper air use less water; the other two know nothing of it.
    still = station_figures(ten_years(lambda _day: "3.6,95,85,6"), lat=43)
    assert sum(still.eto_measured_mm) < sum(found.eto_measured_mm) * 0.9
    assert still.eto_reduced_mm == found.eto_reduced_mm
    assert still.eto_hargreaves_mm == found.eto_hargreaves_mm
    climate = Climate.from_figures(found.climate_figures(), lat=43)
    assert climate.eto_mm == pytest.approx(found.eto_measured_mm, abs=0.05)
    et0, _rain = typical_days(climate, date(2026, 1, 1), 365)
    assert et0.sum() == pytest.approx(sum(found.eto_measured_mm), rel=0.01)


def test_what_was_measured_too_seldom_is_taken_as_in_the_reduced_set() -> None:
    # Sunshine in two years of ten, wind in all of them, humidity never.
    def cells(day: date) -> str:
        return f"10.8,,,{6 if day.year < 2013 else ''}"

    found = station_figures(ten_years(cells), lat=43)
    assert found.eto_measured == ("wind",)
    assert found.as_json()["eto"]["measured"] == ["wind"]
    assert found.climate_figures()["eto_measured"] == ["wind"]
    never = station_figures(ten_years(lambda _day: ",,,"), lat=43)
    assert (never.eto_measured, never.eto_measured_mm) == ((), ())
    assert never.climate_figures()["eto_mm"] is None
    # 8.02 km/h at 10 m are a little over the usual 2 m/s at 2 m: hardly a difference.
    usual = station_figures(ten_years(lambda _day: "9.626,,,"), lat=43)
    assert usual.eto_measured_mm == pytest.approx(usual.eto_reduced_mm, rel=0.001)


def test_a_reading_that_some_day_of_the_year_never_has_is_given_up() -> None:
    # Sunshine is never read in August; wind is.
    def cells(day: date) -> str:
        return f"10.8,,,{'' if day.month == 8 else 6}"

    found = station_figures(ten_years(cells), lat=43)
    assert found.eto_measured == ("wind",)


def test_the_share_of_sunshine_counts_like_its_hours() -> None:
    def half(day: date) -> str:
        hours = daylight_h(43, float(day.timetuple().tm_yday)) / 2
        return f"10.8,85,55,{hours:.3f}"

    hours = station_figures(ten_years(half), lat=43).eto_measured_mm
    head = HEAD.replace("(h)", "(%)")
    share = station_figures(ten_years(lambda _day: "10.8,85,55,50", head), lat=43)
    assert share.eto_measured_mm == pytest.approx(hours, rel=0.002)
    dull = station_figures(ten_years(lambda _day: "10.8,85,55,20", head), lat=43)
    assert sum(dull.eto_measured_mm) < sum(hours) * 0.95


def test_twelve_months_give_what_their_figures_allow() -> None:
    months = {"tmin_c": virginia().tmin_c, "tmax_c": virginia().tmax_c, "lat": 38.6}
    reduced = month_evaporation_mm(**months)
    windy = month_evaporation_mm(**months, wind_2m=[4.0] * 12)
    damp = month_evaporation_mm(**months, humidity_percent=[95.0] * 12)
    dull = month_evaporation_mm(**months, sunshine_h=[1.0] * 12)
    assert sum(dull) < sum(reduced) < sum(windy)
    assert sum(damp) < sum(reduced)
    assert month_evaporation_mm(**months, wind_2m=[2.0] * 12) == reduced
    typical, _rain = typical_days(virginia(), date(2026, 1, 1), 365)
    assert sum(reduced) == pytest.approx(typical.sum(), rel=0.02)


def test_typed_columns_are_kept_complete() -> None:
    assert not Columns(
        date=(0,), tmax=1, tmin=2, tmax_unit="°C", tmin_unit="°C",
        date_order="year first", wind=3,
    ).is_complete  # fmt: skip
