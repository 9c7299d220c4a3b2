"""Taking the regions' tables of bloom over into the rows."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from plants.models import BloomTable, BloomTableRow, Group, Plant, Source


@dataclass
class LoadReport:
    """What a load changed, each line as "kind key"; KEPT is the firm's own.

    UNFIT are lines of the firm that the catalogue no longer carries: they are kept
    and left out until somebody changes them, each with its reason.
    """

    added: list[str] = field(default_factory=list)
    changed: list[str] = field(default_factory=list)
    retired: list[str] = field(default_factory=list)
    kept: list[str] = field(default_factory=list)
    unfit: list[str] = field(default_factory=list)

    @property
    def changes(self) -> int:
        """How many rows were added, changed or retired."""
        return len(self.added) + len(self.changed) + len(self.retired)


SIDES = ("south", "north", "west", "east")


def load_bloom_tables(
    *,
    tables: Mapping[str, dict[str, Any]],
    sources: Mapping[str, Source],
    now: dt.datetime,
    report: LoadReport,
) -> None:
    """Make the rows say what TABLES say and write into REPORT what changed.

    It runs inside the load of the catalogue, which is atomic and keeps the record. A
    table that is no longer shipped is retired: climates that go by it keep it.
    """
    rows = {row.key: row for row in BloomTable.objects.all()}
    for key, table in tables.items():
        values: dict[str, Any] = {
            "name": table["name"],
            "method": table["method"],
            "note": table["note"],
            "retired_at": None,
            **{side: Decimal(str(table[side])) for side in SIDES},
        }
        row = rows.get(key)
        if row is None:
            rows[key] = BloomTable.objects.create(key=key, **values)
            report.added.append(f"bloom table {key}")
        elif any(getattr(row, name) != value for name, value in values.items()):
            for name, value in values.items():
                setattr(row, name, value)
            row.save(update_fields=list(values))
            report.changed.append(f"bloom table {key}")
        _load_rows(rows[key], table["rows"], sources, report)
    for key, row in rows.items():
        if key not in tables and row.retired_at is None:
            row.retired_at = now
            row.save(update_fields=["retired_at"])
            report.retired.append(f"bloom table {key}")


def _load_rows(
    table: BloomTable,
    written: list[dict[str, Any]],
    sources: Mapping[str, Source],
    report: LoadReport,
) -> None:
    """Make the rows of one table say what is WRITTEN."""
    groups = {row.key: row.pk for row in Group.objects.all()}
    plants = {row.key: row.pk for row in Plant.objects.all()}
    there = {(row.group_id, row.plant_id): row for row in table.rows.order_by("id")}
    new, changed = [], []
    wanted: set[tuple[int | None, int | None]] = set()
    fields = ("named", "gdd50_first", "gdd50_full", "source_id", "how_read", "note")
    for line in written:
        full = line.get("full")
        values: dict[str, Any] = {
            "named": line["named"],
            "gdd50_first": Decimal(str(line["first"])),
            "gdd50_full": None if full is None else Decimal(str(full)),
            "source_id": sources[line["source"]].pk,
            "how_read": line["read"],
            "note": line.get("note", ""),
        }
        # Of a key that the firm took for its own, not everything shipped has a row.
        spots: list[tuple[int | None, int | None]] = [
            *((groups[key], None) for key in (line.get("group"),) if key in groups),
            *((None, plants[key]) for key in line.get("plants", ()) if key in plants),
        ]
        for spot in spots:
            wanted.add(spot)
            row = there.get(spot)
            if row is None:
                new.append(
                    BloomTableRow(
                        table=table, group_id=spot[0], plant_id=spot[1], **values
                    )
                )
                report.added.append(f"bloom {table.key}/{line['named']}")
            elif any(getattr(row, name) != value for name, value in values.items()):
                for name, value in values.items():
                    setattr(row, name, value)
                changed.append(row)
                report.changed.append(f"bloom {table.key}/{line['named']}")
    gone = [row for spot, row in there.items() if spot not in wanted]
    BloomTableRow.objects.bulk_create(new)
    BloomTableRow.objects.bulk_update(
        changed, [name.removesuffix("_id") for name in fields]
    )
    BloomTableRow.objects.filter(pk__in=[row.pk for row in gone]).delete()
    report.retired.extend(f"bloom {table.key}/{row.named}" for row in gone)
