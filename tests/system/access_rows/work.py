"""Addresses of work."""

from tests.system.access_rows import Row

ROWS: dict[str, Row] = {}
