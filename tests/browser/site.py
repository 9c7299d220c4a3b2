"""The demo as it is served, and eyes that look at every page of it."""

import contextlib
import email
import email.policy
import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from email.message import EmailMessage
from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

ROOT = Path(__file__).resolve().parents[2]
MANAGE = str(ROOT / "manage.py")
PHONE = {"width": 390, "height": 844}
DESK = {"width": 1280, "height": 900}
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
# Kept by the page itself, so that nothing is missed before anybody listens.
KEEP_BLOCKED = """
window.blockedByPolicy = [];
document.addEventListener("securitypolicyviolation", (event) => {
  window.blockedByPolicy.push(event.violatedDirective + " " + event.blockedURI);
});
"""


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as asked:
        asked.bind(("127.0.0.1", 0))
        port: int = asked.getsockname()[1]
        return port


@dataclass(frozen=True)
class Site:
    """The demo on this machine: where it answers, who may come in, what it mailed."""

    address: str
    folder: Path
    logins: dict[str, tuple[str, str]]

    @property
    def port(self) -> int:
        """Where it listens."""
        return int(self.address.rpartition(":")[2])

    @property
    def log(self) -> str:
        """What the web server and the background work said."""
        return (self.folder / "serve.log").read_text(encoding="utf-8")

    def letters(self, *, to: str = "", subject: str = "") -> list[EmailMessage]:
        """The letters to TO whose subject holds SUBJECT, the oldest first."""
        found = []
        for path in sorted((self.folder / "outbox").glob("*.eml")):
            letter = email.message_from_bytes(
                path.read_bytes(), policy=email.policy.default
            )
            assert isinstance(letter, EmailMessage)
            if to in str(letter["To"]) and subject in str(letter["Subject"]):
                found.append(letter)
        return found

    def letter(
        self, *, to: str, subject: str, after: int = 0, within_s: float = 120
    ) -> EmailMessage:
        """The newest such letter once there are more than AFTER."""
        until = time.monotonic() + within_s
        while time.monotonic() < until:
            found = self.letters(to=to, subject=subject)
            if len(found) > after:
                return found[-1]
            time.sleep(0.25)
        subjects = [f"{each['To']}: {each['Subject']}" for each in self.letters()]
        raise AssertionError(
            f"no letter to {to} about {subject!r} came; there are {subjects[-12:]}"
        )

    def link_in(self, letter: EmailMessage) -> str:
        """The first address of the demo in the letter's plain text."""
        body = letter.get_body(("plain",))
        assert body is not None
        links = re.findall(rf"{re.escape(self.address)}\S*", body.get_content())
        assert links, body.get_content()
        return str(links[0]).rstrip(".)>")


def environment(folder: Path, port: int) -> dict[str, str]:
    """The environment of the demo in FOLDER."""
    kept = ("PATH", "HOME", "LANG", "TMPDIR")
    return {
        **{name: os.environ[name] for name in kept if name in os.environ},
        "VAR_DIR": str(folder),
        "MAIL_DIR": str(folder / "outbox"),
        "SITE_URL": f"http://127.0.0.1:{port}",
        "LOG_LEVEL": "WARNING",
    }


