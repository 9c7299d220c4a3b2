"""The marks that scheduled sweeps leave, so that a page can say that they stopped."""

import datetime as dt

from django.db import transaction

from firm.models import SweepMark


@transaction.atomic
def sweep_started(*, name: str, now: dt.datetime) -> SweepMark:
    """The sweep's mark with the moment it started."""
    mark, _is_new = SweepMark.objects.get_or_create(name=name)
    SweepMark.objects.filter(pk=mark.pk).update(last_started_at=now)
    mark.last_started_at = now
    return mark


@transaction.atomic
def sweep_finished(*, name: str, now: dt.datetime, error: str = "") -> SweepMark:
    """The sweep's mark with the moment it ended and what went wrong, if anything."""
    mark, _is_new = SweepMark.objects.get_or_create(name=name)
    SweepMark.objects.filter(pk=mark.pk).update(last_finished_at=now, last_error=error)
    mark.last_finished_at = now
    mark.last_error = error
    return mark
