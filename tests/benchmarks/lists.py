"""How long lists, search and pipeline take in a large office: ``python -m tests.benchmarks.lists [SIZE …]``.

Builds an invented office of 10,000 jobs and then of 100,000 (or the sizes given) in a database of its own, on SQLite
and, where its programs are installed, on a private PostgreSQL, and prints the best of several rounds. It takes ten
minutes on a quiet machine.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

HOUSE = Path(__file__).resolve().parents[2]
POSTGRES = HOUSE / ".ci" / "postgres"
SIZES = (10_000, 100_000)
MEASURE = "measure"


def main(sizes: list[int]) -> None:
    sizes = sizes or list(SIZES)
    columns: dict[tuple[str, int], dict[str, list[float]]] = {}
    with tempfile.TemporaryDirectory() as folder:
        engines = {"SQLite": f"sqlite:///{folder}/book.sqlite3"}
        found = subprocess.run([POSTGRES, "found"]).returncode == 0
        if found:
            started = subprocess.run([POSTGRES, "start", folder], check=True, stdout=subprocess.PIPE, text=True)
            engines["PostgreSQL"] = started.stdout.strip()
        try:
            for engine, url in engines.items():
                own = os.environ | {"DATABASE_URL": url, "RAFTERBOOK_DATA": f"{folder}/{engine}"}
                asked = [sys.executable, "-m", "tests.benchmarks.lists", MEASURE, *map(str, sizes)]
                child = subprocess.Popen(asked, cwd=HOUSE, env=own, stdout=subprocess.PIPE, text=True)
                for line in child.stdout or ():
                    size, rows = json.loads(line)
                    columns[engine, size] = rows
                    print(f"{engine}, {size:,} jobs: measured", file=sys.stderr)
                if child.wait():
                    sys.exit(f"{engine}: the measuring failed")
        finally:
            if found:
                subprocess.run([POSTGRES, "stop", folder])
    print_table(columns)


def measure(sizes: list[int]) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "projects.config.settings")
    import django

    django.setup()
    from tests.benchmarks import lists_measured

    lists_measured.measure(sizes)


def print_table(columns: dict[tuple[str, int], dict[str, list[float]]]) -> None:
    print(
        f"{'milliseconds, best of several rounds':52}"
        + "".join(f"{f'{e} {n:,}':>20}" for e, n in columns)
        + "  queries"
    )
    for work in next(iter(columns.values())):
        times = "".join(f"{rows[work][0]:20.1f}" for rows in columns.values())
        print(f"{work:52}{times}{max(int(rows[work][1]) for rows in columns.values()) or '':>9}")


if __name__ == "__main__":
    if sys.argv[1:2] == [MEASURE]:
        measure([int(size) for size in sys.argv[2:]])
    else:
        main([int(size) for size in sys.argv[1:]])
