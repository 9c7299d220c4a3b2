"""Start-up of jobs."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """jobs."""

    name = "jobs"
