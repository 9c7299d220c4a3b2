"""The Celery application, for `celery -A firm.celery worker` and `beat`.

Nothing a page loads imports this module: pages never touch the broker.
"""

import os

import django
from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "firm.settings")
# The schedule is registered by the apps, so they start first.
django.setup()

from firm.registry import registry  # noqa: E402

app = Celery("firm")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
# Plain seconds of UTC. A tick that nobody took before the next one is worth nothing:
# the sweeps find due rows, however late they come.
app.conf.beat_schedule = {
    entry.name: {
        "task": entry.task,
        "schedule": entry.every_s,
        "options": {"expires": entry.every_s},
    }
    for entry in registry.schedule.values()
}
