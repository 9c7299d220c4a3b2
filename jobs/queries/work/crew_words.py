"""What a crew reads when it plants: the lines in the ground first, then each plant.

Hole two to three times as wide as the ball and no deeper: a list of tree-care bodies
(copy read); University of Florida asks for 1.5 times at least and Nebraska Extension
for twice (pages read). Root flare at grade: the same list. Crown of perennials level
with the soil: a grower's page (read). Stake only where needed: Nebraska Extension (page
read). Locate request and tolerance zone: utility and city pages on 811 (read).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from firm.queries import firm_or_blank
from firm.units import Display
from jobs.models import Job, JobPlant
from plants.queries.fit import facts_of
from plants.water import is_woody

LOCATE_KEY = "locate-lines"
LOCATE_MINUTES = 10

WIDE_SOURCE = (
    "Nine-step planting list of tree-care bodies (copy); University of Florida IFAS,"
    " Planting trees; Nebraska Extension, Fall tree planting (pages read)"
)
CROWN_SOURCE = "Grower's planting page (read); the rest common practice, no source"
LOCATE_SOURCE = "Utility and city pages on 811 (page read)"
# On both sides of a mark only hand tools are used; states ask for 18 to 24 in.
HAND_ZONE_M = Decimal("0.6096")


@dataclass(frozen=True, kw_only=True)
class TaskWords:
    """One task of a planting visit in the words of the crew's page."""

    key: str
    job_plant_id: int | None
    task: str
    title: str
    how: str
    where: str
    why: str
    harm: str
    source: str
    minutes: int


def plant_key(job_plant_id: int) -> str:
    """The key by which the task of a job's plant is found again."""
    return f"plant-{job_plant_id}"


def planting_task_words(*, job: Job) -> list[TaskWords]:
    """The tasks of a planting visit in the firm's language, the caution first."""
    firm = firm_or_blank()
    display = Display(firm.units)
    rows: Sequence[JobPlant] = list(
        job.plants.select_related("plant__group", "bed", "quote_line").order_by("id")
    )
    count = sum(row.count for row in rows)
    minutes = max(int(job.planned_hours * 60) - LOCATE_MINUTES, 0)
    with translation.override(firm.language):
        return [
            _locate(display),
            *(_plant(row, display, minutes * row.count // count) for row in rows),
        ]


def _locate(display: Display) -> TaskWords:
    return TaskWords(
        key=LOCATE_KEY,
        job_plant_id=None,
        task="locate lines",
        title=_("Before the first spade: underground lines"),
        how=_(
            "Look for the number of the utility-locate request and its dates. In the"
            " United States call 811, two to three full working days ahead as the state"
            " asks; elsewhere the local service. No marks, no number or an expired"
            " request: do not dig, telephone the office. Marks are only approximate:"
            " within %(zone)s to either side of one use hand tools."
        )
        % {"zone": display.depth(HAND_ZONE_M, places=0)},
        where=_(
            "Everywhere a spade goes in. Private lines (irrigation, garden lights, gas"
            " grill, dog fence) are not marked: ask the client where they run."
        ),
        why=_("Local law comes first, whatever this page says."),
        harm=_("A spade through a gas or power line can kill."),
        source=LOCATE_SOURCE,
        minutes=LOCATE_MINUTES,
    )


def _plant(row: JobPlant, display: Display, minutes: int) -> TaskWords:
    facts = facts_of(row.plant)
    woody = is_woody(str(facts.get("kind") or row.plant.group.kind))
    said = [_woody_words() if woody else _soft_words()]
    note = str((facts.get("planting") or {}).get("note", "")).strip()
    if note:
        said.append(_("For this plant: %(note)s") % {"note": note})
    said.append(
        _(
            "Firm by hand and water in until no more is taken, even when it rains."
            " Mulch, a hand's width clear of every stem."
        )
    )
    return TaskWords(
        key=plant_key(row.pk),
        job_plant_id=row.pk,
        task="plant",
        title=_("Plant %(count)s × %(plant)s")
        % {"count": f"{row.count:,}", "plant": row.plant.common},
        how=" ".join(said),
        where=_where(row, facts, display),
        why=_(
            "Roots in loose soil and at the right height take hold before the weather"
            " turns."
        ),
        harm=_harm(facts),
        source=WIDE_SOURCE if woody else CROWN_SOURCE,
        minutes=minutes,
    )


def _woody_words() -> str:
    return _(
        "Dig the hole two to three times as wide as the root ball and no deeper than"
        " the ball. Loosen roots that circle, cut those that cannot be loosened. Set it"
        " so that the root flare shows at or just above the soil around, and fill with"
        " the same soil. Stake only what will not stand."
    )


def _soft_words() -> str:
    return _(
        "Dig the hole two to three times as wide as the root ball and no deeper. Tease"
        " the roots apart and set the crown level with the soil around."
    )


def _where(row: JobPlant, facts: dict[str, Any], display: Display) -> str:
    said = [row.bed.name if row.bed else _("As the plan or the owner says")]
    line = row.quote_line
    if line is not None and line.spacing_m is not None:
        spacing = display.depth(line.spacing_m)
        said.append(_("%(spacing)s apart") % {"spacing": spacing})
    elif facts.get("spacing_m"):
        spacing = display.depth(Decimal(str(facts["spacing_m"])), places=0)
        said.append(_("usually %(spacing)s apart") % {"spacing": spacing})
    return ", ".join(said) + "."


def _harm(facts: dict[str, Any]) -> str:
    toxicity = facts.get("toxicity") or {}
    said = [_("Set too deep, the stem rots; set too high, the ball dries out.")]
    word = toxicity.get("people", "unknown")
    if word == "toxic":
        said.append(_("Toxic to people: wear gloves and wash your hands."))
        note = str(toxicity.get("note", "")).strip()
        if note:
            said.append(note)
    elif word != "not toxic":
        said.append(_("Not known whether it is toxic to people: wear gloves."))
    return " ".join(said)
