"""Documents are fixed once issued, and drawing one fetches nothing."""

import http.server
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.template import engines
from pypdf import PdfReader

from jobs import documents
from jobs.actions.documents import issue, keep_pdf
from jobs.actions.links import key_of, make_link, withdraw_link
from jobs.documents import NotOurs, OwnFilesOnly, draw_pdf
from jobs.enums import DocumentKind, LinkPurpose
from jobs.models import Document
from jobs.models.documents import DocumentIsFixed, fingerprint
from jobs.queries.links import link_by_key
from tests.factories import NOW, GardenFactory


@pytest.fixture
def paper(db: None) -> Document:
    return issue(
        kind=DocumentKind.QUOTE,
        number="Q-1",
        garden=GardenFactory(),
        snapshot={"title": "A border"},
        now=NOW,
        by=None,
    )


def test_an_issued_document_is_neither_saved_over_nor_deleted(paper: Document) -> None:
    paper.number = "Q-2"
    with pytest.raises(DocumentIsFixed):
        paper.save()
    with pytest.raises(DocumentIsFixed):
        paper.delete()
    assert Document.objects.get().number == "Q-1"


def test_a_document_keeps_the_fingerprint_of_what_it_says(paper: Document) -> None:
    assert paper.sha256 == fingerprint({"title": "A border"})
    assert fingerprint({"a": 1, "b": 2}) == fingerprint({"b": 2, "a": 1})
    assert fingerprint({"a": 1}) != fingerprint({"a": 2})


def test_a_second_drawing_does_not_replace_the_first(paper: Document) -> None:
    keep_pdf(document=paper, pdf=b"first", now=NOW)
    kept = keep_pdf(document=paper, pdf=b"second", now=NOW)
    assert documents.pdf_of(document=kept, now=NOW) == b"first"


def test_a_private_link_opens_by_its_key_and_only_by_that(paper: Document) -> None:
    link = make_link(
        document=paper,
        purpose=LinkPurpose.QUOTE,
        recipient="dana@quill.example",
        now=NOW,
        expires_at=None,
        by=None,
    )
    key = key_of(link)
    assert link_by_key(key=key) == link
    assert key not in str(vars(link))
    last = "A" if key[-1] != "A" else "B"
    assert link_by_key(key=key[:-1] + last) is None
    assert withdraw_link(link=link, now=NOW, by=None).withdrawn_at == NOW


# The ways out of a document that were measured on the default fetcher of the same
# library; each must make no request and carry nothing of the secret.
PAYLOADS = [
    '<img src="{url}">',
    '<img src="{file}">',
    '<link rel="stylesheet" href="{url}">',
    '<link rel="attachment" href="{url}">',
    '<link rel="attachment" href="{file}">',
    '<a rel="attachment" href="{file}">x</a>',
    '<a rel="attachment" href="{url}">x</a>',
    "<style>@import '{url}';</style>",
    "<style>@font-face {{font-family: a; src: url({url})}} p {{font: 9px a}}</style>",
    "<style>body {{background: url({url})}}</style>",
    "<style>li {{list-style-image: url({url})}}</style><ul><li>x</ul>",
    "<style>p:before {{content: url({url})}}</style><p>x",
    "<style>@page {{background: url({url})}}</style>",
    '<object data="{url}"></object>',
    '<embed src="{url}">',
    '<svg xmlns:xlink="http://www.w3.org/1999/xlink"><image xlink:href="{url}"/></svg>',
    '<svg xmlns:xlink="http://www.w3.org/1999/xlink"><use xlink:href="{url}#a"/></svg>',
    (
        "<img src=\"data:image/svg+xml,<svg xmlns='http://www.w3.org/2000/svg' "
        "xmlns:xlink='http://www.w3.org/1999/xlink'><image xlink:href='{url}' "
        "width='9' height='9'/></svg>\">"
    ),
]


@pytest.fixture
def listener() -> Iterator[tuple[str, list[str]]]:
    asked: list[str] = []

    class Ear(http.server.BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()

        def log_message(self, *args: object) -> None:
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Ear)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/x", asked
    server.shutdown()
    server.server_close()


@pytest.mark.parametrize("payload", PAYLOADS)
def test_drawing_fetches_nothing_from_elsewhere(
    payload: str,
    listener: tuple[str, list[str]],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    url, asked = listener
    secret = tmp_path / "secret.txt"
    secret.write_text("s3cret-of-the-house")
    body = payload.format(url=url, file=secret.as_uri())
    page = f"<html lang=en><title>t</title><body>{body}<p>still drawn</html>"

    def written(template: str, context: object) -> str:
        return engines["django"].from_string(page).render({})

    monkeypatch.setattr(documents, "render_to_string", written)
    pdf = draw_pdf(template="any", context={})

    folder = tmp_path / "out.pdf"
    folder.write_bytes(pdf)
    reader = PdfReader(folder)
    assert "still drawn" in "".join(page.extract_text() for page in reader.pages)
    assert asked == []
    assert not reader.attachments
    assert b"s3cret" not in pdf


def test_the_fetcher_hands_out_our_own_style_and_refuses_climbing_out() -> None:
    fetcher = OwnFilesOnly(allowed_protocols={"data"}, allow_redirects=False)
    assert b"@page" in fetcher.fetch("https://own.invalid/static/print.css").read()
    for url in (
        "https://own.invalid/static/../settings.py",
        "https://own.invalid/static/%2e%2e/settings.py",
        "file:///etc/passwd",
        "data:text/html,x",
    ):
        with pytest.raises(NotOurs):
            fetcher.fetch(url)
