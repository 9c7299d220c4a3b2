"""Filters that write money, measures, days and form fields the way people read them."""

import datetime as dt
import re
import uuid
from decimal import Decimal
from typing import Any
from zoneinfo import ZoneInfo

from django import template
from django.forms import BoundField
from django.utils import timezone
from django.utils.dates import MONTHS_3, WEEKDAYS_ABBR
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from firm.money import format_amount, to_cents
from firm.units import Display, convert, plain, tabular

register = template.Library()

NONE = "–"  # what stands where there is no figure
HOLD = "\u00a0"  # keeps a figure and its unit on one line


def _exact(value: Any) -> Decimal:
    """The value as a decimal, read from the text of a float or of a snapshot."""
    return value if isinstance(value, Decimal) else Decimal(str(value))


def _missing(value: Any) -> bool:
    return value is None or value == ""


def _display(firm: Any) -> Display:
    """How FIRM sees measures: a firm's row, a snapshot of it, or "us" or "metric"."""
    if isinstance(firm, dict):
        return Display(firm["units"])
    return Display(str(getattr(firm, "units", firm)))


def _held(text: str) -> str:
    return text.replace(" ", HOLD)


@register.filter
def money(amount: Any, firm: Any = None) -> str:
    """The amount in the firm's currency ($1,666.67), or bare (1,666.67) without one.

    Bare amounts are for columns whose head names the currency. `firm` is a firm's
    row, a snapshot with a "currency", or the currency itself.
    """
    if _missing(amount):
        return NONE
    exact = _exact(amount)
    if firm is None or firm == "":
        return f"{to_cents(exact):,.2f}"
    currency = (
        firm["currency"] if isinstance(firm, dict) else getattr(firm, "currency", firm)
    )
    return _held(format_amount(exact, str(currency)))


@register.filter
def number(value: Any, places: int = 0) -> str:
    """The figure with all its decimals, for columns."""
    return NONE if _missing(value) else tabular(_exact(value), places=places)


@register.filter
def trimmed(value: Any, places: int = 2) -> str:
    """The figure without needless noughts, for running text."""
    return NONE if _missing(value) else plain(_exact(value), places=places)


@register.filter
def percent(value: Any, places: int = 2) -> str:
    """The share as it is said: 40 %, 8.25 %."""
    if _missing(value):
        return NONE
    return f"{plain(_exact(value), places=places)}{HOLD}%"


@register.filter
def hours(value: Any) -> str:
    """Hours with their unit: 7.5 h; a timedelta is read too."""
    if _missing(value):
        return NONE
    if isinstance(value, dt.timedelta):
        value = Decimal(int(value.total_seconds())) / 3600
    return f"{plain(_exact(value), places=2)}{HOLD}h"


# --- measures, named after the unit that goes in -----------------------------------


@register.filter
def length_m(metres: Any, firm: Any) -> str:
    """Metres in the firm's unit of length: 30 ft."""
    if _missing(metres):
        return NONE
    return _held(_display(firm).length(_exact(metres), trim=True))


@register.filter
def depth_m(metres: Any, firm: Any) -> str:
    """Metres in the firm's unit of depths, spacings and plant heights: 24 in."""
    if _missing(metres):
        return NONE
    return _held(_display(firm).depth(_exact(metres)))


@register.filter
def area_m2(square_metres: Any, firm: Any) -> str:
    """Square metres in the firm's unit: 113.10 sq ft."""
    if _missing(square_metres):
        return NONE
    return _held(_display(firm).area(_exact(square_metres)))


@register.filter
def volume_m3(cubic_metres: Any, firm: Any) -> str:
    """Cubic metres in the unit soil and mulch are ordered in: 2.222 cu yd."""
    if _missing(cubic_metres):
        return NONE
    return _held(_display(firm).volume(_exact(cubic_metres)))


@register.filter
def small_volume_m3(cubic_metres: Any, firm: Any) -> str:
    """Cubic metres in the unit bags are sold in: 60.00 cu ft or litres."""
    if _missing(cubic_metres):
        return NONE
    shows = _display(firm)
    value = convert(_exact(cubic_metres), unit="m³", to=shows.small_volume_unit)
    return _held(shows.measure(value, shows.small_volume_unit, places=2))


@register.filter
def weight_kg(kilograms: Any, firm: Any) -> str:
    """Kilograms in the firm's unit: 50 lb."""
    if _missing(kilograms):
        return NONE
    return _held(_display(firm).weight(_exact(kilograms)))


@register.filter
def warmth_c(degrees: Any, firm: Any) -> str:
    """Degrees Celsius in the firm's unit: 95 °F."""
    if _missing(degrees):
        return NONE
    return _held(_display(firm).temperature(_exact(degrees)))


# --- days and moments --------------------------------------------------------------


