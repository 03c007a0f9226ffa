"""Weather files are checked on the way in, and what is wrong is named by its line."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from sizing.climate.reader import read_typical_year
from sizing.climate.shelf import bundled
from sizing.climate.tmy2 import parse_header
from sizing.errors import InputError

GREENSBORO = next(shelf.path for shelf in bundled() if shelf.file == "723170TYA.CSV")
MIAMI = next(shelf.path for shelf in bundled() if shelf.file == "12839.tm2")


@pytest.fixture
def lines() -> list[str]:
    return GREENSBORO.read_text(encoding="utf-8").splitlines()


def write(folder: Path, lines: list[str], name: str = "year.csv") -> Path:
    path = folder / name
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def changed(line: str, column: int, value: str) -> str:
    cells = line.split(",")
    cells[column] = value
    return ",".join(cells)


GHI, DRY_BULB = 4, 31


def test_a_good_file_passes(tmp_path, lines) -> None:
    climate = read_typical_year(write(tmp_path, lines))
    assert climate.ghi.shape == climate.temp_air_c.shape == climate.month.shape == (8760,)
    assert climate.month[0] == 1
    assert climate.month[-1] == 12
    assert climate.hour_of_day[:25].tolist() == [*range(24), 0]


@pytest.mark.parametrize("same_date", [True, False])
def test_midnight_may_be_written_as_nought(tmp_path, lines, same_date: bool) -> None:
    """The day's last hour as 00:00 of the day after, or of the same day, is still the day's last hour."""
    rows = list(lines)
    for i in range(2, len(rows)):
        date, hour, rest = rows[i].split(",", 2)
        if hour == "24:00":
            after = rows[i + 1].split(",", 1)[0] if i + 1 < len(rows) else "01/01/1989"
            rows[i] = f"{date if same_date else after},00:00,{rest}"
    assert np.array_equal(read_typical_year(write(tmp_path, rows)).ghi, read_typical_year(GREENSBORO).ghi)


def test_a_missing_row_is_counted(tmp_path, lines) -> None:
    with pytest.raises(InputError, match="8759 hourly rows"):
        read_typical_year(write(tmp_path, lines[:5000] + lines[5001:]))


def test_a_gap_is_named_by_its_line(tmp_path, lines) -> None:
    lines[4999] = changed(lines[4999], GHI, "-9900")
    with pytest.raises(InputError, match="global horizontal irradiance is missing in line 5000"):
        read_typical_year(write(tmp_path, lines))


def test_an_impossible_value_is_named_by_its_line(tmp_path, lines) -> None:
    lines[99] = changed(lines[99], DRY_BULB, "71.0")
    with pytest.raises(InputError, match="line 100: air temperature of 71 C"):
        read_typical_year(write(tmp_path, lines))


def test_hours_out_of_order_are_named(tmp_path, lines) -> None:
    lines[10], lines[11] = lines[11], lines[10]
    with pytest.raises(InputError, match="line 11 is month 1, day 1, hour beginning 9"):
        read_typical_year(write(tmp_path, lines))


def test_kilowatts_instead_of_watts_are_noticed(tmp_path, lines) -> None:
    small = lines[:2] + [changed(line, GHI, str(float(line.split(",")[GHI]) / 1000.0)) for line in lines[2:]]
    with pytest.raises(InputError, match="wrong unit"):
        read_typical_year(write(tmp_path, small))


def test_a_leap_day_is_left_out_with_a_remark(tmp_path, lines) -> None:
    """A 29 February between the last hour of the 28th and the first of 1 March."""
    at = next(i for i, line in enumerate(lines) if line.startswith("03/01/"))
    day = ["02/29/1996," + line.split(",", 1)[1] for line in lines[at - 24 : at]]
    climate = read_typical_year(write(tmp_path, lines[:at] + day + lines[at:]))
    assert climate.ghi.sum() == pytest.approx(read_typical_year(GREENSBORO).ghi.sum())
    assert any("29 February" in warning for warning in climate.warnings)


def test_labels_that_mark_the_beginning_of_the_hour_are_noticed(tmp_path, lines) -> None:
    """All values one row later: the sun an hour earlier fits better, and the reader says so."""
    head, rows = lines[:2], lines[2:]
    shifted = [row.split(",", 2)[0] + "," + row.split(",", 2)[1] for row in rows]
    values = [row.split(",", 2)[2] for row in rows]
    values = values[-1:] + values[:-1]
    moved = head + [f"{label},{value}" for label, value in zip(shifted, values, strict=True)]
    climate = read_typical_year(write(tmp_path, moved))
    assert any("an hour earlier" in warning for warning in climate.warnings)


@pytest.mark.parametrize(
    ("name", "text", "message"),
    [
        ("year.csv", "not a weather file at all\n", "does not read as a typical-year file"),
        ("year.csv", "", "does not read as a typical-year file"),
        ("year.epw", "LOCATION,a,b\n", "does not read as a typical-year file"),
        ("year.tm2", " 12839 MIAMI\n", "does not read as a typical-year file"),
        ("year.xls", "x", "ends in none of"),
    ],
)
def test_a_file_that_is_something_else(tmp_path, name: str, text: str, message: str) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError, match=message) as caught:
        read_typical_year(path)
    assert caught.value.field == "climate.file"


def test_a_file_that_is_not_there_is_never_fetched() -> None:
    with pytest.raises(InputError, match="there is no weather file"):
        read_typical_year(Path("https://weather.example/year.epw"))


def test_a_cut_tmy2_row_is_named(tmp_path) -> None:
    rows = MIAMI.read_text(encoding="ascii").splitlines()
    rows[41] = rows[41][:60]
    with pytest.raises(InputError, match="line 42 of"):
        read_typical_year(write(tmp_path, rows, "year.tm2"))


def test_tmy2_cities_of_two_words_and_the_southern_hemisphere() -> None:
    header = parse_header(" 94728 NEW YORK CITY          NY  -5 N 40 47 W  73 58    57")
    assert (header.city, header.state, header.elevation_m) == ("New York City", "NY", 57.0)
    assert header.latitude_deg == pytest.approx(40 + 47 / 60)
    assert header.longitude_deg == pytest.approx(-73 - 58 / 60)
    south = parse_header(" 99999 MADE UP                ZZ  10 S 33 30 E 151 12     6")
    assert (south.latitude_deg, south.utc_offset_h) == (-33.5, 10.0)
    assert south.longitude_deg == pytest.approx(151.2)


def test_the_same_file_is_read_once() -> None:
    assert read_typical_year(GREENSBORO) is read_typical_year(GREENSBORO)
    assert np.all(read_typical_year(GREENSBORO).dni >= 0)
