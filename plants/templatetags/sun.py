"""The sun of a bed in pages: its chart, its sketch, its words."""

import datetime as dt

from django import template
from django.utils import dates
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from plants import drawings, sun
from plants.enums import Light
from plants.models import Bed, Shade
from plants.queries.sketch import Sketch
from plants.queries.sun import BedLight

register = template.Library()


def _months(found: sun.BedSun) -> list[drawings.SunMonth]:
    """The months as the chart takes them."""

    def hours(moment: dt.datetime | None, day: dt.date) -> float | None:
        if moment is None:
            return None
        apart = (moment.date() - day).days * 24
        return apart + moment.hour + moment.minute / 60

    return [
        drawings.SunMonth(
            label=str(dates.MONTHS_3[month.day.month]).capitalize(),
            before_noon_h=month.before_noon_h,
            after_noon_h=month.after_noon_h,
            up_h=month.up_h,
            first_h=hours(month.first, month.day),
            last_h=hours(month.last, month.day),
        )
        for month in found.months
    ]


@register.simple_tag
def sun_picture(light: BedLight, bed: Bed) -> SafeString:
    """The bed's sun through the year; nothing where it could not be computed."""
    if light.sun is None:
        return SafeString("")
    return SafeString(
        drawings.sun_chart(
            _months(light.sun),
            title=gettext("Sun on %s through the year") % bed.name,
            prefix=f"sun-{bed.pk}",
            gettext=gettext,
        )
    )


@register.simple_tag
def sketch_picture(page: Sketch) -> SafeString:
    """The bed and what shades it, with the shadows of the moment."""
    things = []
    for each in page.standing:
        if isinstance(each.drawn, sun.Crown):
            points: tuple[sun.Point, ...] = (each.drawn.at,)
            spread = each.drawn.spread_m
        elif isinstance(each.drawn, sun.Wall):
            points, spread = (each.drawn.start, each.drawn.end), 0.0
        else:
            continue
        things.append(
            drawings.SketchThing(
                letter=each.letter,
                label=shade_words(each.shade),
                points=points,
                spread_m=spread,
            )
        )
    return SafeString(
        drawings.bed_sketch(
            page.ground,
            things,
            reach_m=page.reach_m,
            shadows=page.shadows,
            spots=page.spots,
            sun_from_deg=page.sun_from_deg,
            said=page.said,
            bar_m=page.bar_m,
            bar_words=page.bar_words,
            title=gettext("Sketch of %s") % page.bed.name,
            prefix=f"sketch-{page.bed.pk}",
            gettext=gettext,
        )
    )


@register.filter
def shade_words(shade: Shade) -> str:
    """What stands where, in one line."""
    said = gettext("%(what)s to the %(side)s, %(height)s high, %(distance)s away") % {
        "what": shade.get_kind_display(),
        "side": shade.get_side_display(),
        "height": shade.height_text,
        "distance": shade.distance_text,
    }
    more = []
    if shade.length_text:
        more.append(gettext("%s long") % shade.length_text)
    if shade.offset_text and shade.offset_m is not None:
        side = gettext("left") if shade.offset_m < 0 else gettext("right")
        more.append(
            gettext("%(far)s to the %(side)s")
            % {"far": shade.offset_text, "side": side}
        )
    if shade.spread_text:
        more.append(gettext("crown %s wide") % shade.spread_text)
    if shade.trunk_text:
        more.append(gettext("%s of clear trunk") % shade.trunk_text)
    if shade.is_evergreen:
        more.append(gettext("evergreen"))
    return ", ".join([said, *more])


@register.filter
def light_words(light: str) -> str:
    """A light without its hours: part sun."""
    return str(Light(light).label).split(" (")[0] if light else gettext("not known")


@register.filter
def hours_words(hours: float | None) -> str:
    """Hours with one decimal, such as 4.6 h."""
    return "" if hours is None else f"{hours:.1f} h"


@register.filter
def percent_words(share: float) -> str:
    """A share as whole per cents."""
    return f"{share * 100:.0f} %"


@register.filter
def clock_of(moment: dt.datetime | None) -> str:
    """The clock of a moment that knows its zone; a dash without."""
    return "–" if moment is None else f"{moment:%H:%M}"


@register.filter
def month_name(day: dt.date) -> str:
    """The name of a day's month."""
    return str(dates.MONTHS[day.month]).capitalize()


@register.filter
def months_span(months: frozenset[int]) -> str:
    """Months as people say them: May to October, also across the new year."""
    if len(months) == 12 or not months:
        return gettext("all year")
    first = next(each for each in sorted(months) if (each - 2) % 12 + 1 not in months)
    last = next(each for each in sorted(months) if each % 12 + 1 not in months)
    names = [str(dates.MONTHS[each]).capitalize() for each in (first, last)]
    if first == last:
        return names[0]
    return gettext("%(first)s to %(last)s") % {"first": names[0], "last": names[1]}
