"""Taking pictures: what is missing is named in one line, and the files stay small."""

from __future__ import annotations

import io

import pytest
from django.core.management import CommandError, call_command
from PIL import Image

from paperwork.management.commands import pictures


def test_without_chromium_one_line_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures, "find_chromium", lambda: None)
    with pytest.raises(CommandError, match="needs Chromium"):
        call_command("pictures")


def test_without_pdftoppm_one_line_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pictures.shutil, "which", lambda name: None)
    monkeypatch.setattr(pictures, "find_chromium", lambda: "/somewhere/chromium")
    with pytest.raises(CommandError, match="needs pdftoppm"):
        call_command("pictures")


def test_a_browser_that_is_named_but_is_no_program_is_named_in_the_line(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("RAFTERBOOK_CHROMIUM", "/nowhere/browser")
    with pytest.raises(CommandError, match="/nowhere/browser"):
        call_command("pictures")


def test_a_noisy_picture_is_brought_under_its_limit(tmp_path) -> None:
    noise = Image.effect_noise((1100, 800), 80).convert("RGB")
    out = io.BytesIO()
    noise.save(out, "PNG")
    size = pictures.save(out.getvalue(), tmp_path / "noise.png")
    assert size == (tmp_path / "noise.png").stat().st_size
    assert size < out.tell() / 2
    assert Image.open(tmp_path / "noise.png").size == noise.size
