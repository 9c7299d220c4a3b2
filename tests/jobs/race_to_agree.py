"""Twenty people agree to one offer at once; what came of it.

Run by test_quote_race in a process of its own, with DATABASE_URL naming a database
that threads can share (a file, or PostgreSQL).
"""

import datetime as dt
import json
import sys
import threading
from collections import Counter

from django.core.management import call_command
from django.db import connections
from django.test import Client
from django.urls import reverse

from firm import clock
from firm.models import Message
from jobs.actions.links import key_of
from jobs.models import Agreement, Job, Quote
from tests import factories
from tests.jobs.offer_samples import offered, ready


def race(threads: int) -> dict[str, object]:
    """What THREADS answers were, and what stands in the database afterwards."""
    factories.PersonFactory(name="Olive Harrow")
    quote = ready()
    now = clock.now()
    link = offered(quote, now=now, last=now.date() + dt.timedelta(days=30)).link
    assert link is not None
    url = reverse("link-quote-agree", args=[key_of(link)])
    ready_to_go = threading.Barrier(threads)
    answers: list[int] = []

    def agree(number: int) -> None:
        browser = Client()
        ready_to_go.wait()
        answer = browser.post(url, {"name": f"Dana {number} Quill", "agrees": "on"})
        answers.append(answer.status_code)
        connections.close_all()

    people = [
        threading.Thread(target=agree, args=(number,)) for number in range(threads)
    ]
    for person in people:
        person.start()
    for person in people:
        person.join()
    return {
        "answers": Counter(answers),
        "agreements": Agreement.objects.count(),
        "jobs": Job.objects.count(),
        "messages": dict(Counter(Message.objects.values_list("kind", flat=True))),
        "state": Quote.objects.get().state,
    }


def tell(threads: int) -> None:
    """Make the tables, race, write what came of it as JSON."""
    call_command("migrate", verbosity=0)
    sys.stdout.write(json.dumps(race(threads)))
