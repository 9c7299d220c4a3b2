"""Whose is what: rows of others are not found, and crews see no money.

After OWASP ASVS 5.0.0: 8.2.2 (other people's objects), 8.2.3 and 15.3.1 (fields), 9.2.1
and 9.2.2 (signed links).
"""

import datetime as dt
import io
from decimal import Decimal

import pytest
from django.urls import reverse
from pypdf import PdfReader

from firm import clock
from firm.models import Client, Contact, Person
from jobs.models import HourEntry, Job, PrivateLink, Problem, Quote, Visit, VisitTask
from tests import factories
from tests.conftest import StrictClient, browser_of
from tests.system.addresses import PRIVATE_LINK, ROWS, Site, open_site, undone
from tests.system.test_security_requests import changed, rows_now

pytestmark = pytest.mark.django_db
CREWS = ("stop", "stop-start", "stop-end", "stop-rain", "task", "problem-new")


@pytest.fixture
def site(db: None) -> Site:
    return open_site()


def others_visit(day: dt.date) -> VisitTask:
    """A task of a visit of a crew of other people."""
    stay = factories.CrewMemberFactory()
    visit = factories.VisitFactory(crew=stay.crew, day=day)
    task: VisitTask = factories.VisitTaskFactory(visit=visit)
    return task


def test_a_crew_member_finds_nothing_of_another_crew(site: Site) -> None:
    task = others_visit(clock.today(time_zone="America/New_York"))
    forms = site.forms()
    browser = site.browser("crew")
    before = rows_now()
    for name in CREWS:
        row = ROWS[name]
        pk = task.pk if name == "task" else task.visit_id
        url = reverse(name, args=[pk])
        own = site.url(name)
        if row.get is not None:
            assert browser.get(url).status_code == 404, name
            assert browser.get(own).status_code == 200, name
        if row.post is not None:
            assert browser.post(url, forms[name].fields).status_code == 404, name
    assert changed(before) == []


@pytest.mark.parametrize("days", [-30, 30])
def test_a_crew_member_does_not_open_far_days_of_the_own_crew(
    site: Site, days: int
) -> None:
    visit = Visit.objects.get(pk=site.world["own stop"]["pk"])
    assert visit.day is not None
    far = visit.day + dt.timedelta(days=days)
    Visit.objects.filter(pk=visit.pk).update(day=far)
    browser = site.browser("crew")
    assert browser.get(reverse("stop", args=[visit.pk])).status_code == 404
    assert browser.get(reverse("today"), {"day": str(far)}).status_code == 404
    sheet = browser.get(reverse("round-sheet"), {"day": str(far)})
    assert sheet.status_code == 404


def test_hours_are_logged_for_the_own_crew_and_its_people_only(site: Site) -> None:
    task = others_visit(clock.today(time_zone="America/New_York"))
    stranger = Person.objects.get(memberships__crew=task.visit.crew)
    browser = site.browser("crew")
    before = HourEntry.objects.filter(logged_by=site.people["crew"]).count()
    form = site.forms()["hours-new"]
    url = reverse("hours-new")
    crew = str(task.visit.crew_id)
    assert browser.get(url, {"crew": crew}).status_code == 404
    assert browser.post(f"{url}?crew={crew}", form.fields).status_code == 404
    # The stop of another crew is none of the choices.
    theirs = form.fields | {"visit": [str(task.visit_id)]}
    assert browser.post(url, theirs).status_code == 200
    assert HourEntry.objects.filter(logged_by=site.people["crew"]).count() == before
    # Somebody of another crew has no field.
    more = form.fields | {f"hours-{stranger.pk}-yard": ["3"]}
    assert browser.post(url, more).status_code == 302
    assert not HourEntry.objects.filter(person=stranger).exists()
    assert HourEntry.objects.filter(logged_by=site.people["crew"]).count() > before


def test_a_problem_names_no_planting_of_another_garden(site: Site) -> None:
    other = factories.PlantingFactory()
    form = site.forms()["problem-new"]
    before = Problem.objects.count()
    browser = site.browser("crew")
    data = form.fields | {"planting": [str(other.pk)]}
    assert browser.post(form.url, data).status_code == 200
    assert Problem.objects.count() == before
    assert browser.post(form.url, form.fields).status_code == 302
    assert Problem.objects.count() == before + 1


