"""The table of addresses: what each asks for and what it answers."""

from dataclasses import dataclass, field

from firm.access import PRIVATE_LINK, PUBLIC
from firm.permissions import Permission

__all__ = ["PRIVATE_LINK", "PUBLIC", "Permission", "Row"]


@dataclass(frozen=True)
class Row:
    """One address: GET and POST give the exact status for those who may; None: 405.

    SAMPLE names an entry of the world (tests/system/world.py) that fills the address.
    POST sends DATA. ROLES_GET and ROLES_POST say where one role that may gets another
    status (such as a crew member whose round it is not: 404).
    """

    needs: Permission | str
    get: int | None = 200
    post: int | None = None
    sample: str = ""
    data: dict[str, str] = field(default_factory=dict)
    roles_get: dict[str, int] = field(default_factory=dict)
    roles_post: dict[str, int] = field(default_factory=dict)
