"""Reading daily records: GHCN-Daily, plain csv, and what is no weather file."""

import gzip
import zlib
from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta

import pytest

from plants.climate.records import (
    Columns,
    ColumnsNeeded,
    RecordError,
    laid_over,
    read_records,
    records_of_years,
)
from plants.climate.records.days import MISSING

STATION = "XX000012345"


def fixed_line(year: int, month: int, element: str, values: dict[int, str]) -> str:
    """One line of the fixed columns; VALUES are the eight places of a day."""
    days = [values.get(day, "-9999   ") for day in range(1, 32)]
    return f"{STATION}{year}{month:02}{element}{''.join(days)}"


def fixed_month(
    year: int, month: int, *, tmax: int = 144, tmin: int = 20, days: int = 31
) -> list[str]:
    def same(value: int) -> dict[int, str]:
        return {day: f"{value:5}  7" for day in range(1, days + 1)}

    return [
        fixed_line(year, month, "TMAX", same(tmax)),
        fixed_line(year, month, "TMIN", same(tmin)),
        fixed_line(year, month, "PRCP", same(13)),
    ]


def bytes_of(lines: list[str]) -> bytes:
    return ("\n".join(lines) + "\n").encode()


def table(
    head: str = "date,tmax_c,tmin_c,rain_mm",
    *,
    days: int = 60,
    row: Callable[[date, int], str] = lambda day, _n: f"{day},14.4,2.0,1.3",
    start: date = date(2021, 1, 1),
) -> bytes:
    rows = [row(start + timedelta(days=n), n) for n in range(days)]
    return bytes_of([head, *rows])


def test_a_fixed_column_month_is_read_in_tenths():
    records, report = read_records(bytes_of(fixed_month(2021, 1)))

    assert records.tmax[:31].tolist() == [144] * 31
    assert records.tmin[30] == 20
    assert records.rain[0] == 13
    assert (report.first, report.last) == (date(2021, 1, 1), date(2021, 1, 31))
    assert report.days == 31
    assert report.station_id == STATION
    assert report.kept == {"tmax": 31, "tmin": 31, "rain": 31}
    assert report.missing == {"tmax": 0, "tmin": 0, "rain": 0}


def test_a_value_with_a_quality_flag_is_dropped_and_counted_by_its_flag():
    # Central Park, January 1876: 14.4 °C on day 1, 20.0 on day 2, 5.0 on day 4 with
    # the quality flag I (NOAA GHCN-Daily). The flags are measurement, quality, source.
    lines = fixed_month(1876, 1)
    lines[0] = fixed_line(
        1876,
        1,
        "TMAX",
        {day: "  144  0" for day in range(1, 32)}
        | {2: "  200  0", 4: "   50 I0", 5: "  300T 0"},
    )

    records, report = read_records(bytes_of(lines))

    assert records.tmax[:5].tolist() == [144, 200, 144, MISSING, 300]
    assert report.flagged == {"tmax": {"I": 1}}
    assert report.missing["tmax"] == 1
    assert report.kept["tmax"] == 30


def test_the_slots_after_the_end_of_february_are_no_days():
    lines = [*fixed_month(2021, 1), *fixed_month(2021, 2, days=31)]
    records, report = read_records(bytes_of(lines))
    assert report.last == date(2021, 2, 28)
    assert report.days == 59
    assert records.tmax[59] == MISSING


def by_station(day: date, element: str, value: int, flags: str = ",,,7") -> str:
    return f"{STATION},{day:%Y%m%d},{element},{value}{flags},0700"


def days_by_station(count: int = 40) -> list[str]:
    lines = []
    for number in range(count):
        day = date(2021, 1, 1) + timedelta(days=number)
        lines += [
            by_station(day, "TMAX", 144),
            by_station(day, "TMIN", 20),
            by_station(day, "PRCP", 13),
            by_station(day, "SNWD", 500),
        ]
    return lines


def test_a_csv_by_station_gives_the_same_days_as_the_fixed_columns():
    lines = days_by_station(31)
    one, _report = read_records(bytes_of(fixed_month(2021, 1)))
    two, report = read_records(bytes_of(lines))
    assert two.years() == one.years()
    assert report.form == "GHCN-Daily, csv by station"


