"""Rates learn from logged hours: said with the sample, taken or left, never silent."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from firm.models import Entry, Person
from jobs.actions.labour import (
    RateDetails,
    SaysOtherwise,
    change_rate,
    leave_learned,
    ship_rates,
    take_learned,
)
from jobs.models import ConditionFactor, ProductionRate
from jobs.queries.labour.learned import Suggestion, learned_page
from tests.conftest import StrictClient
from tests.factories import NOW
from tests.jobs.labour_samples import finished

pytestmark = pytest.mark.django_db
D = Decimal
LATER = NOW + dt.timedelta(days=1)


@pytest.fixture(autouse=True)
def _rates(db: None) -> None:
    ship_rates(now=NOW)


def said() -> dict[str, Suggestion]:
    return {each.row.key: each for each in learned_page().suggestions}


def three_jobs(**more: Any) -> None:
    """Jobs of planting #3 that took 1.1, 1.25 and 1.6 times what was quoted."""
    for quoted, logged in (("10", "11"), ("8", "10"), ("5", "8")):
        finished(quoted={"plant-3": quoted}, logged={"work": logged}, **more)


def test_three_jobs_suggest_their_median_and_two_say_how_few_they_are() -> None:
    finished(quoted={"plant-3": "10"}, logged={"work": "11", "rain": "3"})
    finished(
        quoted={"plant-3": "8", "drive": "2"}, logged={"work": "10", "travel": "3"}
    )
    found = said()["plant-3"]
    assert (found.learned.jobs, found.becomes) == (2, None)
    finished(quoted={"plant-3": "5"}, logged={"work": "8"})
    found = said()["plant-3"]
    # The middle of 1.1, 1.25 and 1.6: 0.30 x 1.25 = 0.375 (arithmetic).
    assert (found.learned.jobs, found.learned.ratio) == (3, D("1.250"))
    assert (found.learned.least, found.learned.most) == (D("1.100"), D("1.600"))
    assert (found.now_is, found.becomes) == (D("0.3"), D("0.3750"))
    # All jobs speak of the pace; one of the drive: 3 logged for 2.
    assert said()["pace-firm"].becomes == D("1.250")
    assert said()["drive"].learned.ratio == D("1.500")
    assert ProductionRate.objects.get(key="plant-3").typical == D("0.3")


def test_a_job_speaks_of_a_task_that_is_two_thirds_of_it_and_else_of_the_pace() -> None:
    finished(quoted={"plant-3": "12", "mulch": "6"}, logged={"work": "20"})
    finished(quoted={"plant-3": "11", "mulch": "7"}, logged={"work": "20"})
    found = said()
    assert found["plant-3"].learned.jobs == 1
    assert found["pace-firm"].learned.jobs == 2
    assert "mulch" not in found


def test_taking_marks_the_rate_and_the_same_jobs_say_nothing_more(
    owner: Person,
) -> None:
    three_jobs()
    row = take_learned(
        key="plant-3", version=1, becomes=D("0.3750"), by=owner, now=LATER
    )
    assert isinstance(row, ProductionRate)
    assert (row.low, row.typical, row.high) == (D("0.15"), D("0.3750"), D("0.45"))
    assert (row.mark, row.changed_by) == ("logged", owner)
    assert row.note == "3 jobs took 1.250 times the quoted hours (1.100 to 1.600)"
    assert Entry.objects.get(action="rate changed").details == {"note": row.note}
    # Else the same hours would be counted twice, and twice by way of the pace.
    assert said() == {}
    with pytest.raises(SaysOtherwise):
        take_learned(key="plant-3", version=2, becomes=D("0.3750"), by=owner, now=LATER)
    three_jobs(reckoned_at=LATER + dt.timedelta(hours=1))
    assert said()["plant-3"].becomes == D("0.4688")


def test_the_pace_is_a_factor_on_all_work_and_a_rate_by_the_hour_falls(
    owner: Person,
) -> None:
    for _each in range(3):
        finished(
            quoted={"weed": "6", "prune": "6", "drive": "1"},
            logged={"work": "15", "travel": "1.25"},
        )
    assert said()["drive"].becomes == D("20.0000")
    row = take_learned(
        key="pace-firm", version=1, becomes=D("1.250"), by=owner, now=NOW
    )
    assert isinstance(row, ConditionFactor)
    assert (row.factor, row.mark) == (D("1.250"), "logged")
    drive = take_learned(key="drive", version=1, becomes=D("20"), by=owner, now=NOW)
    assert isinstance(drive, ProductionRate)
    assert (drive.low, drive.typical, drive.high) == (15, 20, 40)


def test_left_is_remembered_until_another_job_is_finished(owner: Person) -> None:
    three_jobs()
    leave_learned(key="plant-3", version=1, becomes=D("0.3750"), by=owner, now=LATER)
    assert said()["plant-3"].is_left
    assert not said()["pace-firm"].is_left
    entry = Entry.objects.get(action="learned rate left")
    assert entry.summary.startswith("Plant a #2 or #3: 0.3000 stays, 3 jobs took 1.250")
    assert ProductionRate.objects.get(key="plant-3").typical == D("0.3")
    finished(
        quoted={"plant-3": "10"},
        logged={"work": "12"},
        at=LATER + dt.timedelta(hours=1),
    )
    assert not said()["plant-3"].is_left
    assert said()["plant-3"].becomes == D("0.3675")


def test_what_was_reckoned_before_a_change_or_by_hand_teaches_no_rate(
    owner: Person,
) -> None:
    three_jobs()
    change_rate(
        key="plant-3",
        version=1,
        details=RateDetails(
            unit="each",
            is_per_hour=False,
            low=D("0.2"),
            typical=D("0.4"),
            high=D("0.6"),
        ),
        note="Timed.",
        by=owner,
        now=LATER,
    )
    assert "plant-3" not in said()
    assert said()["pace-firm"].learned.jobs == 3
    finished(quoted={}, by_hand="10", logged={"work": "9", "travel": "2", "yard": "1"})
    page = learned_page()
    assert (page.by_hand.jobs, page.by_hand.ratio) == (1, D("1.200"))
    assert said()["pace-firm"].learned.jobs == 3


def test_the_owner_takes_or_leaves_with_one_click(owner_client: StrictClient) -> None:
    three_jobs()
    url = reverse("work-learned")
    page = owner_client.get(url).content.decode()
    assert "0.3 would become 0.375." in page
    answer = reverse("work-learned-answer", args=["plant-3"])
    for sent in (
        {"version": "1", "becomes": "0.375"},
        {"version": "1", "becomes": "1e309", "answer": "take"},
        {"version": "1", "becomes": "0.9", "answer": "take"},
        {"version": "2", "becomes": "0.375", "answer": "take"},
    ):
        owner_client.post(answer, sent)
        assert ProductionRate.objects.get(key="plant-3").typical == D("0.3")
    owner_client.post(answer, {"version": "1", "becomes": "0.375", "answer": "take"})
    assert ProductionRate.objects.get(key="plant-3").typical == D("0.375")
    rates = owner_client.get(reverse("work-rates")).content.decode()
    assert "the firm&#x27;s logged hours: 3 jobs took 1.250 times" in rates


@pytest.mark.parametrize("count", [1, 3])
def test_the_page_takes_the_same_queries_however_many_jobs(
    owner_client: StrictClient, count: int, django_assert_num_queries: Any
) -> None:
    for _each in range(count):
        finished(quoted={"plant-3": "10"}, logged={"work": "15"})
    url = reverse("work-learned")
    owner_client.get(url)
    with django_assert_num_queries(11):
        owner_client.get(url)
