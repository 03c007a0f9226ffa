"""Typical-year files against their published headers and sums."""

from __future__ import annotations

import gzip
from pathlib import Path

import numpy as np
import pytest
from pvlib import iotools

from sizing.array.transpose import ground_light, isotropic_light
from sizing.climate.checks import closure_w_per_m2
from sizing.climate.reader import read_typical_year
from sizing.climate.shelf import bundled
from sizing.sun.position import sun_year
from sizing.sun.shade import directions, plane_normal
from tests.published.cases import case

PHOENIX = Path(__file__).parent / "data" / "phoenix_tmy3.epw.gz"


def carried(file: str) -> Path:
    return next(shelf.path for shelf in bundled() if shelf.file == file)


@pytest.fixture(scope="module")
def phoenix(tmp_path_factory: pytest.TempPathFactory):
    path = tmp_path_factory.mktemp("weather") / "phoenix.epw"
    path.write_bytes(gzip.decompress(PHOENIX.read_bytes()))
    return read_typical_year(path)


@case("TEMP-05")
@pytest.mark.parametrize(
    ("file", "latitude", "longitude", "elevation", "offset", "ghi"),
    [
        ("723170TYA.CSV", 36.100, -79.950, 273.0, -5.0, 1566.2),
        ("12839.tm2", 25.800, -80.267, 2.0, -5.0, 1792.6),
        ("703165TY.csv", 55.317, -160.517, 7.0, -9.0, 829.2),
    ],
)
def test_carried_files(file, latitude, longitude, elevation, offset, ghi) -> None:
    """Headers by the TMY3 manual (NREL/TP-581-43156) and the TMY2 manual (NREL/SP-463-7668); sums of the files."""
    climate = read_typical_year(carried(file))
    assert climate.latitude_deg == pytest.approx(latitude, abs=1e-3)
    assert climate.longitude_deg == pytest.approx(longitude, abs=1e-3)
    assert (climate.elevation_m, climate.utc_offset_h) == (elevation, offset)
    assert climate.ghi.sum() / 1000.0 == pytest.approx(ghi, abs=0.5)
    assert climate.warnings == ()


@case("TEMP-05")
def test_greensboro_begins_as_printed() -> None:
    """First row of the TMY3 file: 01/01/1988 01:00, no sun, dry bulb 10.0 C, wind 6.2 m/s."""
    climate = read_typical_year(carried("723170TYA.CSV"))
    assert climate.name == "Greensboro Piedmont Triad Int, NC, typical year (TMY3)"
    assert (climate.ghi[0], climate.temp_air_c[0], climate.wind_speed_m_s[0]) == (0.0, 10.0, 6.2)


def test_tmy2_columns_agree_with_pvlib() -> None:
    """Our reading by columns against pvlib's, which splits the header at spaces."""
    climate = read_typical_year(carried("12839.tm2"))
    theirs, _ = iotools.read_tmy2(str(carried("12839.tm2")))
    for ours, column, scale in (
        (climate.ghi, "GHI", 1.0),
        (climate.dni, "DNI", 1.0),
        (climate.dhi, "DHI", 1.0),
        (climate.temp_air_c, "DryBulb", 0.1),
        (climate.wind_speed_m_s, "Wspd", 0.1),
    ):
        assert np.allclose(ours, theirs[column].to_numpy() * scale)


@pytest.mark.parametrize("file", ["723170TYA.CSV", "12839.tm2", "703165TY.csv"])
def test_hour_labels_mark_the_end_of_the_hour(file: str) -> None:
    """With the sun at mid-hour beam, diffuse and global fit: mean closure under 2 W/m2; at the label they don't."""
    climate = read_typical_year(carried(file))
    middle = closure_w_per_m2(climate)
    assert abs(middle.mean()) < 2.0
    assert np.abs(closure_w_per_m2(climate, 60.0)).mean() > 4.0 * np.abs(middle).mean()
    assert np.abs(closure_w_per_m2(climate, 0.0)).mean() > 4.0 * np.abs(middle).mean()


@case("PROD-14")
def test_phoenix_sum_and_tilted_plane(phoenix) -> None:
    """TMY3 of Phoenix in EPW form: 2094 kWh/m2 a year, 6.27 kWh/m2 a day at 20 degrees south (isotropic sky, albedo
    0.2, sun at mid-hour). Sums over the open file with pvlib 0.16.1, not a published figure."""
    assert phoenix.ghi.sum() / 1000.0 == pytest.approx(2094.0, abs=1.0)
    sun = sun_year(phoenix.latitude_deg, phoenix.longitude_deg, phoenix.elevation_m, phoenix.utc_offset_h)
    cosine = directions(sun.elevation_deg, sun.azimuth_deg) @ plane_normal(20.0, 180.0)
    plane = phoenix.dni * np.maximum(cosine, 0.0) + isotropic_light(20.0, phoenix.dhi)
    plane = plane + ground_light(20.0, phoenix.ghi, 0.2)
    assert plane.sum() / 365_000.0 == pytest.approx(6.27, rel=0.015)
    assert abs(closure_w_per_m2(phoenix).mean()) < 2.0


def test_phoenix_header_carries_design_temperatures(phoenix) -> None:
    """ASHRAE Handbook of Fundamentals 2009 in the EPW header: extreme mean minimum 1.3 C, cooling 2 % 41.2 C."""
    assert (phoenix.record_low_c, phoenix.high_2pct_c) == (1.3, 41.2)
    assert "2009" in phoenix.design_source