def test_flags_and_missing_marks_of_the_csv_are_counted():
    lines = days_by_station()
    lines[0] = by_station(date(2021, 1, 1), "TMAX", 144, ",,X,7")
    lines[1] = by_station(date(2021, 1, 1), "TMIN", -9999)
    records, report = read_records(bytes_of(lines))
    assert records.tmax[0] == records.tmin[0] == MISSING
    assert report.flagged == {"tmax": {"X": 1}}
    assert report.marked_missing == {"tmin": 1}
    assert report.missing == {"tmax": 1, "tmin": 1, "rain": 0}


def test_a_file_of_several_stations_is_refused():
    other = [line.replace(STATION, "YY000012345") for line in days_by_station()]
    with pytest.raises(RecordError, match="records of 2 stations"):
        read_records(bytes_of([*days_by_station(), *other]))


def test_a_table_that_names_its_units_is_read_at_once():
    records, report = read_records(table())
    assert records.tmax[:2].tolist() == [144, 144]
    assert report.form == "csv with named columns"
    assert report.units == {"tmax": "°C", "tmin": "°C", "rain": "mm"}


@pytest.mark.parametrize(
    ("head", "row", "kept"),
    [
        ("date,TMAX (°F),TMIN (°F),PRCP (in)", "57.92,35.6,0.05", (144, 20, 13)),
        ("Date;Max temp °C;Min temp °C;Rain mm", "14,4;2,0;1,3", (144, 20, 13)),
        ("date\ttx_c\ttn_c\tprecipitation_cm", "14.4\t2\t0.13", (144, 20, 13)),
        ("date,tmax_f,tmin_f", "28,27.9", (-22, -23)),
    ],
)
def test_units_and_separators_of_a_heading(head, row, kept):
    mark = next(sign for sign in ";\t," if sign in head)
    content = table(head, row=lambda day, _n: f"{day}{mark}{row}")
    records, _report = read_records(content)
    found = (records.tmax[0], records.tmin[0], records.rain[0])
    assert found[: len(kept)] == kept


def test_the_date_may_stand_in_three_columns():
    content = table(
        "year,month,day,tmax_c,tmin_c",
        row=lambda day, _n: f"{day.year},{day.month:02},{day.day},14.4,2",
    )
    _records, report = read_records(content)
    assert (report.first, report.days) == (date(2021, 1, 1), 60)


def test_a_heading_without_units_asks_for_them_and_guesses_none_of_its_own():
    content = table("date,TMAX,TMIN,PRCP", row=lambda day, _n: f"{day},57.9,35.6,0.05")
    with pytest.raises(ColumnsNeeded) as asked:
        read_records(content)
    assert asked.value.heads == ("date", "TMAX", "TMIN", "PRCP")
    assert asked.value.rows[0] == ("2021-01-01", "57.9", "35.6", "0.05")
    guess = asked.value.guess
    assert (guess.date, guess.tmax, guess.tmin, guess.rain) == ((0,), 1, 2, 3)
    assert (guess.tmax_unit, guess.rain_unit) == ("°F", None)
    answered = replace(guess, tmax_unit="°F", tmin_unit="°F", rain_unit="in")
    records, _report = read_records(content, columns=answered)
    assert (records.tmax[0], records.tmin[0], records.rain[0]) == (144, 20, 13)


def test_a_heading_in_another_language_asks_for_the_columns():
    content = table(
        "Messtag;Höchstwert;Tiefstwert;Niederschlag",
        row=lambda day, _n: f"{day:%d.%m.%Y};14,4;2,0;1,3",
    )
    with pytest.raises(ColumnsNeeded) as asked:
        read_records(content)
    assert asked.value.guess.tmax is None
    records, _report = read_records(
        content,
        columns=Columns(
            date=(0,), tmax=1, tmin=2, rain=3, tmax_unit="°C", tmin_unit="°C",
            rain_unit="mm", date_order="day first",
        ),
    )  # fmt: skip
    assert (records.tmax[0], records.rain[0]) == (144, 13)


def test_a_latin_1_heading_is_read_too():
    content = table("date,tmax °C,tmin °C").decode().encode("cp1252")
    assert read_records(content)[1].days == 60


def test_a_date_that_can_be_read_two_ways_is_asked_for():
    head = "date,tmax_c,tmin_c"
    open_order = table(head, days=10, row=lambda day, _n: f"{day:%m/%d/%Y},9,1")
    with pytest.raises(ColumnsNeeded) as asked:
        read_records(open_order)
    assert asked.value.guess.date_order is None
    told = table(head, days=40, row=lambda day, _n: f"{day:%m/%d/%Y},9,1")
    assert read_records(told)[1].last == date(2021, 2, 9)