def _day(value: Any) -> dt.date:
    """The day of a date, or of the text of one in a snapshot."""
    if isinstance(value, str):
        return dt.date.fromisoformat(value[:10])
    return value.date() if isinstance(value, dt.datetime) else value


@register.filter
def day_words(value: Any) -> str:
    """A day in full: Tue 24 Nov 2026."""
    if _missing(value):
        return NONE
    day = _day(value)
    weekday, month = WEEKDAYS_ABBR[day.weekday()], MONTHS_3[day.month]
    return f"{weekday} {day.day} {month.title()} {day.year}"


@register.filter
def day_short(value: Any) -> str:
    """A day of the week at hand: Tue 24 Nov."""
    return NONE if _missing(value) else day_words(value).rsplit(" ", 1)[0]


@register.filter
def day_month(value: Any) -> str:
    """A day of any year: 24 Nov."""
    return NONE if _missing(value) else day_short(value).split(" ", 1)[1]


@register.filter
def days_between(first: Any, last: Any) -> str:
    """The days from FIRST to LAST: 3 Mar to 18 Apr 2026."""
    if _missing(first) or _missing(last):
        return NONE
    start, end = _day(first), _day(last)
    if start == end:
        return day_words(start)
    begun = day_month(start)
    if start.year != end.year:
        begun = f"{begun} {start.year}"
    return f"{begun} {gettext('to')} {day_month(end)} {end.year}"


def _local(moment: Any, firm: Any) -> dt.datetime:
    if isinstance(moment, str):
        moment = dt.datetime.fromisoformat(moment)
    zone = firm["time_zone"] if isinstance(firm, dict) else firm.time_zone
    return timezone.localtime(moment, ZoneInfo(zone))


@register.filter
def local_day(moment: Any, firm: Any) -> str:
    """The firm's own day of a moment: Tue 24 Nov 2026."""
    return NONE if _missing(moment) else day_words(_local(moment, firm).date())


@register.filter
def local_moment(moment: Any, firm: Any) -> str:
    """The firm's own day and time of a moment: Tue 24 Nov 2026, 2:05 pm."""
    if _missing(moment):
        return NONE
    local = _local(moment, firm)
    return f"{day_words(local.date())}, {time_of_day(local.time(), firm)}"


@register.filter
def time_of_day(value: Any, firm: Any = "metric") -> str:
    """A time by the clock: 7:30 am where feet and inches are used, else 07:30."""
    if _missing(value):
        return NONE
    time = dt.time.fromisoformat(value) if isinstance(value, str) else value
    if _display(firm).system == "metric":
        return f"{time:%H:%M}"
    half = "am" if time.hour < 12 else "pm"
    return f"{time.hour % 12 or 12}:{time:%M}{HOLD}{half}"


# --- pages and forms ---------------------------------------------------------------


@register.filter
def is_within(path: str, address: str) -> bool:
    """Whether a page's path is ADDRESS or lies under it."""
    return path == address or (address != "/" and path.startswith(address))


@register.filter
def may(person: Any, permission: str) -> bool:
    """Whether PERSON may do what PERMISSION says (a value of firm.permissions)."""
    return bool(getattr(person, "may", None) and person.may(permission))


@register.simple_tag
def once() -> SafeString:
    """The key by which a form that is sent twice is taken once."""
    return format_html('<input type="hidden" name="once" value="{}">', uuid.uuid4())


@register.filter
def upfirst(words: Any) -> str:
    """The words with a capital at their start; pH stays pH."""
    text = str(words)
    return text if text[1:2].isupper() else text[:1].upper() + text[1:]


@register.filter
def in_one_line(address: str) -> str:
    """The lines of an address, one behind the other: 9 Canal Walk, Fernhollow."""
    return ", ".join(part.strip(" ,") for part in address.splitlines() if part.strip())


@register.filter
def each_line(text: str) -> list[str]:
    """The lines of a text that say something, without the dashes before them."""
    lines = (line.strip().lstrip("-–•* ").strip() for line in str(text).splitlines())
    return [line for line in lines if line]


@register.filter
def dialled(telephone: str) -> str:
    """The digits of a telephone number, for a link that calls it."""
    return re.sub(r"[^0-9+]", "", str(telephone))


@register.filter
def unit(field: BoundField) -> str:
    """The unit beside a field: its widget's data-unit or the field's own."""
    written = field.field.widget.attrs.get("data-unit")
    return str(written or getattr(field.field, "unit", "") or "")


@register.filter
def is_tick(field: BoundField) -> bool:
    """Whether a field is one box to tick."""
    return getattr(field.field.widget, "input_type", "") == "checkbox" and not (
        field.use_fieldset
    )


@register.filter
def is_quiet(button: Any) -> bool:
    """Whether a button of a form is not the page's main one."""
    return button.input_type != "submit" or "button-quiet" in button.field_classes
