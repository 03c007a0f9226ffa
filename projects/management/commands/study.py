"""Run a sizing study from the command line: a request as JSON in, the result as JSON out."""

from __future__ import annotations

import json
import sys
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from sizing.errors import InputErrors
from sizing.study.codec import request_from_dict, request_to_dict, result_to_dict

BAD_INPUT = 2


class Command(BaseCommand):
    help = "Run a sizing study: reads a request (JSON file, or - for standard input), prints the result as JSON."
    requires_system_checks: list[str] = []
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("request", nargs="?", help="JSON file of the request; - reads standard input")
        parser.add_argument("--schema", action="store_true", help="print the JSON Schema of requests and results")
        parser.add_argument("--example", action="store_true", help="print a complete example request")
        parser.add_argument("--progress", action="store_true", help="say on standard error what is being worked out")
        parser.add_argument("--compact", action="store_true", help="print the JSON on one line")

    def handle(self, *args: Any, **options: Any) -> None:
        indent = None if options["compact"] else 2
        if options["schema"]:
            from sizing.study.schema import study_schema

            self._print(study_schema(), indent)
        elif options["example"]:
            from sizing.study.example import example_request

            self._print(request_to_dict(example_request()), indent)
        elif options["request"] is None:
            raise CommandError(
                "name a request file, or - for standard input; --example prints one to start from", returncode=BAD_INPUT
            )
        else:
            self._print(self._study(options["request"], options["progress"]), indent)

    def _print(self, data: Any, indent: int | None) -> None:
        self.stdout.write(json.dumps(data, indent=indent, ensure_ascii=False, allow_nan=False))

    def _study(self, source: str, progress: bool) -> dict[str, Any]:
        from sizing.study.run import run_study

        try:
            request = request_from_dict(_read_json(source))
            result = run_study(request, self._tell if progress else None)
        except InputErrors as errors:
            lines = "\n".join(f"  {problem.field}: {problem.message}" for problem in errors.problems)
            raise CommandError(f"the request can't be used:\n{lines}", returncode=BAD_INPUT) from None
        return result_to_dict(result)

    def _tell(self, words: str, fraction: float) -> None:
        self.stderr.write(f"{fraction:4.0%} {words}")


def _read_json(source: str) -> Any:
    try:
        text = sys.stdin.read() if source == "-" else Path(source).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as problem:
        reason = problem.strerror if isinstance(problem, OSError) else "is not UTF-8 text"
        raise CommandError(f"can't read {source}: {reason}", returncode=BAD_INPUT) from None
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as problem:
        raise CommandError(f"{source} is not JSON: {problem}", returncode=BAD_INPUT) from None