def test_a_file_out_of_date_order_is_sorted_and_said_so():
    lines = table().decode().splitlines()
    shuffled = bytes_of([lines[0], *reversed(lines[1:])])
    records, report = read_records(shuffled)
    assert report.was_unsorted
    assert not read_records(table())[1].was_unsorted
    assert records.years() == read_records(table())[0].years()


def test_a_day_given_twice_counts_once_and_drops_out_where_it_contradicts_itself():
    lines = table().decode().splitlines()
    lines += [lines[1], "2021-01-02,15.0,2.0,1.3"]
    records, report = read_records(bytes_of(lines))
    assert report.doubled == 2  # the lows of both days
    assert report.contradicting == {"tmax": 1, "tmin": 0, "rain": 0}
    assert records.tmax[:3].tolist() == [144, MISSING, 144]


@pytest.mark.parametrize("mark", ["9999", "-9999", "999.9", "NA", "", "M", "nan"])
def test_missing_marks_are_counted_as_missing_not_as_weather(mark):
    content = table(
        row=lambda day, n: f"{day},{mark if n == 3 else 14.4},2.0,1.3",
    )
    records, report = read_records(content)
    assert records.tmax[3] == MISSING
    assert report.missing["tmax"] == 1
    assert report.impossible["tmax"] == 0


def test_figures_that_no_place_on_earth_has_are_dropped_and_counted():
    content = table(
        days=100, row=lambda day, n: f"{day},{95 if n == 3 else 14.4},2.0,1.3"
    )
    records, report = read_records(content)
    assert records.tmax[3] == MISSING
    assert report.impossible == {"tmax": 1, "tmin": 0, "rain": 0}


def test_a_low_over_its_high_drops_both():
    content = table(days=100, row=lambda day, n: f"{day},14.4,{20 if n == 3 else 2},1")
    records, report = read_records(content)
    assert report.crossed == 1
    assert records.tmax[3] == records.tmin[3] == MISSING
    assert records.rain[3] == 10


def test_a_gap_of_years_is_told_with_its_days():
    lines = table().decode().splitlines()
    later = table(start=date(2025, 3, 1)).decode().splitlines()[1:]
    _records, report = read_records(bytes_of(lines + later))
    assert report.gaps == ((date(2021, 3, 2), date(2025, 2, 28)),)
    assert report.missing["tmax"] == 1460
    assert report.days == 120


def test_a_cell_may_carry_its_own_unit():
    content = table(row=lambda day, n: f"{day},{'58 F' if n == 3 else 14.4},2.0,1.3")
    records, report = read_records(content)
    assert records.tmax[3] == 144
    assert report.own_units == 1


def year_of_heat(first_unit: str, second_unit: str) -> bytes:
    """Two years of a temperate place, each in a unit of its own, one heading."""

    def row(day: date, number: int) -> str:
        unit = first_unit if number < 365 else second_unit
        warm = 12 - 14 * abs((day.timetuple().tm_yday - 200) / 182) + 8
        high, low = warm, warm - 9
        if unit == "F":
            high, low = high * 1.8 + 32, low * 1.8 + 32
        return f"{day},{high:.1f},{low:.1f}"

    return table("date,tmax_c,tmin_c", days=730, row=row)


def test_units_that_change_in_the_middle_of_a_column_are_refused():
    assert read_records(year_of_heat("C", "C"))[1].days == 730
    with pytest.raises(RecordError, match=r"no place on earth|Two units are mixed"):
        read_records(year_of_heat("C", "F"))


def test_celsius_read_as_fahrenheit_in_one_part_is_refused():
    content = year_of_heat("F", "C").replace(b"tmax_c,tmin_c", b"tmax_f,tmin_f")
    with pytest.raises(RecordError, match="Two units are mixed"):
        read_records(content)


