"""Start-up of firm."""

from django.apps import AppConfig


class FirmConfig(AppConfig):
    """firm."""

    name = "firm"
