"""Gardens, their beds, what shades them and what their owners insist on."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from firm.models import Client, TaxRegion
from plants.enums import BedShape, Facing, Light, Moisture, ShadeKind, Texture
from plants.models.climate import Station


class Garden(models.Model):
    """A client's place."""

    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="gardens")
    name = models.CharField(_("name"), max_length=120)
    address = models.TextField(_("address"))
    latitude = models.DecimalField(
        _("latitude"), max_digits=8, decimal_places=5, null=True, blank=True
    )
    longitude = models.DecimalField(
        _("longitude"), max_digits=8, decimal_places=5, null=True, blank=True
    )
    station = models.ForeignKey(
        Station,
        on_delete=models.PROTECT,
        related_name="gardens",
        verbose_name=_("climate"),
    )
    # As the catalogue names places where a plant is invasive or native: Virginia.
    region = models.CharField(_("state or region"), max_length=80, blank=True)
    # Null: the firm's own place.
    tax_region = models.ForeignKey(
        TaxRegion,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="gardens",
        verbose_name=_("tax and notices as in"),
    )
    # Null: nobody has asked.
    has_deer = models.BooleanField(_("deer come"), null=True, blank=True)
    access_notes = models.TextField(_("way in"), blank=True)
    # Shown only to the crew whose round stops here that day.
    gate_code = models.CharField(_("gate code"), max_length=40, blank=True)
    left_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)
    created_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(latitude__isnull=True, longitude__isnull=True)
                | Q(latitude__isnull=False, longitude__isnull=False),
                name="garden_latitude_with_longitude",
                violation_error_message=_("Latitude and longitude come together."),
            ),
            models.CheckConstraint(
                condition=Q(latitude__isnull=True)
                | Q(
                    latitude__gte=-90,
                    latitude__lte=90,
                    longitude__gte=-180,
                    longitude__lte=180,
                ),
                name="garden_position_on_earth",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Bed(models.Model):
    """A piece of ground to plant: lengths are exact metres beside the text as typed."""

    garden = models.ForeignKey(Garden, on_delete=models.CASCADE, related_name="beds")
    name = models.CharField(_("name"), max_length=80)
    shape = models.CharField(_("shape"), max_length=10, choices=BedShape)
    length_text = models.CharField(_("length"), max_length=40, blank=True)
    width_text = models.CharField(_("width"), max_length=40, blank=True)
    across_text = models.CharField(_("across"), max_length=40, blank=True)
    depth_text = models.CharField(
        _("depth of good soil wanted"), max_length=40, blank=True
    )
    length_m = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    width_m = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    across_m = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    depth_m = models.DecimalField(
        max_digits=14, decimal_places=9, null=True, blank=True
    )
    # [{"length_text", "width_text", "length_m", "width_m"}]: decimals as text.
    pieces = models.JSONField(default=list, blank=True)
    outline_text = models.TextField(_("outline"), blank=True)
    # [[x, y]] from the front left, x along the front and y to the back: as text.
    corners = models.JSONField(default=list, blank=True)
    facing = models.CharField(_("faces"), max_length=5, choices=Facing, blank=True)
    # Degrees from the north by the east, where a compass was held; null: as FACING.
    bearing_deg = models.PositiveSmallIntegerField(
        _("looks to, by compass"), null=True, blank=True
    )
    light = models.CharField(_("light"), max_length=12, choices=Light, blank=True)
    latest_sun = models.TimeField(_("latest direct sun"), null=True, blank=True)
    texture = models.CharField(_("soil"), max_length=12, choices=Texture, blank=True)
    # The middle of what was read; LOW and HIGH are empty in rows that had one figure.
    ph = models.DecimalField(
        _("pH"), max_digits=3, decimal_places=1, null=True, blank=True
    )
    ph_text = models.CharField(_("pH"), max_length=40, blank=True)
    ph_low = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    ph_high = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    has_free_lime = models.BooleanField(_("fizzes with vinegar"), default=False)
    is_lime_tested = models.BooleanField(_("tried with vinegar"), default=False)
    moisture = models.CharField(
        _("moisture"), max_length=8, choices=Moisture, blank=True
    )
    is_irrigated = models.BooleanField(_("irrigated"), default=False)
    # Null: nobody has looked.
    has_salt = models.BooleanField(_("salt reaches it"), null=True, blank=True)
    is_windy = models.BooleanField(_("windy"), null=True, blank=True)
    notes = models.TextField(_("notes"), blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["garden", "name"],
                name="one_bed_per_garden_and_name",
                violation_error_message=_(
                    "This garden already has a bed of that name."
                ),
            ),
            models.CheckConstraint(
                condition=Q(ph__isnull=True) | Q(ph__gte=3, ph__lte=10),
                name="bed_ph_from_3_to_10",
            ),
            models.CheckConstraint(
                condition=Q(ph_low__isnull=True, ph_high__isnull=True)
                | Q(ph_low__gte=3, ph_low__lte=F("ph_high"), ph_high__lte=10),
                name="bed_ph_low_up_to_ph_high",
            ),
            models.CheckConstraint(
                condition=Q(shape=BedShape.RECTANGLE, length_m__gt=0, width_m__gt=0)
                | Q(shape=BedShape.CIRCLE, across_m__gt=0)
                | Q(shape=BedShape.PIECES)
                | (Q(shape=BedShape.OUTLINE) & ~Q(outline_text="")),
                name="bed_has_the_sizes_of_its_shape",
            ),
            models.CheckConstraint(
                condition=Q(depth_m__isnull=True) | Q(depth_m__gt=0),
                name="bed_depth_over_0",
            ),
            models.CheckConstraint(
                condition=Q(bearing_deg__isnull=True) | Q(bearing_deg__lt=360),
                name="bed_bearing_under_360",
            ),
        ]

    def __str__(self) -> str:
        return self.name


