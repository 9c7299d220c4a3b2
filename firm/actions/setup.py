"""The first run of a real firm, and its settings later on."""

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.translation import gettext as _

from firm.actions.record import record
from firm.enums import Role, TaxCategory
from firm.models import Crew, Firm, LabourRate, Person, TaxRate, TaxRegion
from firm.queries.setup import is_set_up


class AlreadySetUp(Exception):
    """The firm exists; the first run is over for good."""

    def __init__(self) -> None:
        super().__init__(_("This firm is set up already."))


class NotSetUp(Exception):
    """There is no firm yet whose settings could be changed."""


class RateTaken(Exception):
    """There is a tax rate from that day on already."""

    def __init__(self) -> None:
        super().__init__(_("There is a rate from this day on already."))


class KindOfWorkTaken(Exception):
    """There is a labour rate of that name already."""

    def __init__(self) -> None:
        super().__init__(_("There is a rate of this name already."))


@dataclass(frozen=True, kw_only=True)
class OwnerAnswers:
    """The owner's account."""

    name: str
    email: str
    password: str


@dataclass(frozen=True, kw_only=True)
class TaxAnswers:
    """The sales tax from a day on."""

    name: str
    percent: Decimal
    valid_from: dt.date
    valid_until: dt.date | None = None
    region: TaxRegion | None = None
    category: str = TaxCategory.STANDARD


class NoSuchRow(Exception):
    """The rate or region to be changed is not there."""


# Columns of the firm's row that a person may change; nothing else is written.
FIRM_FIELDS = (
    "name",
    "address",
    "phone",
    "email",
    "website",
    "licence_number",
    "letterhead_note",
    "units",
    "currency",
    "time_zone",
    "language",
    "latitude",
    "longitude",
    "margin_percent",
    "hour_price",
    "hour_cost",
    "tax_rounding",
    "tax_on_labour",
    "count_rounding",
    "settling_percent",
    "full_sun_h",
    "part_sun_h",
    "afternoon_sun_h",
    "price_age_days",
    "quote_valid_days",
    "payment_days",
    "overhead_way",
    "overhead_per_hour",
    "overhead_materials_percent",
    "overhead_labour_percent",
    "contingency_percent",
    "warranty_percent",
    "minimum_job",
    "deposit_percent",
    "not_included_words",
    "assumption_words",
    "warranty_words",
    "warranty_void_words",
    "quote_reminder_days",
    "round_sent_at",
    "poison_line_people",
    "poison_line_animals",
    "emergency_number",
    "mail_host",
    "mail_port",
    "mail_user",
    "mail_security",
    "mail_from",
)


@transaction.atomic
def set_up_firm(
    *,
    owner: OwnerAnswers,
    firm: dict[str, Any],
    mail_password: str,
    tax: TaxAnswers | None,
    crews: list[str],
    now: dt.datetime,
) -> Firm:
    """The new firm with its owner, tax and crews; the first run then closes itself."""
    if is_set_up():
        raise AlreadySetUp
    row = Firm(pk=1, set_up_at=now)
    for name in FIRM_FIELDS:
        if name in firm:
            setattr(row, name, firm[name])
    row.set_mail_password(mail_password)
    try:
        with transaction.atomic():
            # Two first runs at once: the second one's row is refused by its key.
            row.save(force_insert=True)
    except IntegrityError as error:
        if Firm.objects.filter(pk=1).exists():
            raise AlreadySetUp from error
        raise
    person = Person(
        name=owner.name,
        email=owner.email.strip().lower(),
        role=Role.OWNER,
        language=row.language,
        hour_cost=row.hour_cost,
    )
    person.set_password(owner.password)
    person.save()
    if tax is not None:
        TaxRate.objects.create(
            name=tax.name, percent=tax.percent, valid_from=tax.valid_from
        )
    for crew in crews:
        Crew.objects.create(name=crew)
    record(
        action="firm set up",
        subject=row,
        summary=f"{row.name} set up",
        now=now,
        by=person,
    )
    return row


@transaction.atomic
def change_firm(
    *,
    changes: dict[str, Any],
    by: Person,
    now: dt.datetime,
    mail_password: str | None = None,
) -> Firm:
    """The firm with CHANGES; a mail password of None leaves the stored one."""
    row = Firm.objects.filter(pk=1).first()
    if row is None:
        raise NotSetUp
    changed = [
        name
        for name in FIRM_FIELDS
        if name in changes and getattr(row, name) != changes[name]
    ]
    for name in changed:
        setattr(row, name, changes[name])
    written = list(changed)
    if mail_password is not None:
        row.set_mail_password(mail_password)
        written.append("mail_password_sealed")
    if written:
        row.save(update_fields=written)
        record(
            action="firm changed",
            subject=row,
            summary="Settings of the firm changed",
            now=now,
            by=by,
            # Names only: values may be private.
            details={"fields": written},
        )
    return row


@transaction.atomic
def add_tax_rate(*, tax: TaxAnswers, by: Person, now: dt.datetime) -> TaxRate:
    """The new rate of the sales tax, valid from its day on."""
    rate = TaxRate(**vars(tax))
    try:
        with transaction.atomic():
            rate.save()
    except IntegrityError as error:
        same = TaxRate.objects.filter(
            region=tax.region, category=tax.category, valid_from=tax.valid_from
        )
        if same.exists():
            raise RateTaken from error
        raise
    record(
        action="tax rate added",
        subject=rate,
        summary=f"{rate} from {tax.valid_from}",
        now=now,
        by=by,
    )
    return rate


@transaction.atomic
def end_tax_rate(
    *, rate_id: int, valid_until: dt.date | None, by: Person, now: dt.datetime
) -> TaxRate:
    """The rate with another last day; None: until a later one takes its place."""
    rate = TaxRate.objects.filter(pk=rate_id).first()
    if rate is None:
        raise NoSuchRow
    rate.valid_until = valid_until
    rate.save(update_fields=["valid_until"])
    record(
        action="tax rate ended",
        subject=rate,
        summary=f"{rate} until {valid_until or 'a later one'}",
        now=now,
        by=by,
    )
    return rate


@transaction.atomic
def save_tax_region(
    *, region_id: int | None, values: dict[str, Any], by: Person, now: dt.datetime
) -> TaxRegion:
    """The place with its taxes, caps and words; a new one without an id."""
    region = TaxRegion()
    if region_id is not None:
        found = TaxRegion.objects.filter(pk=region_id).first()
        if found is None:
            raise NoSuchRow
        region = found
    for name, value in values.items():
        setattr(region, name, value)
    region.save()
    record(
        action="tax region kept",
        subject=region,
        summary=f"{region}",
        now=now,
        by=by,
    )
    return region


@transaction.atomic
def save_labour_rate(
    *,
    rate_id: int | None,
    name: str,
    hour_cost: Decimal,
    hour_price: Decimal,
    by: Person,
    now: dt.datetime,
) -> LabourRate:
    """The labour rate as described; a new one without an id."""
    rate = LabourRate.objects.get(pk=rate_id) if rate_id else LabourRate()
    rate.name, rate.hour_cost, rate.hour_price = name, hour_cost, hour_price
    columns = ["name", "hour_cost", "hour_price"]
    try:
        with transaction.atomic():
            rate.save(update_fields=columns if rate_id else None)
    except IntegrityError as error:
        if LabourRate.objects.filter(name=name).exclude(pk=rate_id or 0).exists():
            raise KindOfWorkTaken from error
        raise
    record(
        action="labour rate kept",
        subject=rate,
        summary=f"{name}: an hour costs {hour_cost} and sells at {hour_price}",
        now=now,
        by=by,
    )
    return rate
