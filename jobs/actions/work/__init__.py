"""Jobs: opened, booked, moved, started, called off; single visits."""

from jobs.actions.work.additions import JobIsOver, add_to_job, begin_addition
from jobs.actions.work.booking import (
    book_job,
    call_off_job,
    note_visit_started,
    start_job,
)
from jobs.actions.work.locating import (
    DigsTooEarly,
    MarksEndTooEarly,
    MarksNotedAlready,
    no_request_needed,
    note_marks,
    refuse_to_dig,
    write_locate_request,
)
from jobs.actions.work.opening import open_planting_job
from jobs.actions.work.refusals import (
    AlreadyFinished,
    CrewIsNeeded,
    DayIsPast,
    DayToCome,
    JobMovedOn,
    LinesNotMarked,
    NeedsReason,
    NoSuchJob,
    StartsLater,
    WorkRefused,
)
from jobs.actions.work.single_visits import (
    SingleVisitDetails,
    finish_single_visit,
    open_single_visit,
)
from jobs.actions.work.substitutions import (
    Consent,
    Instead,
    reprice,
    substitute,
)

__all__ = [
    "AlreadyFinished",
    "Consent",
    "CrewIsNeeded",
    "DayIsPast",
    "DayToCome",
    "DigsTooEarly",
    "Instead",
    "JobIsOver",
    "JobMovedOn",
    "LinesNotMarked",
    "MarksEndTooEarly",
    "MarksNotedAlready",
    "NeedsReason",
    "NoSuchJob",
    "SingleVisitDetails",
    "StartsLater",
    "WorkRefused",
    "add_to_job",
    "begin_addition",
    "book_job",
    "call_off_job",
    "finish_single_visit",
    "no_request_needed",
    "note_marks",
    "note_visit_started",
    "open_planting_job",
    "open_single_visit",
    "refuse_to_dig",
    "reprice",
    "start_job",
    "substitute",
    "write_locate_request",
]
