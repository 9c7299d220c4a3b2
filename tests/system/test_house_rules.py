"""House rules that no linter knows."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
APPS = ("firm", "plants", "jobs")
WRITES = {"save", "create", "bulk_create", "bulk_update", "get_or_create"}
WRITES |= {"update_or_create", "delete", "aupdate", "acreate"}
MAY_WRITE = {"actions", "models", "migrations"}
TOP = {"README.md", "DEVELOPERS.md", "manage.py", "requirements.txt", "firm", "plants"}
TOP |= {"jobs", "templates", "tests"}
BAD_NAMES = re.compile(r"(^|_)(utils?|helpers?|common|manager|service)(_|$)")
# Writing to something that is no row: a form, a file store, a cache, a session.
NOT_ROWS = {"default_storage", "cache", "session", "workbook", "image", "messages"}


def modules() -> list[Path]:
    return [
        path
        for app in APPS
        for path in sorted((ROOT / app).rglob("*.py"))
        if "migrations" not in path.parts
    ]


def rooms(path: Path) -> set[str]:
    return {part.removesuffix(".py") for part in path.relative_to(ROOT).parts}


ALL = modules()
READERS = [path for path in ALL if not rooms(path) & MAY_WRITE]


def calls(path: Path) -> list[ast.Attribute]:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return [
        node.func
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
    ]


def on(call: ast.Attribute) -> str:
    """The last name before the method: `x.y.save()` is called on y."""
    target = call.value
    if isinstance(target, ast.Call):
        target = target.func
    return (
        target.attr if isinstance(target, ast.Attribute) else getattr(target, "id", "")
    )


def ident(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_modules_were_collected() -> None:
    assert len(ALL) > 60
    assert len(READERS) > 40


@pytest.mark.parametrize("path", READERS, ids=ident)
def test_only_actions_write_rows(path: Path) -> None:
    found = [
        f"{ident(path)}:{call.lineno} .{call.attr}()"
        for call in calls(path)
        if call.attr in WRITES and on(call) not in NOT_ROWS
    ]
    assert found == []


@pytest.mark.parametrize("path", READERS, ids=ident)
def test_only_actions_update_sets_of_rows(path: Path) -> None:
    found = [
        f"{ident(path)}:{call.lineno}"
        for call in calls(path)
        if call.attr == "update"
        and isinstance(call.value, ast.Call)
        and on(call) in {"filter", "all", "exclude"}
    ]
    assert found == []


@pytest.mark.parametrize("path", ALL, ids=ident)
def test_only_money_rounds_decimals(path: Path) -> None:
    if path == ROOT / "firm" / "money.py":
        return
    assert [call.lineno for call in calls(path) if call.attr == "quantize"] == []


@pytest.mark.parametrize("path", ALL, ids=ident)
def test_a_module_opens_with_one_line_and_has_a_name_of_the_trade(path: Path) -> None:
    docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
    assert docstring, "no docstring at the top"
    assert not BAD_NAMES.search(path.stem)


@pytest.mark.parametrize("path", ALL, ids=ident)
def test_a_module_stays_under_450_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 450


def test_the_top_level_holds_just_the_rooms() -> None:
    found = {
        path.name
        for path in ROOT.iterdir()
        if not path.name.startswith(".") and path.name not in {"var", "node_modules"}
    }
    assert found == TOP


def test_no_template_carries_style_or_script_or_handlers() -> None:
    found = [
        f"{path.relative_to(ROOT)}:{number}"
        for path in sorted((ROOT / "templates").rglob("*.html"))
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if re.search(r"\sstyle=|\son[a-z]+=\"|<script(?![^>]*(src|nonce)=)", line)
    ]
    assert found == []
