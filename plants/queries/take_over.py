"""Looks through a list of clients and gardens: what is new, there already, or wrong."""

from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from typing import Any

from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from firm.geo import GeoError, Position
from firm.models import Client, Contact, ListImport
from firm.units import round_figure
from plants.models import Garden, Station

KIND = "clients and gardens"

# Key of a column, its own head, and other heads by which people call it.
COLUMNS: dict[str, tuple[Promise | str, tuple[str, ...]]] = {
    "client": (
        gettext_lazy("Client"),
        ("client name", "customer", "customer name", "name of client"),
    ),
    "contact": (
        gettext_lazy("Contact"),
        ("contact name", "contact person", "main contact"),
    ),
    "mail": (
        gettext_lazy("Mail"),
        ("e-mail", "email address", "e-mail address", "mail address"),
    ),
    "telephone": (
        gettext_lazy("Telephone"),
        ("phone", "tel", "mobile", "phone number", "telephone number"),
    ),
    "billing address": (
        gettext_lazy("Billing address"),
        ("invoice address", "bill to"),
    ),
    "garden": (
        gettext_lazy("Garden"),
        ("garden name", "site", "site name", "property", "place"),
    ),
    "address": (
        gettext_lazy("Address"),
        ("garden address", "site address", "street address", "street"),
    ),
    "latitude": (gettext_lazy("Latitude"), ("lat",)),
    "longitude": (gettext_lazy("Longitude"), ("lon", "lng", "long")),
    "way in": (gettext_lazy("Way in"), ("access", "access notes", "directions")),
    "gate code": (gettext_lazy("Gate code"), ("gate", "code")),
}
NEEDED = ("client", "address")
LONGEST = {
    "client": Client._meta.get_field("name").max_length,
    "contact": Contact._meta.get_field("name").max_length,
    "mail": Contact._meta.get_field("email").max_length,
    "telephone": Contact._meta.get_field("phone").max_length,
    "garden": Garden._meta.get_field("name").max_length,
    "gate code": Garden._meta.get_field("gate_code").max_length,
    "address": 500,
    "billing address": 500,
    "way in": 2000,
}
NEW, THERE, WRONG = "new", "there", "wrong"


@dataclass(frozen=True)
class Fault:
    """What is wrong in one column of a row."""

    column: str
    why: str


@dataclass
class Judged:
    """One row of the list, and what will become of it."""

    number: int
    cells: dict[str, str]
    verdict: str = NEW
    faults: list[Fault] = field(default_factory=list)
    # Why a row is left out, or what a new one is added to.
    remark: str = ""
    garden_name: str = ""
    client_id: int | None = None
    position: Position | None = None

    def cell(self, key: str) -> str:
        """The text in a column; empty if the list has no such column."""
        return self.cells[key]

    @property
    def client_key(self) -> str:
        return plain(self.cell("client"))


@dataclass(frozen=True)
class Looked:
    """The whole list, looked through."""

    rows: list[Judged]

    def of(self, verdict: str) -> list[Judged]:
        """The rows with that verdict, in the list's order."""
        return [row for row in self.rows if row.verdict == verdict]

    @property
    def new(self) -> list[Judged]:
        return self.of(NEW)

    @property
    def there(self) -> list[Judged]:
        return self.of(THERE)

    @property
    def wrong(self) -> list[Judged]:
        return self.of(WRONG)


def plain(name: str) -> str:
    """A name without case and needless blanks, to find it again."""
    return " ".join(name.casefold().split())


def look_through(*, listed: ListImport) -> Looked:
    """Each row of the list with its verdict, against what is in the book today."""
    clients, gardens = _book()
    seen: dict[tuple[str, str], int] = {}
    rows: list[Judged] = []
    for kept in listed.rows:
        cells = {key: kept["cells"].get(key, "") for key in COLUMNS}
        row = Judged(number=kept["row"], cells=cells)
        _check(row)
        known = clients.get(row.client_key, [])
        if len(known) > 1:
            _fault(row, "client", _("Several clients in the book have this name."))
        if not row.faults:
            row.client_id = known[0] if known else None
            key = (row.client_key, plain(row.garden_name))
            if row.client_id and key[1] in gardens.get(row.client_id, set()):
                row.verdict = THERE
                row.remark = _("This garden of this client is in the book already.")
            elif key in seen:
                row.verdict = THERE
                row.remark = _("The same garden as in row %d.") % seen[key]
            else:
                seen[key] = row.number
                if row.client_id:
                    row.remark = _("A further garden of a client in the book.")
        rows.append(row)
    return Looked(rows)


def _book() -> tuple[dict[str, list[int]], dict[int, set[str]]]:
    """Clients by name, and the names of each one's gardens."""
    clients: dict[str, list[int]] = {}
    for pk, name in Client.objects.order_by("id").values_list("id", "name"):
        clients.setdefault(plain(name), []).append(pk)
    gardens: dict[int, set[str]] = {}
    for client_id, name in Garden.objects.order_by("id").values_list(
        "client_id", "name"
    ):
        gardens.setdefault(client_id, set()).add(plain(name))
    return clients, gardens


def _fault(row: Judged, key: str, why: str) -> None:
    row.verdict = WRONG
    row.faults.append(Fault(column=str(COLUMNS[key][0]), why=why))


def _check(row: Judged) -> None:
    for key in NEEDED:
        if not row.cell(key):
            _fault(row, key, _("This is missing."))
    for key, longest in LONGEST.items():
        if longest and len(row.cell(key)) > longest:
            _fault(row, key, _("Longer than %d letters.") % longest)
    if address := row.cell("mail"):
        try:
            validate_email(address)
        except ValidationError:
            _fault(row, "mail", _("“%s” is not a mail address.") % address)
    _check_position(row)
    # A list of clients often has no names of gardens: the street is one.
    first_line = row.cell("address").partition("\n")[0].partition(",")[0]
    row.garden_name = row.cell("garden") or first_line[:120]


def _check_position(row: Judged) -> None:
    degrees: dict[str, Decimal] = {}
    for key, bound in (("latitude", 90), ("longitude", 180)):
        text = row.cell(key)
        if not text:
            continue
        try:
            value = Decimal(text.replace(",", ".").replace("−", "-").rstrip("°"))
        except InvalidOperation:
            _fault(row, key, _("“%s” is not a number of degrees, like 38.6.") % text)
            continue
        if not value.is_finite() or abs(value) > bound:
            _fault(
                row, key, _("This lies between -%d and %d degrees.") % (bound, bound)
            )
            continue
        degrees[key] = round_figure(value, 5)
    given = [key for key in ("latitude", "longitude") if row.cell(key)]
    if len(given) == 1:
        other = "longitude" if given == ["latitude"] else "latitude"
        _fault(row, other, _("Latitude and longitude come together."))
    if len(degrees) == 2:
        try:
            row.position = Position(lat=degrees["latitude"], lon=degrees["longitude"])
        except GeoError as error:
            _fault(row, "latitude", str(error))


def has_climate() -> bool:
    """True if there is a climate that gardens can be given."""
    return Station.objects.exists()


def has_garden() -> bool:
    """True once a garden is open."""
    return Garden.objects.exists()


def stations() -> Any:
    """The climates that gardens can be given, by name."""
    return Station.objects.order_by("name", "id")
