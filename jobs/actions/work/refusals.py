"""Why work is refused, in words for the one who asked."""

import datetime as dt
from collections.abc import Sequence

from django.utils.translation import gettext as _

from jobs.queries.work.cautions import Caution, day_said


class WorkRefused(Exception):
    """Something that cannot be done to a job; FIELD is where it was typed, if any."""

    field: str | None = None


class NoSuchJob(WorkRefused):
    """A job, crew or planting that is not there."""

    def __init__(self) -> None:
        super().__init__(_("This job or crew is not there any more."))


class JobMovedOn(WorkRefused):
    """The job is no longer where the page showed it."""

    def __init__(self, state: str) -> None:
        super().__init__(
            _("Not done: this job is now %(state)s. Look at it again.")
            % {"state": state}
        )


class AlreadyFinished(JobMovedOn):
    """The job was finished before."""

    def __init__(self) -> None:
        WorkRefused.__init__(self, _("This job was already finished."))


class DayIsPast(WorkRefused):
    """A booking for a day that is over."""

    field = "day"

    def __init__(self, day: dt.date) -> None:
        super().__init__(
            _(
                "%(day)s is over. Book a day from today on; work that was already done"
                " is entered by finishing the job."
            )
            % {"day": day_said(day)}
        )


class DayToCome(WorkRefused):
    """Work that is said to be done on a day still to come."""

    field = "day"

    def __init__(self) -> None:
        super().__init__(_("This day is still to come: write the day it was done."))


class StartsLater(WorkRefused):
    """A job that is booked for a later day."""

    def __init__(self, day: dt.date) -> None:
        super().__init__(
            _("It is booked for %(day)s. Move it to today before it starts.")
            % {"day": day_said(day)}
        )


class LinesNotMarked(WorkRefused):
    """Nobody digs yet; says why."""

    def __init__(self, why: str) -> None:
        super().__init__(
            _("%(why)s No digging before underground lines are located and marked.")
            % {"why": why}
        )


class NeedsReason(WorkRefused):
    """A day that does harm, without the owner's written reason; CAUTIONS say why."""

    field = "reason"

    def __init__(self, cautions: Sequence[Caution]) -> None:
        super().__init__(
            _("This day is wrong for what is named above. Write why it is done anyway.")
        )
        self.cautions = list(cautions)


class CrewIsNeeded(WorkRefused):
    """A day without a crew."""

    field = "crew"

    def __init__(self) -> None:
        super().__init__(_("A day needs a crew. Which one?"))
