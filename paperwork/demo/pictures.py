"""Stand-ins for photographs: drawn, labelled as demo pictures, so that no real place is shown."""

from __future__ import annotations

from io import BytesIO

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw

PAPER, INK, LIVE = "#e9e2cf", "#1d2733", "#a83f16"
SIZE = (1200, 900)


def photo(kind: str, caption: str) -> SimpleUploadedFile:
    picture = Image.new("RGB", SIZE, PAPER)
    pen = ImageDraw.Draw(picture)
    _SKETCHES.get(kind, _house)(pen)
    pen.text((40, SIZE[1] - 60), f"demo picture: {caption}", fill=INK, font_size=30)
    out = BytesIO()
    picture.save(out, "JPEG", quality=80)
    return SimpleUploadedFile(f"{kind}.jpg", out.getvalue(), content_type="image/jpeg")


def _house(pen: ImageDraw.ImageDraw) -> None:
    pen.polygon([(200, 480), (600, 180), (1000, 480)], outline=INK, width=8, fill="#d8cdb2")
    pen.rectangle([260, 480, 940, 760], outline=INK, width=8)
    pen.rectangle([540, 580, 660, 760], outline=LIVE, width=8)


def _panel(pen: ImageDraw.ImageDraw) -> None:
    pen.rectangle([380, 80, 820, 800], outline=INK, width=10, fill="#d3d3cd")
    pen.rectangle([540, 130, 660, 210], fill=INK)
    for row in range(9):
        for column in (440, 620):
            pen.rectangle([column, 250 + row * 56, column + 140, 294 + row * 56], outline=INK, width=5)


def _meter(pen: ImageDraw.ImageDraw) -> None:
    pen.rectangle([430, 150, 770, 760], outline=INK, width=10, fill="#cfcfc9")
    pen.ellipse([470, 200, 730, 460], outline=INK, width=10, fill="#f3f0e6")
    pen.text((515, 305), "04 718 2", fill=INK, font_size=46)


def _array(pen: ImageDraw.ImageDraw) -> None:
    _house(pen)
    for row in range(2):
        for column in range(6):
            x, y = 380 + column * 75 - row * 20, 320 + row * 80
            pen.rectangle([x, y, x + 66, y + 70], fill="#22314a", outline=PAPER, width=3)


def _cabinet(pen: ImageDraw.ImageDraw) -> None:
    pen.rectangle([320, 140, 620, 700], outline=INK, width=10, fill="#f3f0e6")
    pen.rectangle([680, 220, 900, 700], outline=INK, width=10, fill="#f3f0e6")
    pen.rectangle([380, 220, 560, 300], fill="#22314a")
    pen.line([620, 600, 680, 600], fill=LIVE, width=10)


def _labels(pen: ImageDraw.ImageDraw) -> None:
    for index, text in enumerate(("WARNING", "PHOTOVOLTAIC SYSTEM", "RAPID SHUTDOWN SWITCH")):
        top = 160 + index * 200
        pen.rectangle([240, top, 960, top + 150], fill="#b3261e")
        pen.text((290, top + 45), text, fill="white", font_size=54)


_SKETCHES = {
    "panel": _panel,
    "meter": _meter,
    "roof": _house,
    "array": _array,
    "inverter": _cabinet,
    "battery": _cabinet,
    "labels": _labels,
}
