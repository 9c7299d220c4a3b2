"""The invented firm from its first day until today."""

import datetime as dt
from collections.abc import Callable

from jobs.actions.demo.contracts import contracts_of_the_year
from jobs.actions.demo.gardens import see_the_flowers, survey_the_gardens
from jobs.actions.demo.open_quotes import open_quotes
from jobs.actions.demo.people import open_the_firm
from jobs.actions.demo.quotes import quotes_of_the_year
from jobs.actions.demo.story import Story, nothing_to_post
from jobs.actions.demo.suppliers import buy_from_suppliers
from jobs.actions.demo.week import calls_of_the_year, fill_the_weeks
from jobs.actions.labour import ship_rates


def build_firm(
    *,
    today: dt.date,
    now: dt.datetime,
    passwords: dict[str, str],
    seed: int = 1,
    post: Callable[[dt.datetime], None] = nothing_to_post,
) -> Story:
    """The whole year of work around TODAY; the same day and seed, the same year.

    The catalogue is loaded before. Each action commits by itself, so the caller builds
    where nobody looks and throws it away when something fails.
    """
    story = Story(today=today, now=now, seed=seed, post=post)
    ship_rates(now=story.at(story.day(-366), 8))
    open_the_firm(story, passwords=passwords)
    survey_the_gardens(story)
    see_the_flowers(story)
    buy_from_suppliers(story)
    quotes_of_the_year(story)
    open_quotes(story)
    contracts_of_the_year(story)
    calls_of_the_year(story)
    story.live()
    fill_the_weeks(story)
    return story