def prepared(folder: Path, port: int) -> Site:
    """The demo built in FOLDER by its own command, and the logins that it printed."""
    done = subprocess.run(
        [
            *(sys.executable, MANAGE, "demo", "--prepare-only"),
            *("--folder", str(folder), "--port", str(port)),
        ],
        env={
            name: value for name, value in os.environ.items() if name != "DATABASE_URL"
        },
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    logins = {
        role: (address, password)
        for role, address, password in re.findall(
            r"^\s+(owner|crew|bookkeeper)\s+(\S+@\S+)\s+(\S+)$", done.stdout, re.M
        )
    }
    assert set(logins) == {"owner", "crew", "bookkeeper"}, done.stdout
    return Site(address=f"http://127.0.0.1:{port}", folder=folder, logins=logins)


@contextlib.contextmanager
def served(site: Site, port: int) -> Iterator[None]:
    """Pages and background work of the demo, ended at the end."""
    log = site.folder / "serve.log"
    with log.open("wb") as out:
        process = subprocess.Popen(
            [sys.executable, MANAGE, "serve", "--port", str(port), "--workers", "1"],
            env=environment(site.folder, port),
            stdout=out,
            stderr=subprocess.STDOUT,
        )
        try:
            until = time.monotonic() + 60
            while not _answers(port):
                assert process.poll() is None, log.read_text()
                assert time.monotonic() < until, log.read_text()
                time.sleep(0.1)
            yield
        finally:
            process.terminate()
            process.wait(timeout=30)


def _answers(port: int) -> bool:
    with contextlib.suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
        return True
    return False


@dataclass
class Sheet:
    """The pictures of the walk, in the order they were taken."""

    folder: Path
    pictures: list[tuple[str, Path, Path]] = field(default_factory=list)


@dataclass
class Eyes:
    """One person's browser page; `look` judges what it shows at both widths."""

    page: Page
    site: Site
    sheet: Sheet
    who: str
    heard: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.add_init_script(KEEP_BLOCKED)
        self.page.on("console", self._console)
        self.page.on("pageerror", lambda error: self.heard.append(f"error: {error}"))

    def _console(self, message: Any) -> None:
        if message.type not in ("error", "warning"):
            return
        # A form that is refused answers 422 or 409; that is what was asked for.
        if re.search(r"status of (409|410|422)\b", message.text):
            return
        where = message.location.get("url", "")
        self.heard.append(f"{message.type}: {message.text} {where}")

    def open(self, path: str) -> None:
        """Open a page of the demo."""
        address = path if path.startswith("http") else self.site.address + path
        answer = self.page.goto(address)
        assert answer is not None
        assert answer.status < 400, f"{path}: {answer.status}"

    def follow(self, words: str | re.Pattern[str], *, first: bool = False) -> None:
        """Follow the link that says so."""
        link = self.page.locator("main").get_by_role(
            "link", name=words, exact=isinstance(words, str)
        )
        with self.page.expect_navigation():
            (link.first if first else link).click()

    def press(self, words: str | re.Pattern[str], *, first: bool = False) -> None:
        """Press the button that says so."""
        button = self.page.locator("main").get_by_role(
            "button", name=words, exact=isinstance(words, str)
        )
        with self.page.expect_navigation():
            (button.first if first else button).click()

    def press_slowly(self, words: str) -> None:
        """Press the button as a hand does, which holds it down for a moment."""
        button = self.page.locator("main").get_by_role("button", name=words, exact=True)
        button.scroll_into_view_if_needed()
        box = button.bounding_box()
        assert box is not None
        mouse = self.page.mouse
        mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        with self.page.expect_navigation():
            mouse.down()
            self.page.wait_for_timeout(800)
            mouse.up()

    def field(self, name: str) -> Locator:
        """The field of that name in the page itself."""
        return self.page.locator(f"main [name='{name}']")

    def fill(self, **words: str) -> None:
        """Type into the fields of those names."""
        for name, typed in words.items():
            self.field(name).fill(typed)

    def choose(self, **words: str | re.Pattern[str]) -> None:
        """Choose from the lists of those names what says so."""
        for name, wanted in words.items():
            texts = self.field(name).locator("option").all_inner_texts()
            fitting = [text for text in texts if re.search(wanted, text)]
            assert fitting, f"{wanted} is not among {texts}"
            self.field(name).select_option(label=fitting[0])

    def tick(self, name: str, value: str = "") -> None:
        """Tick the box, or the choice of that value."""
        box = f"main [name='{name}']" + (f"[value='{value}']" if value else "")
        self.page.locator(box).check()

    def says(self, words: str | re.Pattern[str]) -> None:
        """Fail unless the page says so."""
        text = self.text()
        holds = words.search(text) if isinstance(words, re.Pattern) else words in text
        assert holds, f"{words!r} is not on {self.page.url}:\n{text[:3000]}"

    def says_not(self, words: str) -> None:
        """Fail if the page says so."""
        assert words not in self.text(), f"{words!r} is on {self.page.url}"

    def text(self) -> str:
        """What the page says, on one line."""
        return " ".join(self.page.locator("body").inner_text().split())

    def look(self, name: str) -> None:
        """Judge the page at phone and desk width and keep its pictures."""
        # A part that is being fetched is dimmed for that moment.
        expect(self.page.locator(".htmx-request")).to_have_count(0)
        faults = []
        pictures = []
        for width, size in (("phone", PHONE), ("desk", DESK)):
            self.page.set_viewport_size(size)  # type: ignore[arg-type]
            wide = self.page.evaluate(
                "[document.documentElement.scrollWidth,"
                " document.documentElement.clientWidth]"
            )
            if wide[0] > wide[1]:
                faults.append(f"{width}: scrolls sideways, {wide[0]} over {wide[1]}")
            found = Axe().run(
                self.page, options={"runOnly": {"type": "tag", "values": RULES}}
            )
            faults += [
                f"{width}: {each['id']}: {each['help']}: "
                f"{[node['html'][:160] for node in each['nodes'][:3]]}"
                for each in found.response["violations"]
            ]
            number = len(self.sheet.pictures) + 1
            picture = self.sheet.folder / f"{number:02d}-{self.who}-{name}-{width}.png"
            self.page.screenshot(path=picture, full_page=True)
            pictures.append(picture)
        self.sheet.pictures.append((f"{self.who}: {name}", pictures[0], pictures[1]))
        faults += self.page.evaluate("window.blockedByPolicy")
        faults += self.heard
        self.heard.clear()
        assert faults == [], f"{name} ({self.page.url}):\n" + "\n".join(faults)
