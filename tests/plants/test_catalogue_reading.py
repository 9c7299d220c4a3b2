"""Reading catalogue files: whole when sound, refused with line and reason when not."""

import re
from pathlib import Path

import pytest

from plants.imports import CatalogueError, read_catalogue

SOURCES = """\
sources:
  - key: a-page
    publisher: An extension service
    title: Pruning
    address: extension.example/pruning
    read: page read
  - key: a-reprint
    publisher: A newspaper
    title: Garden column
    address: paper.example/garden
    read: copy
"""
SHARED = """\
rules:
  - key: look-over
    task: inspect
    purpose: none
    window: {anchor: midsummer, earliest: -20, best: 0, latest: 40}
    drawing: none
    minutes: 2
    how: Look at it.
    where: All round.
    why: To see.
    harm: Unseen harm grows.
    source: common practice
"""
GROUP = """\
key: trial-shrub
name: Trial shrub
kind: shrub
habit: mound
evergreen: no
buds: opposite
wood: old
bloom: {months: [4, 5], region: mid-atlantic, colour: white, source: a-page}
light: {best: [full sun], bearable: []}
sun_hours: {min: 6, max: 14}
latest_sun: 13:00
ph: [6.0, 7.0]
moisture: [average]
hardiness: [5, 8]
heat: null
mature: {height_m: 1.5, width_m: 1.5}
spacing_m: 1.2
growth: medium
toxicity:
  people: not toxic
  dogs: unknown
  cats: toxic
  horses: unknown
  note: A trial note.
  source: a-page
invasive: []
planting: {seasons: [spring], note: In spring.}
sources:
  ph: {source: a-reprint, read: copy}
shared: [look-over]
rules:
  - key: shape
    task: prune
    purpose: shape
    window: {anchor: bloom_end, earliest: 0, best: 7, latest: 21}
    follow_up: {rule: look-over, within_days: 30}
    drawing: above-pair
    minutes: 5
    how: Cut it.
    where: Above a pair.
    why: For shape.
    harm: Lost flowers.
    source: a-page
closed: []
plants:
  - key: trial-plant
    botanical: Frutex exempli
    common: Trial plant
    growth: slow
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "groups").mkdir()
    (tmp_path / "sources.yaml").write_text(SOURCES, encoding="utf-8")
    (tmp_path / "shared.yaml").write_text(SHARED, encoding="utf-8")
    (tmp_path / "groups" / "trial.yaml").write_text(GROUP, encoding="utf-8")
    return tmp_path


def line_of(text: str, words: str) -> int:
    return text[: text.index(words)].count("\n") + 1


def faults_after(folder: Path, name: str, old: str, new: str) -> list[str]:
    """Faults once the words of a file are changed; it was sound before."""
    assert set(read_catalogue(folder).plants) == {"trial-plant"}
    path = folder / name
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(CatalogueError) as caught:
        read_catalogue(folder)
    assert str(caught.value) == "\n".join(caught.value.faults)
    return caught.value.faults


def test_a_sound_folder_is_read_whole(folder: Path) -> None:
    catalogue = read_catalogue(folder)
    assert set(catalogue.sources) == {"a-page", "a-reprint"}
    group = catalogue.groups["trial-shrub"]
    assert [rule["key"] for rule in group["rules"]] == ["shape", "look-over"]
    assert "plants" not in group
    assert "shared" not in group
    assert catalogue.plants["trial-plant"] == {
        "key": "trial-plant",
        "group": "trial-shrub",
        "botanical": "Frutex exempli",
        "common": "Trial plant",
        "synonyms": [],
        "overrides": {"growth": "slow"},
        "rules": [],
    }


def test_yes_and_no_stay_words_and_a_time_of_day_stays_one(folder: Path) -> None:
    group = read_catalogue(folder).groups["trial-shrub"]
    assert group["evergreen"] == "no"
    assert group["latest_sun"] == "13:00"
    assert group["ph"] == [6.0, 7.0]
    assert group["heat"] is None


def test_shared_rules_may_be_absent(folder: Path) -> None:
    (folder / "shared.yaml").unlink()
    group = GROUP.replace("shared: [look-over]\n", "")
    group = group.replace("    follow_up: {rule: look-over, within_days: 30}\n", "")
    (folder / "groups" / "trial.yaml").write_text(group, encoding="utf-8")
    rules = read_catalogue(folder).groups["trial-shrub"]["rules"]
    assert [rule["key"] for rule in rules] == ["shape"]


TRIAL = "groups/trial.yaml"


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        (
            TRIAL,
            "cats: toxic",
            "cats: deadly",
            "toxicity > cats: 'deadly' is not one of ['toxic', 'not toxic', 'unknown']",
        ),
        (
            TRIAL,
            "minutes: 5",
            "minutes: 0",
            "rules > 0 > minutes: 0 is less than or equal to the minimum of 0",
        ),
        (
            TRIAL,
            "    how: Cut it.\n",
            "",
            "rules > 0: 'how' is a required property",
        ),
        (
            TRIAL,
            "window: {anchor: bloom_end, earliest: 0, best: 7, latest: 21}",
            "window: {months: [5, 6]}",
            None,
        ),
        (TRIAL, "ph: [6.0, 7.0]", "ph: [6.0, 15]", None),
        (TRIAL, "growth: slow", "growth: slow\n    nickname: none", None),
        (TRIAL, "wood: old", "wood: old\nwood: new", "wood stands twice in one entry"),
        (
            TRIAL,
            "source: a-page\nclosed",
            "source: a-rumour\nclosed",
            "source a-rumour is not in sources.yaml",
        ),
        (
            TRIAL,
            "note: A trial note.\n  source: a-page",
            "note: A trial note.\n  source: a-reprint",
            "not toxic to people needs a page that was read; a-reprint is marked copy",
        ),
        (
            TRIAL,
            "{source: a-reprint, read: copy}",
            "{source: a-reprint, read: page read}",
            "source a-reprint is marked copy, not page read",
        ),
        (
            TRIAL,
            "shared: [look-over]",
            "shared: [look-over, sing-to-it]",
            "there is no shared rule sing-to-it",
        ),
        (
            TRIAL,
            "follow_up: {rule: look-over,",
            "follow_up: {rule: dance,",
            "rule shape is followed by dance, which is not here",
        ),
        (
            TRIAL,
            "  - key: shape",
            "  - key: look-over",
            "rule look-over is already in its shared rules",
        ),
        (
            TRIAL,
            "    growth: slow\n",
            "  - key: trial-plant\n    botanical: Frutex alter\n    common: Other\n",
            "plant trial-plant is already in groups/trial.yaml",
        ),
        (
            "sources.yaml",
            "key: a-reprint",
            "key: a-page",
            "source a-page is already in sources.yaml",
        ),
        (
            "shared.yaml",
            "source: common practice",
            "source: hearsay",
            "source hearsay is not in sources.yaml",
        ),
        (
            TRIAL,
            "shared: [look-over]",
            "disagreements:\n  - {about: the month, says: In spring., source: a-page, "
            "instead: In autumn., source_instead: a-rumour, here: In spring.}\n"
            "shared: [look-over]",
            "source a-rumour is not in sources.yaml",
        ),
        (
            TRIAL,
            "shared: [look-over]",
            "disagreements:\n  - {about: the month, says: In spring., source: a-page, "
            "source_instead: a-reprint, here: In spring.}\nshared: [look-over]",
            "disagreements > 0: 'instead' is a required property",
        ),
        (TRIAL, "heat: null", "heat: null\nsalt: bravely", None),
        (TRIAL, "heat: null", "heat: null\nnative: [Atlantis]", None),
        (
            TRIAL,
            "anchor: bloom_end, earliest: 0, best: 7, latest: 21",
            "anchor: late_winter, earliest: 0, best: 7, latest: 21",
            "trial-shrub / shape / window: a shape or flower cut of old wood hangs on "
            "bloom_end or bud_set, not on late_winter",
        ),
    ],
    ids=lambda value: str(value)[:24] if isinstance(value, str) else None,
)
def test_a_faulty_file_is_refused_with_its_line_and_reason(
    folder: Path, name: str, old: str, new: str, said: str | None
) -> None:
    faults = faults_after(folder, name, old, new)
    assert len(faults) == 1
    place, _, reason = faults[0].partition(": ")
    assert re.fullmatch(re.escape(name) + r", line \d+", place)
    if said is not None:
        assert reason == said


def test_a_fault_names_the_very_line(folder: Path) -> None:
    faults = faults_after(folder, TRIAL, "cats: toxic", "cats: deadly")
    assert faults[0].startswith(f"{TRIAL}, line {line_of(GROUP, 'cats: toxic')}: ")


def test_two_files_cannot_hold_the_same_group(folder: Path) -> None:
    twin = GROUP.replace("trial-plant", "trial-twin")
    (folder / "groups" / "twin.yaml").write_text(twin, encoding="utf-8")
    with pytest.raises(CatalogueError) as caught:
        read_catalogue(folder)
    assert caught.value.faults == [
        "groups/twin.yaml, line 1: group trial-shrub is already in groups/trial.yaml"
    ]


def test_every_fault_of_every_file_is_told_at_once(folder: Path) -> None:
    (folder / "sources.yaml").write_text(
        SOURCES.replace("read: copy", "read: heard"), encoding="utf-8"
    )
    (folder / "groups" / "broken.yaml").write_text("key: [", encoding="utf-8")
    (folder / "groups" / "empty.yaml").write_text("# nothing\n", encoding="utf-8")
    (folder / "groups" / "latin.yaml").write_bytes("name: Étoile".encode("latin-1"))
    with pytest.raises(CatalogueError) as caught:
        read_catalogue(folder)
    files = [fault.partition(",")[0] for fault in caught.value.faults]
    assert files == [
        "sources.yaml",
        "groups/broken.yaml",
        "groups/empty.yaml",
        "groups/latin.yaml",
    ]


def test_an_empty_folder_says_what_is_missing(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError) as caught:
        read_catalogue(tmp_path)
    assert caught.value.faults == [
        "sources.yaml, line 1: the file is missing",
        "groups, line 1: there is no group file",
    ]


def test_a_plant_that_contradicts_its_group_is_refused(folder: Path) -> None:
    faults = faults_after(
        folder, TRIAL, "growth: slow", "wood: old\n    bloom: null\n    growth: slow"
    )
    assert faults == [
        f"{TRIAL}, line {line_of(GROUP, '- key: trial-plant')}: trial-plant: "
        "trial-shrub / shape / window: it hangs on bloom_end, but bloom is null"
    ]
