"""Addresses of climates with their daily records."""

import zlib
from types import SimpleNamespace
from typing import Any

from plants.models import RecordFile, StationRecords
from tests import factories
from tests.system.access_rows import Permission, Row

SEE = Permission.SEE_GARDENS
EDIT = Permission.EDIT_GARDENS

ROWS: dict[str, Row] = {
    "station": Row(SEE, sample="station"),
    "station-records": Row(EDIT, post=200, sample="station"),
    "station-from-records": Row(EDIT, post=200),
    "station-figures": Row(EDIT, get=None, post=200, sample="station with records"),
    "record-file": Row(EDIT, post=200, sample="record file"),
    "record-file-drop": Row(EDIT, get=None, post=302, sample="record file"),
}


def samples(base: SimpleNamespace) -> dict[str, dict[str, Any]]:
    """A file that waits for its columns, and a climate with records."""
    station = base.garden.station
    StationRecords.objects.create(station=station)
    table = "date,TMAX,TMIN\n" + "".join(
        f"2021-01-{day:02},9.5,1.5\n" for day in range(1, 32)
    )
    file = RecordFile.objects.create(
        station=station,
        file_name="days.csv",
        content=zlib.compress(table.encode()),
        uploaded_by=base.people["owner"],
        uploaded_at=factories.NOW,
    )
    return {
        "record file": {"pk": file.pk},
        "station with records": {"pk": station.pk},
    }
