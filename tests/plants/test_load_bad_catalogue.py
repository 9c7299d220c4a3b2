"""A faulty catalogue on the command line: told by file and line, and not loaded."""

from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from firm.models import Entry
from plants.models import (
    CatalogueLoad,
    ClosedSeason,
    Group,
    Plant,
    PlantName,
    Rule,
    Source,
)
from tests.plants.test_catalogue_reading import GROUP, SHARED, SOURCES, line_of

pytestmark = pytest.mark.django_db

TRIAL = "groups/trial.yaml"
SHEETS = {"sources.yaml": SOURCES, "shared.yaml": SHARED, TRIAL: GROUP}
WINDOW = "window: {anchor: bloom_end, earliest: 0, best: 7, latest: 21}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "groups").mkdir()
    for name, text in SHEETS.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def stored() -> list[list[dict[str, Any]]]:
    """Every row that a load may write."""
    models = (
        Source,
        Group,
        Plant,
        PlantName,
        Rule,
        ClosedSeason,
        CatalogueLoad,
        Entry,
    )
    return [list(model._default_manager.order_by("pk").values()) for model in models]


FAULTS = [
    (
        "broken YAML",
        (TRIAL, "rules:\n", "rules: [\n"),
        "  - key: shape",
        None,
    ),
    (
        "a tab",
        (TRIAL, "wood: old", "\twood: old"),
        "wood: old",
        None,
    ),
    (
        "an unknown anchor",
        (TRIAL, "anchor: bloom_end", "anchor: full_moon"),
        WINDOW,
        None,
    ),
    (
        "follow-ups in a circle",
        (
            "shared.yaml",
            "    drawing: none",
            "    follow_up: {rule: shape, within_days: 9}\n    drawing: none",
        ),
        "key: trial-shrub",
        "trial-shrub / look-over / follow_up: follow-ups run in a circle, look-over > "
        "shape > look-over",
    ),
    (
        "a source key without a source",
        (TRIAL, "    source: a-page\nclosed", "    source: a-rumour\nclosed"),
        "    source: a-page\nclosed",
        "source a-rumour is not in sources.yaml",
    ),
    (
        "a toxicity word not in the list",
        (TRIAL, "cats: toxic", "cats: quite safe"),
        "  cats: toxic",
        "toxicity > cats: 'quite safe' is not one of ['toxic', 'not toxic', 'unknown']",
    ),
    (
        "a flower cut of old wood hung on late winter",
        (TRIAL, "anchor: bloom_end", "anchor: late_winter"),
        "  - key: shape",
        "trial-shrub / shape / window: a shape or flower cut of old wood hangs on "
        "bloom_end or bud_set, not on late_winter",
    ),
    (
        "a flower cut of old wood after bud set",
        (TRIAL, WINDOW, WINDOW.replace("bloom_end", "bud_set")),
        "  - key: shape",
        "trial-shrub / shape / window: after bud_set a cut takes next year's flowers",
    ),
    (
        "a window of no days",
        (TRIAL, "earliest: 0, best: 7, latest: 21", "earliest: 7, best: 7, latest: 7"),
        "  - key: shape",
        "trial-shrub / shape / window: it has no days, earliest and latest are the "
        "same",
    ),
    (
        "a best day outside of its window",
        (TRIAL, "best: 7", "best: 30"),
        "  - key: shape",
        "trial-shrub / shape / window: best day 30 is not between earliest 0 and "
        "latest 21",
    ),
    (
        "a plant that flowers so late that its group's cut takes the next buds",
        (
            TRIAL,
            "growth: slow",
            "bloom: {months: [8, 8], region: mid-atlantic, colour: red, "
            "source: a-page}",
        ),
        "  - key: trial-plant",
        "trial-plant: trial-shrub / shape / window: its best day (07 Sep in the "
        "region) lies in the closed season 'flower-buds-set': The buds of the next "
        "flowers sit on the old shoots: a cut now takes them off.",
    ),
    (
        "a plant without the bloom that its group's rules hang on",
        (TRIAL, "growth: slow", "bloom: null"),
        "  - key: trial-plant",
        "trial-plant: trial-shrub / shape / window: it hangs on bloom_end, but bloom "
        "is null",
    ),
]


@pytest.mark.parametrize(
    ("change", "place", "reason"),
    [fault[1:] for fault in FAULTS],
    ids=[fault[0] for fault in FAULTS],
)
def test_a_fault_is_told_in_one_line_and_nothing_is_loaded(
    folder: Path,
    capsys: pytest.CaptureFixture[str],
    change: tuple[str, str, str],
    place: str,
    reason: str | None,
) -> None:
    call_command("load_catalogue", folder=folder)
    assert Group.objects.get().key == "trial-shrub"
    before = stored()
    name, old, new = change
    # Something sound is new as well: it must not be taken over either.
    text = SHEETS[name].replace("minutes: 2", "minutes: 3")
    assert text.count(old) == 1
    (folder / name).write_text(text.replace(old, new), encoding="utf-8")
    sources = SOURCES.replace("A newspaper", "Another newspaper")
    (folder / "sources.yaml").write_text(sources, encoding="utf-8")
    capsys.readouterr()

    with pytest.raises(CommandError) as caught:
        call_command("load_catalogue", folder=folder)

    first, *faults = str(caught.value).split("\n")
    assert first == "Nothing was loaded:"
    (fault,) = faults
    where, _, said = fault.partition(": ")
    told_in = TRIAL if name == "shared.yaml" else name
    assert where == f"{told_in}, line {line_of(SHEETS[told_in], place)}"
    # The words of the YAML reader differ from one build of it to the next.
    assert said == reason if reason is not None else len(said.split()) > 2
    assert capsys.readouterr().out == ""
    assert stored() == before


def test_the_sound_folder_with_the_same_news_is_taken_over(folder: Path) -> None:
    # Beside the refusals: nothing else in those folders stands in the way.
    call_command("load_catalogue", folder=folder)
    sources = SOURCES.replace("A newspaper", "Another newspaper")
    (folder / "sources.yaml").write_text(sources, encoding="utf-8")
    call_command("load_catalogue", folder=folder)
    assert Source.objects.get(key="a-reprint").publisher == "Another newspaper"
    assert CatalogueLoad.objects.count() == 2


def test_an_update_reports_what_it_changed_line_by_line(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    call_command("load_catalogue", folder=folder)
    capsys.readouterr()
    newer = GROUP.replace("how: Cut it.", "how: Cut it well.").replace(
        "key: trial-plant", "key: other-plant"
    )
    (folder / TRIAL).write_text(newer, encoding="utf-8")

    call_command("load_catalogue", folder=folder, verbosity=2)

    assert capsys.readouterr().out.splitlines() == [
        "plant other-plant",
        "rule trial-shrub/shape",
        "plant trial-plant",
        "1 added, 1 changed, 1 retired",
    ]
    report = CatalogueLoad.objects.order_by("pk").last()
    assert report is not None
    assert report.report == {
        "added": ["plant other-plant"],
        "changed": ["rule trial-shrub/shape"],
        "retired": ["plant trial-plant"],
        "kept": [],
        "unfit": [],
    }
