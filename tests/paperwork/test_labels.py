"""The label sheet: every label of the design with the study's figures, letters as high as the rule asks."""

from __future__ import annotations

import pytest

from paperwork.content.labels import even_rows, label_rows, type_points
from paperwork.draw.svg import FACE
from paperwork.issue import issue_paper, paper_problems
from projects.models import Job, Person
from tests import factories
from tests.paperwork.reading import text_of
from tests.paperwork.study_facts import example_result, example_text, study_facts
from tests.paperwork.test_calculations import squeezed


@pytest.mark.parametrize("size", ["letter", "a4"])
def test_every_label_is_on_it_line_by_line(size: str) -> None:
    text = squeezed(example_text("labels", size))
    for label in study_facts()["labels"]:
        assert squeezed(label["place"]) in text and squeezed(label["source"]) in text
        for line in label["text"]:
            assert squeezed(line) in text


def test_the_figures_are_those_of_the_study() -> None:
    text = example_text("labels")
    electrical = example_result().electrical
    assert f"MAXIMUM VOLTAGE {electrical.voc_cold_v:.0f} V DC" in text
    assert "RATED OUTPUT CURRENT 33.3 A" in text and "CAPACITY 20 kWh" in text


def test_capitals_are_as_high_as_the_rule_asks() -> None:
    """Measured in the font itself: the height of a capital H at the size that the sheet sets."""
    from pathlib import Path

    from django.conf import settings
    from fontTools.ttLib import TTFont

    assert FACE == "Barlow Semi Condensed"
    font = TTFont(Path(settings.BASE_DIR) / "projects" / "static" / "fonts" / "barlow-sc-600.woff2")
    share = font["OS/2"].sCapHeight / font["head"].unitsPerEm
    rows = {row["place"].split(",")[0]: row for row in label_rows(study_facts())}
    raceway = rows["DC raceways"]["lines"][0]["points"]
    assert raceway * share / 72 == pytest.approx(3 / 8, rel=0.01)
    assert type_points(3 / 16) * share / 72 == pytest.approx(3 / 16, rel=0.01)


def test_long_lines_of_a_label_break_about_evenly() -> None:
    rows = even_rows("TURN RAPID SHUTDOWN SWITCH TO OFF TO SHUT DOWN PV SYSTEM", type_points(3 / 16))
    assert len(rows) == 2 and 0.6 < len(rows[0]) / len(rows[1]) < 1.7
    assert even_rows("WARNING", 40.0) == ["WARNING"]


def test_colours_that_the_rule_asks_for_are_drawn_and_said_and_stay_legible_in_grey() -> None:
    """Contrast as WCAG 2.1 reckons it, at least 4.5 to 1; in grey of the same luminance it is the same."""
    from paperwork.pdf import STYLES

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        linear = [c / 12.92 if c <= 0.03928 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    css = (STYLES / "labels.css").read_text()
    assert ".red .first { background: #a31515; }" in css
    assert ".yellow .first { background: #ffd84d; color: #1d2733; }" in css
    for ink, ground in (("#ffffff", "#a31515"), ("#1d2733", "#ffd84d"), ("#ffffff", "#1d2733")):
        dark, light = sorted((luminance(ink), luminance(ground)))
        assert (light + 0.05) / (dark + 0.05) >= 4.5, (ink, ground)
    rows = {row["place"].split(",")[0]: row for row in label_rows(study_facts())}
    assert rows["DC raceways"]["style"] == "red" and "white on red, reflective" in rows["DC raceways"]["height"]
    text = example_text("labels")
    assert "white on red, reflective" in text and "first line black on yellow" in text


def test_it_says_that_the_wording_is_to_be_checked() -> None:
    text = example_text("labels")
    assert "to be checked against the code that is adopted here" in text
    assert "written from memory of the code" in text


@pytest.mark.django_db
@pytest.mark.parametrize("kind", ["grid_tied", "hybrid", "off_grid"])
def test_a_jobs_labels_are_issued(firm: object, office: Person, kind: str) -> None:
    job: Job = factories.job_at("permits", kind)
    issued = issue_paper(job=job, kind="labels", actor=office)
    keys = {label["key"] for label in issued.facts["labels"]}
    assert "dc_disconnect" in keys and ("sources" in keys) == (kind != "off_grid")
    assert ("battery_disconnect" in keys) == (kind != "grid_tied")
    assert "PHOTOVOLTAIC SYSTEM DC DISCONNECT" in text_of(bytes(issued.content))


@pytest.mark.django_db
def test_a_design_that_nobody_studied_has_no_labels(firm: object) -> None:
    job = factories.job_at("site_assessment", "hybrid")
    assert paper_problems(job=job, kind="labels")
