"""The firm's own settings row, its crews, rates, free days and numbers."""

from base64 import urlsafe_b64encode

from cryptography.fernet import Fernet, InvalidToken
from django.db import models
from django.db.models import F, Q
from django.utils.crypto import salted_hmac
from django.utils.translation import gettext_lazy as _

from firm.enums import CountRounding, OverheadWay, TaxRounding, Units
from firm.models.people import Person


class MailPasswordUnreadable(Exception):
    """The stored mail password was sealed with another secret key."""


def mail_seal() -> Fernet:
    """What seals and opens the mail password; made from the installation's secret."""
    key = salted_hmac("firm.mail_password", "", algorithm="sha256").digest()
    return Fernet(urlsafe_b64encode(key))


class Firm(models.Model):
    """The firm this installation serves: exactly one row."""

    name = models.CharField(_("name of the firm"), max_length=120)
    address = models.TextField(_("address"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    email = models.EmailField(_("mail address"), blank=True)
    website = models.CharField(_("website"), max_length=200, blank=True)
    licence_number = models.CharField(_("licence number"), max_length=80, blank=True)
    letterhead_note = models.TextField(_("line under the letterhead"), blank=True)
    units = models.CharField(_("units"), max_length=10, choices=Units, default=Units.US)
    currency = models.CharField(_("currency"), max_length=3, default="USD")
    time_zone = models.CharField(_("time zone"), max_length=60, default="UTC")
    language = models.CharField(_("language"), max_length=8, default="en")
    latitude = models.DecimalField(
        _("latitude of the yard"), max_digits=8, decimal_places=5, null=True, blank=True
    )
    longitude = models.DecimalField(
        _("longitude of the yard"),
        max_digits=8,
        decimal_places=5,
        null=True,
        blank=True,
    )

    margin_percent = models.DecimalField(
        _("usual margin"), max_digits=5, decimal_places=2, default=35
    )
    hour_price = models.DecimalField(
        _("price of an hour"), max_digits=8, decimal_places=2, default=0
    )
    hour_cost = models.DecimalField(
        _("cost of an hour"), max_digits=8, decimal_places=2, default=0
    )
    tax_rounding = models.CharField(
        max_length=10, choices=TaxRounding, default=TaxRounding.DOCUMENT
    )
    tax_on_labour = models.BooleanField(_("labour is taxed"), default=False)
    count_rounding = models.CharField(
        max_length=10, choices=CountRounding, default=CountRounding.HALF_UP
    )
    settling_percent = models.DecimalField(
        _("settling of soil mixes"), max_digits=4, decimal_places=1, default=15
    )
    # From how many hours of direct sun a day a bed is called what; see
    # plants.sun.year.Thresholds for who uses which.
    full_sun_h = models.DecimalField(
        _("full sun from"), max_digits=3, decimal_places=1, default=6
    )
    part_sun_h = models.DecimalField(
        _("part sun and part shade from"), max_digits=3, decimal_places=1, default=4
    )
    afternoon_sun_h = models.DecimalField(
        _("part sun, not part shade, with so much after solar noon"),
        max_digits=3,
        decimal_places=1,
        default=2,
    )
    # An older price of a supplier is looked at before a quote goes out.
    price_age_days = models.PositiveSmallIntegerField(
        _("a supplier's price holds for"), default=60
    )
    quote_valid_days = models.PositiveSmallIntegerField(
        _("days an offer stands"), default=30
    )
    payment_days = models.PositiveSmallIntegerField(_("days to pay"), default=14)
    round_sent_at = models.TimeField(_("the crew's round is sent at"), default="06:00")
    # How a quote is priced; a quote keeps its own copy of each.
    overhead_way = models.CharField(
        _("overhead"),
        max_length=10,
        choices=OverheadWay,
        default=OverheadWay.IN_MARGIN,
    )
    overhead_per_hour = models.DecimalField(
        _("overhead of an hour of labour"), max_digits=8, decimal_places=2, default=0
    )
    overhead_materials_percent = models.DecimalField(
        _("overhead on plants and materials"),
        max_digits=5,
        decimal_places=2,
        default=0,
    )
    overhead_labour_percent = models.DecimalField(
        _("overhead on labour"), max_digits=5, decimal_places=2, default=0
    )
    contingency_percent = models.DecimalField(
        _("put by for surprises"), max_digits=5, decimal_places=2, default=0
    )
    warranty_percent = models.DecimalField(
        _("put by for plants under warranty"),
        max_digits=5,
        decimal_places=2,
        default=0,
    )
    minimum_job = models.DecimalField(
        _("least price of a job before tax"),
        max_digits=10,
        decimal_places=2,
        default=0,
    )
    deposit_percent = models.DecimalField(
        _("deposit"), max_digits=5, decimal_places=2, default=0
    )
    # What a quote says unless it says otherwise.
    not_included_words = models.TextField(_("what is not included"), blank=True)
    assumption_words = models.TextField(_("what is assumed"), blank=True)
    warranty_words = models.TextField(_("warranty of plants"), blank=True)
    warranty_void_words = models.TextField(_("what ends the warranty"), blank=True)
    quote_reminder_days = models.PositiveSmallIntegerField(
        _("days before an offer ends that the client is reminded"), default=5
    )
    poison_line_people = models.CharField(
        _("poison line for people"), max_length=80, blank=True
    )
    poison_line_animals = models.CharField(
        _("poison line for animals"), max_length=80, blank=True
    )
    emergency_number = models.CharField(
        _("emergency number"), max_length=20, default="911"
    )

    mail_host = models.CharField(_("mail server"), max_length=200, blank=True)
    mail_port = models.PositiveIntegerField(_("port"), default=587)
    mail_user = models.CharField(_("user name"), max_length=200, blank=True)
    mail_password_sealed = models.TextField(blank=True, editable=False)
    mail_security = models.CharField(
        _("encryption"),
        max_length=10,
        choices=[("starttls", "STARTTLS"), ("tls", "TLS"), ("none", _("none"))],
        default="starttls",
    )
    mail_from = models.EmailField(_("sender"), blank=True)

    is_demo = models.BooleanField(default=False, editable=False)
    set_up_at = models.DateTimeField(null=True, blank=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(pk=1), name="only_one_firm"),
            models.CheckConstraint(
                condition=Q(margin_percent__gte=0, margin_percent__lt=100),
                name="firm_margin_from_0_to_under_100",
            ),
            models.CheckConstraint(
                condition=Q(hour_price__gte=0, hour_cost__gte=0),
                name="firm_hour_rates_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(
                    overhead_per_hour__gte=0,
                    overhead_materials_percent__gte=0,
                    overhead_labour_percent__gte=0,
                    contingency_percent__gte=0,
                    contingency_percent__lte=100,
                    warranty_percent__gte=0,
                    warranty_percent__lte=100,
                    minimum_job__gte=0,
                    deposit_percent__gte=0,
                    deposit_percent__lte=100,
                ),
                name="firm_pricing_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(
                    part_sun_h__gt=0,
                    full_sun_h__gt=F("part_sun_h"),
                    full_sun_h__lte=24,
                    afternoon_sun_h__gte=0,
                    afternoon_sun_h__lte=12,
                ),
                name="firm_sun_hours_in_order",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def set_mail_password(self, password: str) -> None:
        """Seal PASSWORD into this row; the caller stores `mail_password_sealed`."""
        self.mail_password_sealed = (
            mail_seal().encrypt(password.encode()).decode() if password else ""
        )

    def mail_password(self) -> str:
        """The mail password in clear, or "" if there is none."""
        if not self.mail_password_sealed:
            return ""
        try:
            return mail_seal().decrypt(self.mail_password_sealed.encode()).decode()
        except InvalidToken as error:
            raise MailPasswordUnreadable from error


class LabourRate(models.Model):
    """What an hour of one kind of work costs the firm and its client."""

    name = models.CharField(_("kind of work"), max_length=60, unique=True)
    hour_cost = models.DecimalField(
        _("cost of an hour"), max_digits=8, decimal_places=2
    )
    hour_price = models.DecimalField(
        _("price of an hour"), max_digits=8, decimal_places=2
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(hour_cost__gte=0, hour_price__gte=0),
                name="labour_rate_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Crew(models.Model):
    """People who go out together."""

    name = models.CharField(_("name"), max_length=60, unique=True)
    hours_per_day = models.DecimalField(
        _("hours a person works in a day"), max_digits=4, decimal_places=2, default=8
    )
    start_at = models.TimeField(_("day begins at"), default="07:30")
    # A crew goes out with one truck; null: nobody has looked at its plate.
    vehicle = models.CharField(_("truck"), max_length=80, blank=True)
    payload_kg = models.DecimalField(
        _("what the truck carries"),
        max_digits=8,
        decimal_places=1,
        null=True,
        blank=True,
    )
    retired_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(payload_kg__isnull=True) | Q(payload_kg__gt=0),
                name="crew_truck_carries_something",
            ),
            models.CheckConstraint(
                condition=Q(hours_per_day__gt=0, hours_per_day__lte=16),
                name="crew_hours_per_day_over_0_to_16",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class CrewMember(models.Model):
    """Who is in a crew from one day to another."""

    crew = models.ForeignKey(Crew, on_delete=models.PROTECT, related_name="members")
    person = models.ForeignKey(
        Person, on_delete=models.PROTECT, related_name="memberships"
    )
    starts_on = models.DateField()
    ends_on = models.DateField(null=True, blank=True)
    is_lead = models.BooleanField(_("leads the crew"), default=False)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(ends_on__isnull=True) | Q(ends_on__gte=F("starts_on")),
                name="crew_member_ends_after_start",
            ),
            models.UniqueConstraint(
                fields=["crew", "person", "starts_on"],
                name="one_membership_per_crew_person_and_start",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.person_id} in {self.crew_id}"


class DayOff(models.Model):
    """A day on which nobody, or one crew, works."""

    day = models.DateField(_("day"))
    crew = models.ForeignKey(
        Crew, on_delete=models.CASCADE, null=True, blank=True, related_name="days_off"
    )
    reason = models.CharField(_("reason"), max_length=120)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["day", "crew"], name="one_day_off_per_crew"
            ),
            models.UniqueConstraint(
                fields=["day"],
                condition=Q(crew__isnull=True),
                name="one_day_off_for_everybody",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.day:%Y-%m-%d} {self.reason}"


class Counter(models.Model):
    """The last number given to a kind of document in a year."""

    kind = models.CharField(max_length=30)
    year = models.PositiveSmallIntegerField()
    value = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "year"], name="one_counter_per_kind_and_year"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.year}: {self.value}"
