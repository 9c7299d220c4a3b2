"""How long ninety years of a station's days take, and how much memory.

`.venv/bin/python -m tests.bench.records` prints the figures beside their bounds and
ends with 1 where a bound is missed. It is no test: a busy machine would fail it. Each
file is read in a process of its own, so that the greatest size is that of this work.
"""

import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import date, timedelta
from math import pi, sin
from pathlib import Path

MOST_S = 2.0
MOST_MB = 200.0
MOST_MB_OF_THE_LARGEST = 400.0
FIRST, LAST, DAYS = 1930, 2019, 32872

WORK = """
import resource, sys, time
from pathlib import Path
from plants.climate import Climate
from plants.climate.records import (
    degree_days_of_year, laid_over, read_records, records_of_years, station_figures,
)
content = Path(sys.argv[1]).read_bytes()
began = time.perf_counter()
records, report = read_records(content)
joined, _change = laid_over(records_of_years(records.years()), records)
read_s = time.perf_counter() - began
figures = station_figures(joined, lat=43.0, elevation_m=200.0)
Climate.from_figures(figures.climate_figures(), lat=43.0)
figures.as_json()
degree_days_of_year(joined, 2019, "sine")
whole_s = time.perf_counter() - began
room = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(report.days, round(read_s, 3), round(whole_s, 3), round(room, 1))
"""


def readings(day: date) -> dict[str, int]:
    """Made readings of a day, in tenths."""
    number = day.toordinal()
    low = round(25 - 125 * sin((day.timetuple().tm_yday + 75) / 365 * 2 * pi))
    low += number * 37 % 91 - 45
    return {
        "TMAX": low + 60 + number * 13 % 80,
        "TMIN": low,
        "PRCP": max(number * 29 % 200 - 140, 0),
        "SNOW": 0,
        "SNWD": 0,
    }


def fixed_columns(first: int, last: int) -> str:
    lines = []
    for year in range(first, last + 1):
        for month in range(1, 13):
            start = date(year, month, 1)
            for element in ("TMAX", "TMIN", "PRCP", "SNOW", "SNWD"):
                days = []
                for number in range(31):
                    day = start + timedelta(days=number)
                    is_there = day.month == month
                    value = readings(day)[element] if is_there else -9999
                    days.append(f"{value:5}  7" if is_there else "-9999   ")
                lines.append(f"XX000012345{year}{month:02}{element}{''.join(days)}")
    return "\n".join(lines)


def csv_by_station(first: int, last: int) -> str:
    lines = []
    day = date(first, 1, 1)
    while day.year <= last:
        for element, value in readings(day).items():
            lines.append(f"XX000012345,{day:%Y%m%d},{element},{value},,,7,0700")
        day += timedelta(days=1)
    return "\n".join(lines)


def named_columns(first: int, last: int) -> str:
    lines = ["date,tmax_f,tmin_f,rain_in"]
    day = date(first, 1, 1)
    while day.year <= last:
        found = readings(day)
        high, low = (found[one] * 0.18 + 32 for one in ("TMAX", "TMIN"))
        lines.append(f"{day},{high:.2f},{low:.2f},{found['PRCP'] / 254:.2f}")
        day += timedelta(days=1)
    return "\n".join(lines)


def fifty_megabytes(first: int, last: int) -> str:
    """The largest file that is taken: most of it elements that are not wanted."""
    days = csv_by_station(first, last) + "\n"
    line = "XX000012345,20190101,WSFG,100,,,7,0700\n"
    return days + line * ((50 * 2**20 - len(days)) // len(line))


FILES: tuple[tuple[str, Callable[[int, int], str], float], ...] = (
    ("fixed columns (.dly)", fixed_columns, MOST_MB),
    ("csv by station", csv_by_station, MOST_MB),
    ("csv with named columns", named_columns, MOST_MB),
    ("csv by station of 50 MB", fifty_megabytes, MOST_MB_OF_THE_LARGEST),
)


def main() -> int:
    """Print every figure; 1 when one of them is over its bound."""
    is_missed = False
    for words, write, most_mb in FILES:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "days"
            file.write_text(write(FIRST, LAST))
            done = subprocess.run(
                [sys.executable, "-c", WORK, str(file)],
                capture_output=True,
                text=True,
                check=True,
                cwd=Path(__file__).parents[2],
            )
            size = file.stat().st_size / 2**20
        days, read_s, whole_s, room = (float(word) for word in done.stdout.split())
        print(  # noqa: T201
            f"{words}, {size:.1f} MB, {days:.0f} days: read {read_s:.2f} s, with all "
            f"figures {whole_s:.2f} s (most {MOST_S:.0f}), {room:.0f} MB (most "
            f"{most_mb:.0f})"
        )
        is_missed |= days != DAYS or whole_s > MOST_S or room > most_mb
    return int(is_missed)


if __name__ == "__main__":
    raise SystemExit(main())
