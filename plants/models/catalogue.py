"""The catalogue: groups, plants, rules, closed seasons and their sources."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from plants.enums import Layer


class Source(models.Model):
    """Where a fact or a rule of the catalogue comes from."""

    key = models.SlugField(max_length=40, unique=True)
    publisher = models.CharField(_("publisher"), max_length=200)
    title = models.CharField(_("title"), max_length=300)
    address = models.CharField(_("address"), max_length=300, blank=True)
    how_read = models.CharField(_("how it was read"), max_length=40)

    def __str__(self) -> str:
        return f"{self.publisher}: {self.title}"


class Group(models.Model):
    """Plants that share their care; FACTS is the group's checked specification."""

    key = models.SlugField(max_length=80, unique=True)
    name = models.CharField(_("name"), max_length=120)
    layer = models.CharField(max_length=10, choices=Layer, default=Layer.SHIPPED)
    kind = models.CharField(_("kind"), max_length=20)
    facts = models.JSONField()
    retired_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    def __str__(self) -> str:
        return self.name


class Plant(models.Model):
    """A species or cultivar; OVERRIDES replaces single facts of its group."""

    key = models.SlugField(max_length=120, unique=True)
    group = models.ForeignKey(Group, on_delete=models.PROTECT, related_name="plants")
    botanical = models.CharField(_("botanical name"), max_length=160)
    common = models.CharField(_("common name"), max_length=160)
    layer = models.CharField(max_length=10, choices=Layer, default=Layer.SHIPPED)
    overrides = models.JSONField(default=dict, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        indexes = [models.Index(fields=["botanical"], name="plant_botanical")]

    def __str__(self) -> str:
        return f"{self.common} ({self.botanical})"


class PlantName(models.Model):
    """Another name a plant is found by."""

    plant = models.ForeignKey(Plant, on_delete=models.CASCADE, related_name="names")
    name = models.CharField(max_length=160)
    kind = models.CharField(
        max_length=10, choices=[("synonym", _("synonym")), ("common", _("common name"))]
    )

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["plant", "name"], name="one_row_per_plant_and_name"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Rule(models.Model):
    """One line of care, of a group or of a plant; SPEC is what the engine reads."""

    group = models.ForeignKey(
        Group, on_delete=models.CASCADE, null=True, blank=True, related_name="rules"
    )
    plant = models.ForeignKey(
        Plant, on_delete=models.CASCADE, null=True, blank=True, related_name="rules"
    )
    layer = models.CharField(max_length=10, choices=Layer, default=Layer.SHIPPED)
    key = models.SlugField(max_length=80)
    task = models.CharField(max_length=30)
    spec = models.JSONField()
    source = models.ForeignKey(
        Source, on_delete=models.PROTECT, null=True, blank=True, related_name="rules"
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(group__isnull=True, plant__isnull=False)
                | Q(group__isnull=False, plant__isnull=True),
                name="rule_of_a_group_or_of_a_plant",
            ),
            models.UniqueConstraint(
                fields=["group", "layer", "key"],
                name="one_rule_per_group_layer_and_key",
            ),
            models.UniqueConstraint(
                fields=["plant", "layer", "key"],
                name="one_rule_per_plant_layer_and_key",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.key} ({self.task})"


class ClosedSeason(models.Model):
    """Days on which a task does harm, of a group or of a plant."""

    group = models.ForeignKey(
        Group, on_delete=models.CASCADE, null=True, blank=True, related_name="closed"
    )
    plant = models.ForeignKey(
        Plant, on_delete=models.CASCADE, null=True, blank=True, related_name="closed"
    )
    layer = models.CharField(max_length=10, choices=Layer, default=Layer.SHIPPED)
    key = models.SlugField(max_length=80)
    spec = models.JSONField()
    source = models.ForeignKey(
        Source, on_delete=models.PROTECT, null=True, blank=True, related_name="closed"
    )
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(group__isnull=True, plant__isnull=False)
                | Q(group__isnull=False, plant__isnull=True),
                name="closed_season_of_a_group_or_of_a_plant",
            ),
            models.UniqueConstraint(
                fields=["group", "layer", "key"],
                name="one_closed_per_group_layer_and_key",
            ),
            models.UniqueConstraint(
                fields=["plant", "layer", "key"],
                name="one_closed_per_plant_layer_and_key",
            ),
        ]

    def __str__(self) -> str:
        return self.key


class CatalogueLoad(models.Model):
    """One loading of the shipped catalogue and what it changed."""

    at = models.DateTimeField()
    digest = models.CharField(max_length=64)
    report = models.JSONField(default=dict)

    def __str__(self) -> str:
        return f"{self.at:%Y-%m-%d %H:%M}"
