"""Lengths, pitches and bearings as people say them. Expected values: arithmetic with 1 in = 25.4 mm exactly
(international inch, NIST Special Publication 811, appendix B.8) and the tangent of the pitch."""

from __future__ import annotations

import math

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from projects.screens import measures
from projects.screens.fields import BearingField, LengthField, PitchField, SpacingField


@pytest.mark.parametrize(
    ("said", "metres"),
    [
        ("12' 6\"", 3.81),
        ("12'6", 3.81),
        ("12 ft 6 in", 3.81),
        ("12.5 ft", 3.81),
        ("12.5", 3.81),
        ("12′ 6″", 3.81),
        ('150"', 3.81),
        ("150 in", 3.81),
        ("12' 6 1/2\"", 3.8227),
        ('1/2"', 0.0127),
        ("3.81 m", 3.81),
        ("381cm", 3.81),
        ("3810 mm", 3.81),
        ("0", 0.0),
    ],
)
def test_a_length_is_understood_however_it_is_written(said: str, metres: float) -> None:
    assert measures.parse_length(said, "ft") == pytest.approx(metres)


def test_a_bare_number_means_the_chosen_unit() -> None:
    assert measures.parse_length("4", "m") == 4
    assert measures.parse_length("4", "ft") == pytest.approx(1.2192)


@pytest.mark.parametrize("said", ["", "twelve", "12'' 6'", "6' 14\"", "-3", '3/0"', "1e9", "nan", "12; drop", "m"])
def test_what_is_no_length_is_refused_in_words(said: str) -> None:
    with pytest.raises(ValueError, match=r"[a-z]"):
        measures.parse_length(said)


@given(st.floats(min_value=0.02, max_value=300), st.sampled_from(["ft", "m"]))
def test_a_shown_length_reads_back_to_itself(metres: float, unit: str) -> None:
    back = measures.parse_length(measures.show_length(metres, unit), unit)
    assert back == pytest.approx(metres, abs=0.0052 if unit == "m" else 0.0032)


@pytest.mark.parametrize(
    ("said", "degrees"),
    [("6:12", 26.565), ("6/12", 26.565), ("4 in 12", 18.435), ("26.6°", 26.6), ("30", 30), ("flat", 0)],
)
def test_a_pitch_is_rise_over_run_or_degrees(said: str, degrees: float) -> None:
    assert measures.parse_pitch(said) == pytest.approx(degrees, abs=1e-3)


def test_a_bare_six_may_be_six_in_twelve_or_six_degrees_so_it_is_asked() -> None:
    with pytest.raises(ValueError, match="6:12 or 6°"):
        measures.parse_pitch("6")


@given(st.integers(min_value=1, max_value=24))
def test_whole_pitches_are_shown_as_pitches(rise: int) -> None:
    assert measures.show_pitch(math.degrees(math.atan2(rise, 12))) == f"{rise}:12"


@pytest.mark.parametrize(
    ("said", "degrees"),
    [("S", 180), ("ssw", 202.5), ("south-west", 225), ("north east", 45), ("192°", 192), ("360", 0), ("192", 192)],
)
def test_a_bearing_is_degrees_or_compass_words(said: str, degrees: float) -> None:
    assert measures.parse_bearing(said) == degrees


@pytest.mark.parametrize("said", ["361", "up", "SSSS", "-10", ""])
def test_what_is_no_bearing_is_refused(said: str) -> None:
    with pytest.raises(ValueError, match=r"[a-z]"):
        measures.parse_bearing(said)


@given(st.floats(min_value=0, max_value=359.9))
def test_a_shown_bearing_reads_back_to_itself(degrees: float) -> None:
    field = BearingField()
    assert field.clean(field.show(degrees)) == pytest.approx(round(degrees, 1) % 360)


def test_an_untouched_value_keeps_every_digit_it_was_stored_with() -> None:
    field = LengthField(least=0.1, most=100)
    field.stored = 3.8123456789
    assert field.clean(field.show(3.8123456789)) == 3.8123456789
    pitch = PitchField()
    pitch.stored = 26.5651
    assert pitch.clean("6:12") == 26.5651


def test_rafters_are_spaced_in_inches_where_feet_are_spoken() -> None:
    field = SpacingField()
    assert field.clean("24") == pytest.approx(0.6096)
    assert field.show(0.6096) == '24"'
    field.unit = "m"
    assert field.clean("0.6") == pytest.approx(0.6)


@pytest.mark.parametrize("said", ["192° SSW", "192 SSW", "192ssw", "192 deg SSW", "192.0 s"])
def test_degrees_with_their_compass_letters_are_one_bearing(said: str) -> None:
    assert BearingField().clean(said) == 192


@pytest.mark.parametrize("said", ["192 N", "192 XYZ", "192 SSW W", "400 SSW"])
def test_degrees_with_letters_that_disagree_are_asked_again(said: str) -> None:
    with pytest.raises(ValidationError):
        BearingField().clean(said)
