"""Drawings of plants, cuts, years and beds as SVG text, the same on page and paper.

Every drawing is one string: attributes only (a strict content policy blocks styles),
with a role, a title and a description that says in words what the picture shows.
Ink is the colour of the text around it; leaf green, warning red-brown and the rest
carry a class beside their plain value, so that a stylesheet may change them:
`ink-line`, `ink-fill`, `leaf-line`, `leaf-fill`, `warn-line`, `warn-fill`.
"""

from plants.drawings.beds import bed_plan
from plants.drawings.blooms import Bloom, Gap, bloom_calendar, bloom_gaps
from plants.drawings.cuts import BUDS, CUTS, cut_drawing
from plants.drawings.gardens import YearRow, garden_year
from plants.drawings.habits import HABITS, habit_drawing, one_colour_of
from plants.drawings.openings import Opening, planting_year
from plants.drawings.places import (
    Circle,
    Outline,
    Pieces,
    PlanPlanting,
    Rectangle,
    Shape,
)
from plants.drawings.seen import FlowerYear, first_flowers
from plants.drawings.sun import (
    SketchThing,
    SunMonth,
    bed_sketch,
    clock_words,
    span_words,
    sun_chart,
)
from plants.drawings.svg import Gettext
from plants.drawings.water import WaterBar, water_weeks
from plants.drawings.weather import (
    RiskCurve,
    RiskPart,
    WeatherMonths,
    frost_risk,
    weather_year,
)
from plants.drawings.years import Span, Window, care_year

__all__ = [
    "BUDS",
    "CUTS",
    "HABITS",
    "Bloom",
    "Circle",
    "FlowerYear",
    "Gap",
    "Gettext",
    "Opening",
    "Outline",
    "Pieces",
    "PlanPlanting",
    "Rectangle",
    "RiskCurve",
    "RiskPart",
    "Shape",
    "SketchThing",
    "Span",
    "SunMonth",
    "WaterBar",
    "WeatherMonths",
    "Window",
    "YearRow",
    "bed_plan",
    "bed_sketch",
    "bloom_calendar",
    "bloom_gaps",
    "care_year",
    "clock_words",
    "cut_drawing",
    "first_flowers",
    "frost_risk",
    "garden_year",
    "habit_drawing",
    "one_colour_of",
    "planting_year",
    "span_words",
    "sun_chart",
    "water_weeks",
    "weather_year",
]