def test_crews_never_see_money_or_how_to_reach_the_client_by_mail(site: Site) -> None:
    visit = Visit.objects.get(pk=site.world["own stop"]["pk"])
    amounts = ("7531.97", "7,531.97", "61.83", "43.29", "7531", "canary")
    Job.objects.update(price=Decimal("7531.97"), planned_cost=Decimal("7531.97"))
    Job.objects.filter(hour_price__isnull=False).update(hour_price=Decimal("61.83"))
    Quote.objects.update(
        cost=Decimal("7531.97"), net=Decimal("7531.97"), tax=0, gross=Decimal("7531.97")
    )
    Person.objects.update(hour_cost=Decimal("43.29"))
    Client.objects.update(
        billing_address="canary bill",
        notes="canary note",
        tax_exempt_certificate="canary",
    )
    Contact.objects.update(email="canary@quill.example")
    HourEntry.objects.create(
        person=site.people["crew"],
        day=visit.day,
        kind="work",
        hours=2,
        hour_cost=Decimal("43.29"),
        visit=visit,
        crew=visit.crew,
        logged_by=site.people["crew"],
        logged_at=factories.NOW,
    )
    browser = site.browser("crew")
    read: list[str] = []
    told: list[str] = []
    for name, row in ROWS.items():
        if row.get != 200:
            continue
        answer = browser.get(site.url(name))
        if answer.status_code != 200:
            continue
        read.append(name)
        if answer["Content-Type"] == "application/pdf":
            pages = PdfReader(io.BytesIO(answer.content)).pages
            text = "".join(page.extract_text() for page in pages)
            assert visit.garden.name in text
        else:
            text = answer.content.decode()
        if row.needs != PRIVATE_LINK:
            told += [f"{name}: {word}" for word in amounts if word in text]
    assert {"today", "round-sheet", "stop", "task", "hours-new", "problem-new"} <= set(
        read
    )
    assert told == []
    # The amounts do stand where they may: the owner's page of the same visit's job.
    job = site.browser("owner").get(reverse("job", args=[visit.job_id]))
    assert "7,531.97" in job.content.decode()


@pytest.mark.parametrize(
    ("name", "sample", "part"),
    [
        ("quote-line", "offered quote", "line"),
        ("quote-link-withdraw", "quote", "link"),
        ("contract-link-withdraw", "contract", "link"),
        ("guide-link-withdraw", "quote", "link"),
    ],
)
def test_a_part_is_found_under_its_own_whole_only(
    site: Site, name: str, sample: str, part: str
) -> None:
    right = site.world[ROWS[name].sample]
    wrong = {"pk": site.world[sample]["pk"], part: right[part]}
    before = rows_now()
    answer = site.browser("owner").post(reverse(name, kwargs=wrong), {"version": "1"})
    assert answer.status_code in (302, 404, 409)
    assert changed(before) == []


def link_pages(site: Site) -> dict[str, str]:
    """The key of each kind of private link by the address that it opens."""
    samples = {"link-quote": "quote key", "link-contract": "contract key"}
    samples["link-guide"] = "guide key"
    return {name: site.world[sample]["key"] for name, sample in samples.items()}


def test_a_private_link_opens_its_own_paper_and_nothing_else(site: Site) -> None:
    keys = link_pages(site)
    for name in keys:
        for owner_of_key, key in keys.items():
            answer = StrictClient().get(reverse(name, args=[key]))
            assert answer.status_code == (200 if name == owner_of_key else 404)


def test_a_key_with_any_letter_changed_opens_nothing(site: Site) -> None:
    for name, key in link_pages(site).items():
        assert len(key) == 43
        for place, letter in enumerate(key):
            other = "A" if letter != "A" else "B"
            forged = key[:place] + other + key[place + 1 :]
            assert StrictClient().get(reverse(name, args=[forged])).status_code == 404
        for forged in (key[:-1], key + "A", key.swapcase(), key + "=", "A" * 43):
            assert StrictClient().get(reverse(name, args=[forged])).status_code == 404


@pytest.mark.parametrize("how", ["withdrawn_at", "expires_at"])
def test_a_withdrawn_or_expired_key_opens_and_sends_nothing(
    site: Site, how: str
) -> None:
    keys = link_pages(site)
    forms = site.forms()
    PrivateLink.objects.update(**{how: clock.now() - dt.timedelta(seconds=1)})
    before = rows_now()
    for name, row in ROWS.items():
        if row.needs != PRIVATE_LINK:
            continue
        key = keys["-".join(name.split("-")[:2])]
        url = reverse(name, args=[key])
        with undone():
            if row.get is not None:
                assert StrictClient().get(url).status_code == 410, name
            if row.post is not None:
                answer = StrictClient().post(url, forms[name].fields)
                assert answer.status_code == 410, name
            assert changed(before) == []


def test_somebody_switched_off_is_out_at_the_next_click(site: Site) -> None:
    for role, person in site.people.items():
        browser = browser_of(person)
        page = reverse("today" if role == "crew" else "books")
        assert browser.get(page).status_code == 200
        Person.objects.filter(pk=person.pk).update(is_active=False)
        assert browser.get(page).status_code == 302
