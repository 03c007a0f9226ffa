"""A load that was stopped half-way is never taken for the demo office, and nothing of it is lost."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import CommandError, call_command

from paperwork.demo import interrupted


def command(folder: Path, *options: str) -> tuple[list[str], dict[str, str]]:
    environment = {**os.environ, "RAFTERBOOK_DATA": str(folder), "PYTHONUNBUFFERED": "1"}
    environment.pop("DATABASE_URL", None)
    return [sys.executable, "manage.py", "demo", "--load-only", *options], environment


def run(folder: Path, *options: str) -> str:
    called, environment = command(folder, *options)
    done = subprocess.run(called, cwd=settings.BASE_DIR, env=environment, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout


def jobs(book: Path) -> int:
    with sqlite3.connect(book) as opened:
        return opened.execute("SELECT count(*) FROM projects_job").fetchone()[0]


def test_a_load_that_was_killed_starts_over_and_what_there_was_is_kept(tmp_path: Path) -> None:
    called, environment = command(tmp_path)
    with subprocess.Popen(
        called, cwd=settings.BASE_DIR, env=environment, stdout=subprocess.PIPE, text=True, start_new_session=True
    ) as running:
        for line in running.stdout or ():
            if line.startswith("Taking in"):
                break
        told, surroundings = command(tmp_path)
        beside = subprocess.run(
            told, cwd=settings.BASE_DIR, env=surroundings, capture_output=True, text=True, timeout=120
        )
        # A second start beside it neither takes the book from it nor believes that it is whole.
        assert beside.returncode != 0 and "at this moment" in beside.stderr
        assert (tmp_path / "rafterbook.sqlite3").exists()
        os.killpg(running.pid, 9)
    assert (tmp_path / "demo-is-loading").exists()

    said = run(tmp_path, "--without-jobs")
    kept = list(tmp_path.glob("rafterbook-interrupted-*.sqlite3"))
    assert "starts over" in said and str(kept[0]) in said
    assert jobs(tmp_path / "rafterbook.sqlite3") == 0
    assert jobs(kept[0]) >= 0  # it can still be read
    assert "nothing is loaded over it" in run(tmp_path, "--without-jobs")
    assert list(tmp_path.glob("rafterbook-interrupted-*.sqlite3")) == kept


def test_a_load_that_fails_leaves_its_mark(settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path
    with pytest.raises(RuntimeError), interrupted.loading():
        raise RuntimeError
    assert interrupted.was_interrupted()
    with interrupted.loading():
        pass
    assert not interrupted.was_interrupted()


def test_a_database_server_is_not_emptied(settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings.DATA_DIR = tmp_path
    monkeypatch.setattr(interrupted, "set_aside", lambda: None)
    interrupted.marker().touch()
    with pytest.raises(CommandError, match="Give the demo an empty database"):
        call_command("demo", "--load-only")
    assert interrupted.was_interrupted()