@pytest.mark.parametrize(
    ("high", "low", "words"),
    [
        ("14.4", "36", "lowest temperature is over the highest"),
        ("58", "-20", "Is one of the two in another unit|no place on earth"),
        ("150", "36", "no place on earth"),
    ],
)
def test_columns_in_the_wrong_unit_are_refused(high, low, words):
    content = table("date,tmax_c,tmin_c", row=lambda day, _n: f"{day},{high},{low}")
    with pytest.raises(RecordError, match=words):
        read_records(content)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"  \n ", "empty"),
        (b"PK\x03\x04 workbook", "a zip file or a workbook"),
        (b"BZh91AY", "a bzip2 file"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "no text file"),
        (b"dear all, please find the list attached", "no file of daily weather"),
        (
            b"client,garden,street,paid\nA,B,C,120\nD,E,F,90\n",
            "no file of daily weather",
        ),
        (
            b"name,day,paid\nA,2021-01-01,120\nB,2021-01-02,90\n",
            "no file of daily weather",
        ),
        (b"<html><body>Not found</body></html>", "no file of daily weather"),
        (b"date,tmax_c,tmin_c\n2021-01-01,14,2\n", "Only 1 days"),
        (
            b"date,tmax_c,tmin_c\n"
            + b"2021-01-01,14,2\n" * 40
            + b"some day,14,2\n" * 20,
            "20 of 60 lines cannot be read as days",
        ),
        (b"date,tmax_c,tmin_c\n", "no file of daily weather|No days"),
    ],
)
def test_what_is_no_weather_file_is_refused_in_words(content, words):
    with pytest.raises(RecordError, match=words):
        read_records(content)


def test_a_packed_station_file_is_unpacked():
    plain = bytes_of(fixed_month(2021, 1))
    packed = gzip.compress(plain[:400]) + gzip.compress(plain[400:]) + b"\0" * 8
    assert read_records(packed)[1].days == 31


def test_a_file_that_swells_is_stopped_at_the_limit():
    bomb = gzip.compress(b"0" * 3_000_000)
    assert len(bomb) < 10_000
    with pytest.raises(RecordError, match="too large: at most 1 MB"):
        read_records(bomb, most_bytes=1 << 20)
    with pytest.raises(RecordError, match="too large: at most 1 MB"):
        read_records(b"0" * ((1 << 20) + 1), most_bytes=1 << 20)


def test_packing_that_is_damaged_doubled_or_of_another_kind_is_refused():
    packed = gzip.compress(bytes_of(fixed_month(2021, 1)))
    with pytest.raises(RecordError, match="ends in the middle"):
        read_records(packed[:-20])
    with pytest.raises(RecordError, match=r"damaged|ends in the middle"):
        read_records(packed[:60] + b"\xff\xff\xff" + packed[63:])
    with pytest.raises(RecordError, match="packed twice"):
        read_records(gzip.compress(packed))
    with pytest.raises(RecordError):
        read_records(zlib.compress(bytes_of(fixed_month(2021, 1))))
    tar = bytearray(600)
    tar[257:262] = b"ustar"
    with pytest.raises(RecordError, match="archive of several files"):
        read_records(gzip.compress(b"x" + bytes(tar)[1:]))


def test_a_second_reading_adds_and_never_doubles():
    one, _report = read_records(table())
    again, change = laid_over(one, one)
    assert change == (0, 0, 60)
    assert again.years() == one.years()
    later, _report = read_records(
        table(
            start=date(2021, 2, 20),
            row=lambda day, n: f"{day},{20 if n == 0 else 14.4},2,1.3",
        )
    )
    joined, change = laid_over(one, later)
    # 20 February to 1 March lie in both; one of those days has another high.
    assert change == (50, 1, 9)
    span = joined.span()
    assert span == (date(2021, 1, 1), date(2021, 4, 20))
    assert joined.tmax[joined.place_of(date(2021, 2, 20))] == 200


def test_a_missing_day_never_wipes_out_a_day_that_was_read():
    one, _report = read_records(table())
    holed, _report = read_records(
        table(row=lambda day, n: f"{day},{'' if n == 3 else 14.4},2,1.3")
    )
    joined, change = laid_over(one, holed)
    assert joined.tmax[3] == 144
    assert change == (0, 0, 60)


def test_years_are_kept_and_read_back_as_they_were():
    lines = table().decode().splitlines()
    later = table(start=date(2024, 2, 1)).decode().splitlines()[1:]
    records, _report = read_records(bytes_of(lines + later))
    years = records.years()
    assert sorted(years) == [2021, 2024]
    assert len(years[2024]["tmin"]) == 366
    back = records_of_years(years)
    assert back is not None
    assert back.years() == years
    assert records_of_years({}) is None
