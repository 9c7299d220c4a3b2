"""Pictures and words beside a task: the photo or shape, where the cut goes."""

import base64
from typing import Any

from django import template
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from firm.actions.files import small_photo
from firm.templatetags.notebook import day_words, trimmed, upfirst
from jobs.models import VisitTask
from jobs.queries.today import Closed, TaskGroup
from jobs.queries.work import plant_key
from jobs.rounds import LoadItem
from plants import care
from plants.drawings import cut_drawing
from plants.models import Garden, Plant
from plants.templatetags.care import cut_distance
from plants.templatetags.pictures import habit_picture

register = template.Library()

WHOLE_YEAR_DAYS = 360
PLANT_KEY = plant_key(0).removesuffix("0")


@register.simple_tag
def picture_of(group: TaskGroup) -> SafeString:
    """The photo of a planting, else the drawing of its plant's shape, else nothing."""
    if group.planting and group.planting.photo:
        address = reverse("file", args=[group.planting.photo])
        return format_html(
            '<a href="{}"><img src="{}?small" alt="{}" loading="lazy"></a>',
            address,
            address,
            _("Photo of planting %(number)s") % {"number": group.planting.number},
        )
    return shape_of(group.plant, prefix=f"habit-{group.tasks[0].pk}")


@register.simple_tag
def printed_picture_of(group: TaskGroup) -> SafeString:
    """The same on paper, the photo inside the page."""
    if group.planting and group.planting.photo:
        try:
            with default_storage.open(group.planting.photo, "rb") as kept:
                content = base64.b64encode(small_photo(kept.read()))
        except FileNotFoundError:
            pass
        else:
            return format_html(
                '<img src="data:image/jpeg;base64,{}" alt="{}">',
                content.decode("ascii"),
                _("Photo of planting %(number)s") % {"number": group.planting.number},
            )
    return shape_of(group.plant, prefix=f"habit-{group.tasks[0].pk}")


@register.simple_tag
def shape_of(plant: Plant | None, prefix: str) -> SafeString:
    """The drawing of a plant's shape, nothing for an unidentified one."""
    if plant is None:
        return mark_safe("")
    return habit_picture(
        plant.group.facts | plant.overrides, title=plant.common, prefix=prefix
    )


@register.simple_tag
def cut_figure_of(task: VisitTask, firm: Any) -> SafeString:
    """The drawing of where to cut, nothing for a task without a cut."""
    if task.drawing in ("", "none"):
        return mark_safe("")
    plant = task.planting.plant if task.planting else None
    facts = plant.group.facts | plant.overrides if plant else {}
    buds, wood = facts.get("buds"), facts.get("wood")
    drawing = mark_safe(  # noqa: S308 - our own drawing, texts escaped there
        cut_drawing(
            task.drawing,
            buds=buds,
            distance_words=cut_distance(firm),
            in_flower_bud=wood in ("old", "both"),
            title=task.title,
            prefix=f"cut-{task.pk}",
            gettext=_,
        )
    )
    return format_html('<figure class="figure small">{}</figure>', drawing)


@register.filter
def takes_wood(task: VisitTask) -> bool:
    """True if something is cut off, so that "where" means where to cut."""
    return task.task in (*care.CUTS, "deadhead", "dead wood")


@register.filter
def has_window(task: VisitTask) -> bool:
    """True if the task has a time of its own, not the whole year."""
    if task.earliest_on is None or task.latest_on is None:
        return False
    return (task.latest_on - task.earliest_on).days < WHOLE_YEAR_DAYS


@register.filter
def title_beside(task: VisitTask, plant: Plant | None) -> str:
    """The task's title without the name of its plant, which stands beside it."""
    said: str = task.title
    if plant is not None and task.rule_key.startswith(PLANT_KEY):
        return _("Plant")
    if plant is not None:
        said = said.removesuffix(f": {plant.common}")
    return upfirst(said)


@register.filter
def on_the_map(garden: Garden) -> str:
    """A geo: address of the garden (RFC 5870), empty where nobody noted its place."""
    if garden.latitude is None or garden.longitude is None:
        return ""
    return f"geo:{garden.latitude},{garden.longitude}"


@register.filter
def load_words(item: LoadItem) -> str:
    """Something to load, with how much of it: Bark mulch: 1.73 cu yd."""
    if item.quantity is None:
        return item.what
    return f"{upfirst(item.what)}: {trimmed(item.quantity)} {item.unit}".strip()


@register.filter
def closed_said(closed: Closed) -> str:
    """A closed season in one line of a letter: 2 Common lilac until Sat 3 Apr: why."""
    named = ", ".join(
        f"{planting.number} {planting.plant.common}"
        for planting in closed.plantings
        if planting.plant is not None
    )
    if closed.last is not None:
        named = _("%(plants)s until %(day)s") % {
            "plants": named,
            "day": day_words(closed.last),
        }
    return f"{named}: {closed.why}"
