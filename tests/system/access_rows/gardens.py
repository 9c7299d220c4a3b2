"""Addresses of gardens."""

from tests.system.access_rows import Permission, Row

ROWS: dict[str, Row] = {
    "home": Row(Permission.SEE_HOME, get=302),
    "gardens-dry": Row(Permission.PLAN_WORK),
    "garden": Row(Permission.SEE_GARDENS, sample="garden"),
    "bed": Row(Permission.SEE_GARDENS, sample="bed"),
    "bed-soil": Row(Permission.SEE_GARDENS, sample="bed"),
}
