"""Daily records of a weather station: read, sifted, laid together, and their figures.

Whatever a file holds, what is not kept is counted: values that failed a check of
quality by its flag, figures no place on earth has, days whose low is over their high,
days that stand twice and contradict each other, and what is missing.
"""

from plants.climate.records.columns import (
    DATE_ORDERS,
    HUMIDITIES,
    RAIN_UNITS,
    SUN_UNITS,
    WARMTH_UNITS,
    WIND_HEIGHTS_M,
    WIND_UNITS,
    Columns,
    DateOrder,
    SunUnit,
    Unit,
    WindUnit,
)
from plants.climate.records.computing import good_years, period_of, station_figures
from plants.climate.records.days import (
    Change,
    DailyRecords,
    laid_over,
    records_of_years,
)
from plants.climate.records.degrees import (
    METHOD_WORDS,
    METHODS,
    RecordMethod,
    YearTotals,
    day_totals,
    degree_days_of_year,
)
from plants.climate.records.evaporating import MEASURED
from plants.climate.records.figures import (
    LEAST_YEARS,
    NORMALS,
    Period,
    StationFigures,
    zones_near,
)
from plants.climate.records.frosts import (
    THRESHOLDS_F,
    Frosts,
    autumn_risk,
    frosts_at,
    month_day_of,
    spring_risk,
)
from plants.climate.records.ghcn import FLAGS
from plants.climate.records.opening import MOST_BYTES
from plants.climate.records.reading import read_records
from plants.climate.records.sifting import RecordError, Report
from plants.climate.records.tables import ColumnsNeeded

__all__ = [
    "DATE_ORDERS",
    "FLAGS",
    "HUMIDITIES",
    "LEAST_YEARS",
    "MEASURED",
    "METHODS",
    "METHOD_WORDS",
    "MOST_BYTES",
    "NORMALS",
    "RAIN_UNITS",
    "SUN_UNITS",
    "THRESHOLDS_F",
    "WARMTH_UNITS",
    "WIND_HEIGHTS_M",
    "WIND_UNITS",
    "Change",
    "Columns",
    "ColumnsNeeded",
    "DailyRecords",
    "DateOrder",
    "Frosts",
    "Period",
    "RecordError",
    "RecordMethod",
    "Report",
    "StationFigures",
    "SunUnit",
    "Unit",
    "WindUnit",
    "YearTotals",
    "autumn_risk",
    "day_totals",
    "degree_days_of_year",
    "frosts_at",
    "good_years",
    "laid_over",
    "month_day_of",
    "period_of",
    "read_records",
    "records_of_years",
    "spring_risk",
    "station_figures",
    "zones_near",
]
