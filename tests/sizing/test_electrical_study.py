"""The electrical part of a study: circuits of the one-line, checks and advice, edition by edition."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sizing.electrical import study_electrical
from sizing.electrical.editions import section
from sizing.electrical.tables import table
from sizing.errors import InputErrors
from sizing.study.example import example_request
from sizing.study.request import StringGroup

LOW_C, HIGH_C = -12.0, 33.0


def study(**change):
    return study_electrical(replace(example_request(), **change), LOW_C, HIGH_C)


def checks(answer):
    return {check.key: check for check in answer[0].checks}


def circuits(answer):
    return {circuit.key: circuit for circuit in answer[0].circuits}


def inverter(**change):
    return replace(example_request().inverter, **change)


def test_the_example_as_worked_by_hand():
    electrical, working, warnings = study()
    assert not electrical.strings_proposed and not warnings
    # 9 x 37.2 V x (1 + 0.0026 x 37) ; 8 x 31.2 V x (1 - 0.0034 x 38)
    assert electrical.voc_cold_v == pytest.approx(367.007, abs=0.001)
    assert electrical.vmp_hot_v == pytest.approx(217.352, abs=0.001)
    found = circuits((electrical,))
    assert list(found) == ["pv_source", "inverter_output", "battery", "backup_feeder", "generator"]
    source = found["pv_source"]
    assert (source.current_a, source.required_ampacity_a) == (pytest.approx(17.25), pytest.approx(21.5625))
    assert (source.overcurrent_a, source.conductor, source.equipment_ground) == (None, "10 AWG Cu THWN-2", "10 AWG Cu")
    # 6 x 10 AWG and the 10 AWG ground: 7 x 0.0211 = 0.148 in2, above 0.122, below 0.213
    assert (source.conductors_in_conduit, source.conduit) == (7, "3/4 in EMT")
    # 2 x 18 m at 1.24 ohm/kft and 13 A over 217.4 V
    assert source.voltage_drop_pct == pytest.approx(0.876, abs=0.001)
    output = found["inverter_output"]
    assert (output.current_a, output.overcurrent_a) == (pytest.approx(33.333, abs=0.001), 45)
    assert (output.conductor, output.equipment_ground) == ("8 AWG Cu THWN-2", "10 AWG Cu")
    battery = found["battery"]
    # 5 kW at 51.2 V: 97.7 A, x 1.25 = 122 A; 1 AWG carries 130 A at 75 C
    assert (battery.overcurrent_a, battery.conductor, battery.equipment_ground) == (125, "1 AWG Cu THWN-2", "6 AWG Cu")
    assert electrical.ac_disconnect_a == 60
    generator = found["generator"]
    assert generator.required_ampacity_a == pytest.approx(7000 / 240 * 1.15)
    assert generator.overcurrent_a == 35
    assert len({line.key for line in working}) == len(working)


def test_working_lines_can_be_followed_by_hand():
    lines = {line.key: line for line in study()[1]}
    drop = lines["circuit.battery.voltage_drop"]
    term = {t.symbol: t.value for t in drop.terms}
    by_hand = 2 * term["L"] * 3.281 * term["R"] / 1000 * term["I"] / term["V"] * 100
    assert drop.result == pytest.approx(by_hand, rel=1e-3)
    fill = lines["circuit.pv_source.conduit_fill"]
    assert (fill.result, fill.limit, fill.passes) == (pytest.approx(7 * 0.0211), pytest.approx(0.2132), True)
    backfeed = lines["string.backfeed"]
    assert (backfeed.result, backfeed.limit, backfeed.passes) == (0, 25.0, True)
    assert "circuit.pv_source.overcurrent" not in lines
    corrected = lines["circuit.pv_source.corrected_ampacity"]
    product = {t.symbol: t.value for t in corrected.terms}
    assert product["I_90"] * product["f_T"] * product["f_n"] == pytest.approx(corrected.result)


def test_a_full_busbar_fails_with_ways_out():
    answer = study()
    busbar = checks(answer)["interconnection.busbar"]
    # 200 + 1.25 x 33.33 = 241.7 A against 240 A
    assert not busbar.passes
    assert "175 A main breaker" in busbar.advice
    assert "225 A busbar" in busbar.advice
    assert "supply side" in busbar.advice
    assert answer[0].busbar_allowed_a == pytest.approx(32.0)
    assert answer[0].backfeed_breaker_a == 45


def test_supply_side_and_off_grid_have_no_busbar_check():
    service = replace(example_request().service, connection="supply_side")
    supply = study(service=service)
    assert "interconnection.busbar" not in checks(supply)
    assert checks(supply)["interconnection.supply_side"].passes
    assert supply[0].backfeed_breaker_a is None
    off = study(system_type="off_grid")
    assert not any(key.startswith("interconnection") for key in checks(off))
    assert "backup_feeder" not in circuits(off)


def test_an_ac_coupled_battery_counts_as_a_source_and_shares_a_feeder_with_the_pv():
    small = inverter(ac_power_w=3_800.0)
    dc = study(inverter=small)
    ac = study(inverter=small, battery=replace(example_request().battery, coupling="ac"))
    assert checks(dc)["interconnection.busbar"].passes
    # 3.8 kW + 2 x 5 kW at 240 V = 57.5 A, x 1.25 = 71.9 A
    assert not checks(ac)["interconnection.busbar"].passes
    # Both on the critical-loads panel, and one breaker for its feeder in the main panel.
    assert checks(ac)["interconnection.breaker_spaces"].value == "2 spaces"
    assert circuits(ac)["battery"].overcurrent_a == 30
    assert circuits(ac)["battery"].conductors_in_conduit == 4
    assert (circuits(ac)["backup_feeder"].overcurrent_a, ac[0].backfeed_breaker_a) == (80, 80)
    # (80 + 71.9) / 1.2 = 126.6 A
    assert ac[0].backup_busbar_a == 150
    assert dc[0].backup_busbar_a is None


def test_a_pv_inverter_that_follows_the_battery_needs_no_backup_rating_for_the_feeder():
    follower = inverter(ac_power_w=3_800.0, backup_power_w=0.0)
    ac = replace(example_request().battery, coupling="ac")
    assert circuits(study(inverter=follower, battery=ac))["backup_feeder"].overcurrent_a == 80
    assert "backup_feeder" not in circuits(study(inverter=follower))


def test_two_sources_too_large_for_any_dwellings_panel_are_refused():
    # 11.4 kW x 4 and 5 kW x 8 at 240 V: 357 A; x 1.25 = 446 A
    battery = replace(example_request().battery, coupling="ac", units=8)
    answer = study(inverter=inverter(ac_power_w=11_400.0), inverter_count=4, battery=battery)
    found = checks(answer)
    assert "circuit.backup_feeder" in found or not found["interconnection.backup_busbar"].passes


def test_on_the_supply_side_the_shared_feeders_device_counts_once():
    service = replace(example_request().service, connection="supply_side")
    answer = study(service=service, battery=replace(example_request().battery, coupling="ac"))
    # (8000 + 2 x 5000) / 240 = 75 A, x 1.25 = 93.75 A
    assert checks(answer)["interconnection.supply_side"].value == "100 A"
    assert answer[0].ac_disconnect_a == 100 and answer[0].backfeed_breaker_a is None


def test_too_few_breaker_spaces():
    tight = replace(example_request().service, free_breaker_spaces=1)
    assert not checks(study(service=tight))["interconnection.breaker_spaces"].passes


def test_proposed_strings_carry_every_module_and_ask_for_confirmation():
    electrical, _, warnings = study(strings=())
    assert electrical.strings_proposed
    assert sum(length * count for _, length, count, _ in electrical.strings) == 26
    assert any("Confirm" in warning for warning in warnings)
    assert all(check.passes for check in electrical.checks if check.key.startswith(("string", "input")))


def test_a_design_that_cannot_be_strung_says_which_lengths_could():
    planes = (replace(example_request().planes[0], modules=3),)
    electrical, *_ = study(planes=planes, strings=())
    failing = checks((electrical,))["string.modules"]
    assert not failing.passes
    assert "Strings may have 5 to 14 modules" in failing.advice
    assert "pv_source" not in circuits((electrical,))
    assert any(count == 3 and "tracking window" in reason for count, reason in electrical.length_verdicts)


def test_strings_that_forget_modules_fail():
    strings = (StringGroup("South roof", 9, 1, 1), StringGroup("Garage roof, west", 8, 1, 3))
    failing = checks(study(strings=strings))["string.modules"]
    assert not failing.passes and "South roof" in failing.advice


def test_a_string_too_long_for_the_cold_fails():
    planes = (replace(example_request().planes[0], modules=15),)
    answer = study(planes=planes, strings=(StringGroup("South roof", 15, 1, 1),))
    assert not checks(answer)["string.voc_cold"].passes
    line = next(w for w in answer[1] if w.key == "string.voc_cold")
    assert (line.passes, line.limit) == (False, 600.0)
    assert line.source == "2020 NEC 690.7(A)(1)"


def test_unequal_strings_on_one_input_fail():
    strings = (
        StringGroup("South roof", 10, 1, 1),
        StringGroup("South roof", 8, 1, 1),
        StringGroup("Garage roof, west", 8, 1, 3),
    )
    found = checks(study(strings=strings))
    assert not found["input.equal_lengths"].passes
    assert not found["input.short_circuit"].passes


def test_three_strings_in_parallel_need_fuses_and_a_combiner_gets_an_output_circuit():
    strings = (StringGroup("South roof", 6, 3, 1), StringGroup("Garage roof, west", 8, 1, 3))
    big = inverter(max_short_circuit_a=60.0, max_input_current_a=45.0)
    answer = study(strings=strings, inverter=big)
    found = circuits(answer)
    assert found["pv_source"].overcurrent_a == 25
    backfeed = next(line for line in answer[1] if line.key == "string.backfeed")
    # 2 x 1.25 x 13.8 A
    assert (backfeed.result, backfeed.passes) == (pytest.approx(34.5), False)
    assert "25 A fuse" in backfeed.remark
    # 3 x 1.25 x 13.8 = 51.75 A, x 1.25 = 64.7 A: 6 AWG carries 65 A at 75 C
    assert found["pv_output"].current_a == pytest.approx(51.75)
    assert found["pv_output"].conductor == "6 AWG Cu THWN-2"
    assert checks(answer)["string.fuses"].passes
    weak_module = replace(example_request().module, max_series_fuse_a=20.0)
    assert not checks(study(strings=strings, inverter=big, module=weak_module))["string.fuses"].passes


def test_two_parallel_strings_on_separate_groups_of_one_input_also_count():
    strings = (
        StringGroup("South roof", 9, 1, 1),
        StringGroup("South roof", 9, 1, 1),
        StringGroup("Garage roof, west", 8, 1, 3),
    )
    answer = study(strings=strings, inverter=inverter(strings_per_mppt=2, max_short_circuit_a=30.0))
    assert checks(answer)["string.fuses"].value == "none needed (17.2 A backfeed)"


def test_tubing_close_to_the_roof_works_hotter():
    low = replace(example_request().runs, conduit_above_roof_mm=10.0)
    many = replace(example_request().module, isc_a=18.0, imp_a=17.0, max_series_fuse_a=35.0)
    strong = inverter(max_short_circuit_a=30.0, max_input_current_a=30.0)
    high_answer, low_answer = study(module=many, inverter=strong), study(module=many, inverter=strong, runs=low)
    # 6 conductors at 33 C: 40 x 0.96 x 0.8 = 30.7 A; at 66 C: 40 x 0.58 x 0.8 = 18.6 A, below 22.5 A
    assert circuits(high_answer)["pv_source"].conductor == "10 AWG Cu THWN-2"
    assert circuits(low_answer)["pv_source"].conductor == "8 AWG Cu THWN-2"


def test_a_long_run_is_enlarged_for_voltage_drop_and_says_so():
    far = replace(example_request().runs, ac_m=100.0)
    answer = study(runs=far)
    # 2 x 100 m and 33.3 A on 240 V: 8 AWG loses 7.1 %, 4 AWG 2.8 %
    assert circuits(answer)["inverter_output"].conductor == "4 AWG Cu THWN-2"
    line = next(w for w in answer[1] if w.key == "circuit.inverter_output.voltage_drop")
    assert "Enlarged from 8 AWG" in line.remark
    # 250.122(B): 10 380 x 41 740 / 16 510 = 26 243 cmil, just above 6 AWG, capped by the conductors' own 4 AWG
    assert circuits(answer)["inverter_output"].equipment_ground == "4 AWG Cu"


def test_a_circuit_beyond_the_tables_is_left_to_an_engineer():
    huge = replace(example_request().battery, max_discharge_kw=100.0)
    answer = study(battery=huge)
    assert "battery" not in circuits(answer)
    assert not checks(answer)["circuit.battery"].passes
    assert "engineer" in checks(answer)["circuit.battery"].advice


def test_storage_is_checked_where_it_stands():
    closet = replace(example_request().battery, units=5, location="utility_closet")
    assert not checks(study(battery=closet))["storage.aggregate"].passes


@pytest.mark.parametrize("edition", ["2017", "2020", "2023"])
def test_every_citation_names_the_edition(edition):
    electrical, working, _ = study(code_edition=edition)
    other = {"2017", "2020", "2023"} - {edition}
    cited = [check.source for check in electrical.checks if "NEC" in check.source]
    cited += [line.source for line in working if "NEC" in line.source]
    assert cited and all(edition in source for source in cited)
    assert not any(f"{year} NEC" in source for source in cited for year in other)
    assert electrical.rapid_shutdown.startswith(f"{edition} NEC 690.12")


def test_rules_carry_a_section_in_every_edition():
    for row in table("editions"):
        assert all(row[edition] for edition in ("2017", "2020", "2023")), row["rule"]
    with pytest.raises(KeyError):
        section("no such rule", "2020")


def test_each_circuit_cites_its_own_articles():
    _, working, _ = study(code_edition="2020")
    source = {line.key: line.source for line in working}
    assert source["circuit.pv_source.terminal_ampacity"] == "2020 NEC 690.8(B), Table 310.16, 110.14(C)"
    assert source["circuit.inverter_output.overcurrent"] == "2020 NEC 705.30, 240.6(A)"
    assert source["circuit.battery.overcurrent"] == "2020 NEC 706.31, 240.6(A)"
    assert source["circuit.backup_feeder.current"] == "2020 NEC 710.15"
    assert source["circuit.generator.terminal_ampacity"] == "2020 NEC 445.13(A), Table 310.16, 110.14(C)"
    _, working, _ = study(system_type="off_grid")
    assert {line.key: line.source for line in working}["circuit.inverter_output.current"] == "2020 NEC 710.15"


@given(
    modules=st.integers(0, 40),
    voc=st.floats(20, 110),
    isc=st.floats(3, 25),
    window=st.tuples(st.floats(0, 300), st.floats(301, 950)),
    kw=st.floats(0.5, 60),
    count=st.integers(1, 4),
    low=st.floats(-60, 25),
    high=st.floats(20, 52),
    metres=st.floats(0, 300),
)
@settings(max_examples=60, deadline=None)
def test_any_design_is_answered_with_finite_numbers(modules, voc, isc, window, kw, count, low, high, metres):
    request = example_request()
    module = replace(request.module, voc_v=voc, vmp_v=voc * 0.83, isc_a=isc, imp_a=isc * 0.94)
    changed = replace(
        request,
        module=module,
        inverter=inverter(mppt_min_v=window[0], mppt_max_v=window[1], ac_power_w=kw * 1000, backup_power_w=kw * 1000),
        inverter_count=count,
        planes=(replace(request.planes[0], modules=modules),),
        strings=(),
        runs=replace(request.runs, dc_m=metres, ac_m=metres, battery_m=metres, conduit_above_roof_mm=5.0),
    )
    electrical, working, _ = study_electrical(changed, low, high)
    wired = sum(length * strings for _, length, strings, _ in electrical.strings)
    found = checks((electrical,))
    assert found["string.modules"].passes == (wired == modules)
    if electrical.strings:
        assert found["string.voc_cold"].passes and found["string.vmp_hot"].passes
    assert all(math.isfinite(line.result) for line in working)
    assert all(math.isfinite(circuit.voltage_drop_pct) for circuit in electrical.circuits)


def test_ground_mount_has_another_shutdown_text():
    ground = tuple(replace(plane, mounting="ground") for plane in example_request().planes)
    outside = replace(example_request().battery, location="outdoors")
    text = study(planes=ground, battery=outside)[0].rapid_shutdown
    # Where the inverter stands is not told: drawing, label and words keep to the safe side together.
    assert "ground-mounted" in text and "Drawn and labeled all the same" in text
    assert "30 V within 30 s" in study(planes=ground)[0].rapid_shutdown


def test_power_control_is_offered_only_where_the_edition_knows_it():
    assert "705.13" in checks(study(code_edition="2020"))["interconnection.busbar"].advice
    assert "705.13" not in checks(study(code_edition="2017"))["interconnection.busbar"].advice


def test_every_failing_check_has_advice():
    awkward = study(
        strings=(StringGroup("South roof", 18, 1, 1), StringGroup("South roof", 2, 4, 7)),
        service=replace(example_request().service, free_breaker_spaces=0),
        battery=replace(example_request().battery, listed_ul9540=False, usable_kwh=45.0, units=2),
    )
    failing = [check for check in awkward[0].checks if not check.passes]
    assert len(failing) >= 9
    assert all(check.advice for check in failing)
    assert not any(check.advice for check in awkward[0].checks if check.passes)


def test_every_unusable_value_is_named():
    request = example_request()
    bad = replace(
        request,
        module=replace(request.module, voc_v=0.0, temp_coeff_voc_pct_per_c=0.27),
        inverter=replace(request.inverter, mppt_inputs=0),
        strings=(StringGroup("No such roof", 9, 1, 1), StringGroup("South roof", 0, 1, 1)),
    )
    with pytest.raises(InputErrors) as caught:
        study_electrical(bad, LOW_C, HIGH_C)
    assert [problem.field for problem in caught.value.problems] == [
        "module.voc_v",
        "module.temp_coeff_voc_pct_per_c",
        "inverter.mppt_inputs",
        "strings[0].plane",
        "strings[1]",
    ]
