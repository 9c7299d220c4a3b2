"""All screens of the walk in one picture."""

from pathlib import Path

from PIL import Image, ImageDraw

COLUMNS = 7
PHONE_W, DESK_W, HEIGHT, GAP, LABEL = 150, 330, 320, 14, 20
PAPER, INK = "#f6f1e6", "#2b2620"


def _small(path: Path, width: int) -> Image.Image:
    """The upper part of a picture, as wide as WIDTH."""
    with Image.open(path) as opened:
        whole = opened.convert("RGB")
    scale = width / whole.width
    cut = whole.crop((0, 0, whole.width, min(whole.height, int(HEIGHT / scale))))
    return cut.resize(
        (width, max(1, int(cut.height * scale))), Image.Resampling.LANCZOS
    )


def write_contact_sheet(pictures: list[tuple[str, Path, Path]], target: Path) -> None:
    """Draw phone and desk of each screen side by side, with its name, into TARGET."""
    cell_w = PHONE_W + DESK_W + 3 * GAP
    cell_h = HEIGHT + LABEL + 2 * GAP
    rows = -(-len(pictures) // COLUMNS)
    sheet = Image.new("RGB", (COLUMNS * cell_w, rows * cell_h), PAPER)
    pen = ImageDraw.Draw(sheet)
    for number, (name, phone, desk) in enumerate(pictures):
        x = (number % COLUMNS) * cell_w + GAP
        y = (number // COLUMNS) * cell_h + GAP
        pen.text((x, y), f"{number + 1}. {name}", fill=INK)
        sheet.paste(_small(phone, PHONE_W), (x, y + LABEL))
        sheet.paste(_small(desk, DESK_W), (x + PHONE_W + GAP, y + LABEL))
    sheet.save(target)
