"""``python manage.py pictures``: photographs the main screens and papers of a freshly loaded demo office."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from PIL import Image

from paperwork.demo import load, running
from projects.config.machine import Stop, find_chromium

SHOWN = "Ines Halvorsen"
"""The household whose job, study and papers are shown: in plan review, with corrections to one of its permits."""
DESK, TABLET = (1440, 900), (1180, 820)
MOST_BYTES = 250_000
PAPER_DPI = 110


class Command(BaseCommand):
    help = "Loads a demo office of its own and takes the pictures that README and DEVELOPERS show."

    def add_arguments(self, parser: CommandParser) -> None:
        place = Path(settings.BASE_DIR) / "fixtures" / "pictures"
        parser.add_argument("--into", type=Path, default=place, help="folder for the pictures (fixtures/pictures)")

    def handle(self, *args: Any, into: Path, **options: Any) -> None:
        playwright, chromium = _needed()
        into.mkdir(parents=True, exist_ok=True)
        with (
            tempfile.TemporaryDirectory() as folder,
            running.office(Path(folder), tell=self.stdout.write) as office,
            playwright() as play,
        ):
            browser = play.chromium.launch(executable_path=str(chromium), args=["--no-sandbox"])
            for name, picture in _pictures(browser, office):
                saved = save(picture, into / f"{name}.png")
                self.stdout.write(f"{name}.png  {saved // 1000} kB")
            browser.close()


def _needed() -> tuple[Any, Path]:
    """Raises CommandError with one line on the first thing that is missing."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        raise CommandError("pictures needs the test packages: python manage.py test --version installs them.") from None
    try:
        chromium = find_chromium()
    except Stop as problem:
        raise CommandError(str(problem)) from None
    if chromium is None:
        raise CommandError("pictures needs Chromium on the PATH, or RAFTERBOOK_CHROMIUM naming it.")
    if not shutil.which("pdftoppm"):
        raise CommandError("pictures needs pdftoppm on the PATH (Debian's package is poppler-utils).")
    return sync_playwright, chromium


def _pictures(browser: Any, office: running.RunningOffice) -> Any:
    """(name, picture as PNG bytes), one after the other."""

    def desk_of(name: str, size: tuple[int, int]) -> Any:
        context = browser.new_context(base_url=office.address, viewport={"width": size[0], "height": size[1]})
        page = context.new_page()
        if name:
            page.goto("/sign-in/")
            page.fill("#id_username", name)
            page.fill("#id_password", load.password())
            with page.expect_navigation():
                page.locator("main button").click()
        return page

    olive = desk_of("olive", DESK)
    olive.goto("/jobs/")
    yield "jobs", olive.screenshot()
    olive.goto(f"/jobs/?q={SHOWN.replace(' ', '+')}")
    olive.goto(olive.locator("tbody a", has_text=SHOWN).first.get_attribute("href"))
    job = olive.url
    yield "job", olive.screenshot()
    numbers = [
        re.search(r"/papers/issue/([^/]+)/", link.get_attribute("href")).group(1)
        for link in olive.locator("#file a[href*='/papers/issue/']").all()
    ]
    olive.goto(f"{job}study/")
    yield "study", olive.screenshot()
    winnie = desk_of("winnie", DESK)
    winnie.goto("/pipeline/")
    yield "pipeline", winnie.screenshot()
    casey = desk_of("casey", TABLET)
    casey.goto("/crew/")
    yield "crew", casey.screenshot()
    customer = desk_of("", DESK)
    customer.goto(office.customer_links[0])
    yield "customer", customer.screenshot(full_page=True)
    for name, code in (("first-look", "-FL-"), ("single-line", "-SL-")):
        number = next(number for number in numbers if code in number)
        yield name, first_page(olive.context.request.get(f"/papers/issue/{number}/").body())


def first_page(pdf: bytes) -> bytes:
    command = ["pdftoppm", "-q", "-png", "-r", str(PAPER_DPI), "-f", "1", "-l", "1", "-"]
    return subprocess.run(command, input=pdf, capture_output=True, check=True).stdout


def save(png: bytes, path: Path) -> int:
    """Ink on paper needs few colours: a palette keeps the file small. Returns its size in bytes."""
    picture = Image.open(io.BytesIO(png)).convert("RGB")
    for colours in (128, 64, 32, 16):
        out = io.BytesIO()
        picture.quantize(colours, dither=Image.Dither.NONE).save(out, "PNG", optimize=True)
        if out.tell() <= MOST_BYTES:
            break
    path.write_bytes(out.getvalue())
    return out.tell()
