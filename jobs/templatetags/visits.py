"""Drawings beside a task: the plant's shape and where the cut goes."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from jobs.models import VisitTask
from plants.drawings import cut_drawing, habit_drawing

register = template.Library()


@register.simple_tag
def habit_drawing_of(task: VisitTask) -> SafeString:
    """The photo of the planting, else the drawing of its shape."""
    plant = task.planting.plant if task.planting else None
    if plant is None or "habit" not in plant.group.facts:
        return mark_safe("")
    facts = plant.group.facts | plant.overrides
    return mark_safe(  # noqa: S308 - our own drawing, texts escaped there
        habit_drawing(
            facts["habit"],
            evergreen=facts.get("evergreen"),
            title=plant.common,
            prefix=f"habit-{task.pk}",
            gettext=_,
        )
    )


@register.simple_tag
def cut_figure_of(task: VisitTask) -> SafeString:
    """The drawing of where to cut, nothing for a task without a cut."""
    if task.drawing in ("", "none"):
        return mark_safe("")
    plant = task.planting.plant if task.planting else None
    buds = plant.group.facts.get("buds") if plant else None
    drawing = mark_safe(  # noqa: S308 - our own drawing, texts escaped there
        cut_drawing(
            task.drawing,
            buds=buds,
            title=task.title,
            prefix=f"cut-{task.pk}",
            gettext=_,
        )
    )
    return format_html('<figure class="figure small">{}</figure>', drawing)
