"""Start-up of plants."""

from django.apps import AppConfig


class PlantsConfig(AppConfig):
    """plants."""

    name = "plants"
