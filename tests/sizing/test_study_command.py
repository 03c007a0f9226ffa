"""The study command: JSON in, JSON out, pointed messages for what can't be used. It needs no database."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

from sizing.study.codec import request_to_dict
from sizing.study.example import example_request
from sizing.study.schema import study_schema

ROOT = Path(__file__).resolve().parents[2]


def run(*arguments: str) -> str:
    out = io.StringIO()
    call_command("study", *arguments, stdout=out)
    return out.getvalue()


def refused(*arguments: str) -> CommandError:
    with pytest.raises(CommandError) as caught:
        run(*arguments)
    assert caught.value.returncode == 2
    return caught.value


@pytest.fixture
def request_file(tmp_path: Path) -> Path:
    path = tmp_path / "request.json"
    path.write_text(json.dumps(request_to_dict(example_request())), encoding="utf-8")
    return path


def test_a_request_file_gives_a_result(request_file: Path) -> None:
    result = json.loads(run(str(request_file)))
    assert result["production"]["ac_kwh_year"] > 10_000
    assert result["request"] == json.loads(request_file.read_text(encoding="utf-8"))


def test_the_example_can_be_run_as_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    printed = run("--example")
    monkeypatch.setattr(sys, "stdin", io.StringIO(printed))
    compact = run("-", "--compact")
    assert compact.count("\n") == 1
    assert json.loads(compact)["request"] == json.loads(printed)


def test_the_schema_is_printed() -> None:
    assert json.loads(run("--schema")) == study_schema()


def test_wrong_fields_are_all_named(request_file: Path) -> None:
    plain = json.loads(request_file.read_text(encoding="utf-8"))
    plain["site"]["latitude_deg"] = 95
    plain["planes"][1]["tilt_deg"] = -1
    request_file.write_text(json.dumps(plain), encoding="utf-8")
    message = str(refused(str(request_file)))
    assert "site.latitude_deg: 95 degrees is outside -90 to 90" in message
    assert "planes[1].tilt_deg" in message


@pytest.mark.parametrize(("text", "words"), [("{", "is not JSON"), ('{"a": NaN}', "a: is not a field"), ("[]", "list")])
def test_what_is_no_request(tmp_path: Path, text: str, words: str) -> None:
    path = tmp_path / "request.json"
    path.write_text(text, encoding="utf-8")
    assert words in str(refused(str(path)))


def test_a_missing_file_and_no_file() -> None:
    assert "No such file" in str(refused("/nowhere/request.json"))
    assert "--example" in str(refused())


def test_from_the_shell_bad_input_leaves_with_code_two_and_no_traceback(tmp_path: Path) -> None:
    request = json.dumps({"system_type": "hybrid"})
    done = subprocess.run(
        [sys.executable, "manage.py", "study", "-"],
        input=request, capture_output=True, text=True, cwd=ROOT, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 2
    assert done.stdout == ""
    assert "site: is missing" in done.stderr
    assert "Traceback" not in done.stderr
