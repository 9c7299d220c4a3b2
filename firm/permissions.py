"""What each role may do: the whole table."""

from enum import StrEnum


class Permission(StrEnum):
    """One thing that a page may ask for."""

    SEE_HOME = "see home"
    SEE_TODAY = "see today's rounds"
    WORK_ROUND = "tick tasks and log hours"
    SEE_GARDENS = "see gardens"
    EDIT_GARDENS = "edit clients, gardens and plantings"
    SEE_PLANTS = "see the catalogue"
    EDIT_PLANTS = "edit the catalogue"
    SEE_MONEY = "see costs and margins"
    WRITE_QUOTES = "write and offer quotes"
    PLAN_WORK = "book jobs and plan visits"
    RUN_CONTRACTS = "write and run care contracts"
    SEE_BOOKS = "see the books"
    KEEP_BOOKS = "enter receipts and bills, export totals"
    RUN_FIRM = "change the firm's settings and people"


ALL = frozenset(Permission)
CREW = frozenset(
    {
        Permission.SEE_HOME,
        Permission.SEE_TODAY,
        Permission.WORK_ROUND,
    }
)
BOOKKEEPER = frozenset(
    {
        Permission.SEE_HOME,
        Permission.SEE_BOOKS,
        Permission.KEEP_BOOKS,
        Permission.SEE_MONEY,
    }
)
# Keys are the values of firm.enums.Role; this module knows nothing of Django.
ROLES: dict[str, frozenset[Permission]] = {
    "owner": ALL,
    "crew": CREW,
    "bookkeeper": BOOKKEEPER,
}