def _metres() -> models.DecimalField:
    """A length that may be missing, in exact metres."""
    return models.DecimalField(max_digits=14, decimal_places=9, null=True, blank=True)


class Shade(models.Model):
    """Something that keeps sun off a bed.

    A house, wall, fence or hedge has a base line: square to the way from the bed's
    middle to SIDE (or BEARING_DEG), DISTANCE off the bed's edge, LENGTH long (null:
    past both ends of the bed), its middle OFFSET to the right as seen from the bed.
    Where AT and TO are there, the line was drawn on the sketch and runs between them.
    A tree or shrub stands on that way, or AT its place on the sketch.
    """

    bed = models.ForeignKey(Bed, on_delete=models.CASCADE, related_name="shades")
    kind = models.CharField(_("what"), max_length=10, choices=ShadeKind)
    side = models.CharField(_("side"), max_length=5, choices=Facing)
    bearing_deg = models.PositiveSmallIntegerField(
        _("direction by compass"), null=True, blank=True
    )
    height_text = models.CharField(_("height"), max_length=40)
    height_m = models.DecimalField(max_digits=14, decimal_places=9)
    distance_text = models.CharField(_("distance"), max_length=40)
    distance_m = models.DecimalField(max_digits=14, decimal_places=9)
    is_evergreen = models.BooleanField(_("evergreen"), default=False)
    length_text = models.CharField(_("length"), max_length=40, blank=True)
    length_m = _metres()
    offset_text = models.CharField(_("to the right"), max_length=40, blank=True)
    offset_m = _metres()
    spread_text = models.CharField(_("spread"), max_length=40, blank=True)
    spread_m = _metres()
    trunk_text = models.CharField(_("clear trunk"), max_length=40, blank=True)
    trunk_m = _metres()
    # Null: the published means, see plants.sun.shades.
    in_leaf_percent = models.PositiveSmallIntegerField(
        _("sun that comes through in leaf"), null=True, blank=True
    )
    bare_percent = models.PositiveSmallIntegerField(
        _("sun that comes through without leaves"), null=True, blank=True
    )
    # Metres to the east and to the north of the bed's middle.
    at_east_m = _metres()
    at_north_m = _metres()
    to_east_m = _metres()
    to_north_m = _metres()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(height_m__gt=0, distance_m__gte=0),
                name="shade_height_over_0_and_distance_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(bearing_deg__isnull=True) | Q(bearing_deg__lt=360),
                name="shade_bearing_under_360",
            ),
            models.CheckConstraint(
                condition=(Q(length_m__isnull=True) | Q(length_m__gt=0))
                & (Q(spread_m__isnull=True) | Q(spread_m__gt=0)),
                name="shade_length_and_spread_over_0",
            ),
            models.CheckConstraint(
                condition=Q(trunk_m__isnull=True)
                | Q(trunk_m__gte=0, trunk_m__lt=F("height_m")),
                name="shade_trunk_shorter_than_the_tree",
                violation_error_message=_(
                    "The clear trunk is shorter than the whole tree."
                ),
            ),
            models.CheckConstraint(
                condition=(
                    Q(in_leaf_percent__isnull=True) | Q(in_leaf_percent__lte=100)
                )
                & (Q(bare_percent__isnull=True) | Q(bare_percent__lte=100)),
                name="shade_passes_0_to_100_percent",
            ),
            models.CheckConstraint(
                condition=Q(
                    at_east_m__isnull=True,
                    at_north_m__isnull=True,
                    to_east_m__isnull=True,
                    to_north_m__isnull=True,
                )
                | Q(
                    at_east_m__isnull=False,
                    at_north_m__isnull=False,
                    to_east_m__isnull=True,
                    to_north_m__isnull=True,
                )
                | Q(
                    at_east_m__isnull=False,
                    at_north_m__isnull=False,
                    to_east_m__isnull=False,
                    to_north_m__isnull=False,
                ),
                name="shade_places_are_whole",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.side}"


class StandingInstruction(models.Model):
    """What a client insists on; nearest of all layers, crews read it first."""

    garden = models.ForeignKey(
        Garden, on_delete=models.CASCADE, related_name="instructions"
    )
    # Null: for the whole garden.
    planting = models.ForeignKey(
        "plants.Planting",
        on_delete=models.CASCADE,
        null=True,
        blank=True,
        related_name="instructions",
    )
    text = models.CharField(_("instruction"), max_length=300)
    # Task words of the engine that this forbids; empty: to be read only.
    forbids = models.JSONField(default=list, blank=True)
    given_on = models.DateField()
    given_by = models.CharField(_("who said so"), max_length=120, blank=True)
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(ended_on__isnull=True) | Q(ended_on__gte=F("given_on")),
                name="instruction_ends_after_it_was_given",
            ),
        ]

    def __str__(self) -> str:
        return self.text
