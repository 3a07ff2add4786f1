"""Charging rules and tables, tubes and line losses against printed values; charge against a correlation.

Printed tables are held to their digit. Cells that a printing has wrong are named beside what they must not
read. Rows, tolerances and tables that stand from memory say so in the names of their tests and in their data.
"""

import math

import numpy as np
import pytest
from fluids.friction import friction_factor as library_friction

from hvaccalc import units as u
from hvaccalc.diagnosis.charge import fault_signs as signs
from hvaccalc.diagnosis.charge.charge_rules import (
    BEYOND,
    DASH,
    INSIDE,
    chosen_by,
    editions,
    linear_rule,
    split_table,
    superheat_table,
)
from hvaccalc.diagnosis.charge.fault_signs import CircuitFault
from hvaccalc.equipment.circuit import refrigerant_lines
from hvaccalc.equipment.circuit.refrigerant_lines import FOOT, INCH, tube
from hvaccalc.physics.refrigerant import refrigerant
from tests import charge_correlation

PSI = 6894.757
EXACT = 1e-6


def superheat(outdoor: float, wet_bulb: float) -> float:
    """Target superheat of the printed table [°F]."""
    return float(superheat_table().at(u.degF(outdoor), u.degF(wet_bulb))) * 1.8


# ------------------------------------------------------------------ target superheat
PRINTED = {
    (55, 50): 9, (55, 76): 45, (65, 52): 6, (65, 66): 27, (70, 54): 7, (70, 70): 30, (75, 56): 6,
    (75, 70): 28, (80, 58): 5, (80, 68): 21, (80, 72): 28, (85, 62): 8, (85, 76): 33, (95, 64): 6,
    (95, 66): 10, (95, 68): 14, (100, 66): 8, (100, 72): 20, (110, 68): 6, (115, 70): 8, (115, 72): 14,
    (115, 76): 23,
}  # fmt: skip
"""38VTA040 Dimensions and Installation Guide, table 4: outdoor dry bulb and wet bulb, superheat [°F]."""


@pytest.mark.parametrize("cell", PRINTED)
def test_cells_of_the_superheat_table(cell):
    """38VTA040, table 4, to its digit."""
    assert superheat(*cell) == pytest.approx(PRINTED[cell], abs=EXACT)


@pytest.mark.parametrize(
    "cell", [(65, 50), (70, 52), (75, 54), (80, 56), (85, 60), (95, 62), (100, 64), (110, 66), (115, 68)]
)
def test_dashes_of_the_superheat_table_are_refused(cell):
    """38VTA040, table 4: "-" means do not charge."""
    assert math.isnan(superheat(*cell))
    assert superheat_table().reason(u.degF(cell[0]), u.degF(cell[1])) == DASH


@pytest.mark.parametrize("cell", [(83, 60.5), (97, 63), (76, 53.5)])
def test_beside_a_dash_nothing_is_interpolated(cell):
    """One corner of the cell is a dash: no answer comes of it."""
    assert math.isnan(superheat(*cell))


@pytest.mark.parametrize("celsius, outdoor, wet_bulb", [(10.0, 55, 50), (10.0, 60, 50), (30.0, 86, 70)])
def test_another_unit_does_not_move_an_edge(celsius, outdoor, wet_bulb):
    """10 °C is the printed 50 °F, whatever the last bit of the conversion."""
    at_edge = outdoor == wet_bulb + 16
    dry, wet = (u.degC(celsius), u.degF(70)) if at_edge else (u.degF(outdoor), u.degC(celsius))
    assert superheat_table().reason(dry, wet) == INSIDE
    assert superheat_table().at(dry, wet) * 1.8 == pytest.approx(superheat(outdoor, wet_bulb), abs=1e-6)


def test_draws_beyond_an_edge_are_taken_at_it():
    """At 55 °F outdoors the table prints 9 °F for 50 °F wet bulb: what is drier is taken so."""
    wet = u.degF(np.array([50.0, 49.0, 50.0, 48.0, 50.0]))
    target, beyond = superheat_table().drawn(np.full(5, u.degF(55.0)), wet)
    assert target * 1.8 == pytest.approx(np.full(5, 9.0)) and beyond == 0.5


@pytest.mark.parametrize("cell", [(54, 60), (116, 70), (80, 49), (80, 77)])
def test_beyond_the_superheat_table_is_refused(cell):
    assert math.isnan(superheat(*cell))
    assert superheat_table().reason(u.degF(cell[0]), u.degF(cell[1])) == BEYOND


@pytest.mark.parametrize(
    ("cell", "between"),
    [((95, 67), 12.0), ((97.5, 66), 9.0), ((97.5, 67), 11.0), ((55, 51), 10.5), ((85, 71), 24.0)],
)
def test_between_cells_by_hand(cell, between):
    """Halves and quarters of the printed neighbours: (10 + 14)/2, (10 + 8)/2, (10 + 14 + 8 + 12)/4 …"""
    assert superheat(*cell) == pytest.approx(between, abs=EXACT)


def test_a_misprinted_26_is_not_read():
    """One printing has 26 at 80/70 between 21 and 28; sister editions 25 (memory). Neither the cell nor what
    lies between it and its neighbours follows the misprint."""
    assert superheat(80, 70) == pytest.approx(25.0, abs=EXACT)
    assert superheat(80, 69) == pytest.approx(23.0, abs=EXACT)  # 23.5 by the misprint
    assert superheat(82.5, 70) == pytest.approx(23.5, abs=EXACT)  # 24 by the misprint
    (misprint,) = [m for m in superheat_table().misprints if (m.row, m.column) == (80.0, 70.0)]
    assert misprint.read * 1.8 == pytest.approx(26.0) and misprint.holds * 1.8 == pytest.approx(25.0)


def test_an_si_edition_prints_7_8_where_13_3_belongs():
    """24 °C outdoors, 20 °C wet bulb: 24 °F of superheat are 13.3 K, not 7.8."""
    assert float(superheat_table().at(u.degF(75), u.degF(68))) == pytest.approx(13.3, abs=0.05)
    assert [m.read for m in superheat_table().misprints if m.row == 75.0] == [pytest.approx(7.8)]


def test_a_misprint_would_stand_out_of_its_neighbours():
    """Every inner cell lies within 0.75 °F of the mean of its four neighbours; the misprinted 26 does not."""

    def unevenness(cells: np.ndarray) -> np.ndarray:
        middle = cells[1:-1, 1:-1]
        around = (cells[:-2, 1:-1] + cells[2:, 1:-1] + cells[1:-1, :-2] + cells[1:-1, 2:]) / 4.0
        return np.abs(middle - around)

    cells = superheat_table().cells * 1.8
    assert np.nanmax(unevenness(cells)) <= 0.75 + EXACT
    wrong = cells.copy()
    wrong[5, 10] = 26.0
    assert np.nanmax(unevenness(wrong)) > 1.2


def test_the_table_against_the_linear_rule():
    """Published comparison of the two: 118 cells, the rule -6.5 to +3.0 °F beside them, mean 1.17 off (with
    the misprinted 26; 1.16 without); four dashes where the rule says 5 °F or more.

    Holds the rows that stand from memory too.
    """
    grid = superheat_table()
    rule = linear_rule(grid.rows[:, None], grid.columns[None, :]) * 1.8
    beside = (rule - grid.cells * 1.8)[np.isfinite(grid.cells)]
    assert beside.size == 118
    assert (beside.min(), beside.max()) == (pytest.approx(-6.5), pytest.approx(3.0))
    assert np.mean(np.abs(beside)) == pytest.approx(1.17, abs=0.015)
    tempting = {
        (round(float(u.to(grid.rows[i], "degF", "temperature"))), int(50 + 2 * j))
        for i, j in zip(*np.nonzero(np.isnan(grid.cells) & (rule >= 5.0 - EXACT)), strict=True)
    }
    assert tempting == {(85, 60), (90, 60), (95, 62), (100, 64)}


def test_trade_training_examples():
    """Article "Target Superheat": rule 8 °F at 96 outdoors and 64 wet bulb; at 100/62 below 5, invalid."""
    assert float(linear_rule(u.degF(96), u.degF(64))) * 1.8 == pytest.approx(8.0)
    assert float(linear_rule(u.degF(100), u.degF(62))) * 1.8 < 5.0
    assert math.isnan(superheat(100, 62))


RA32_ROW_55 = (
    *(8.8, 10.1, 11.5, 12.8, 14.2, 15.6, 17.1, 18.5, 20.0, 21.5, 23.1, 24.6, 26.2, 27.8, 29.4, 31.0, 32.4),
    *(33.8, 35.1, 36.4, 37.7, 39.0, 40.2, 41.5, 42.7, 43.9, 45.0),
)


def test_row_55_of_the_finer_table_from_memory():
    """Title 24 table RA3.2-2, outdoors 55 °F, wet bulb 50 to 76 by 1 °F, from memory: within 0.7 of the
    integers, which look partly truncated; between them by as much again."""
    found = [superheat(55, wet_bulb) for wet_bulb in range(50, 77)]
    assert np.max(np.abs(np.array(found) - RA32_ROW_55)) <= 0.75


# ------------------------------------------------------------------ rules
@pytest.mark.parametrize(
    ("edition", "role", "superheat", "subcooling", "split", "valve"),
    [
        ("Title 24 2008", "installer", 5, 3, 3, (4, 25)),
        ("Title 24 2008", "verifier", 6, 4, 4, (3, 26)),
        ("Title 24 2013", "verifier", 8, 6, 4, (2, 26)),
    ],
)
def test_tolerances_of_the_rules(edition, role, superheat, subcooling, split, valve):
    """RA3.2.2.5 to 7, CEC-400-2008-004-CMF; the verifier's subcooling and 2013 from memory."""
    found = chosen_by(edition, role).tolerances
    for name, value in (("superheat", superheat), ("subcooling", subcooling), ("split", split)):
        assert getattr(found, name) * 1.8 == pytest.approx(value)
    assert [end * 1.8 for end in found.valve] == pytest.approx(list(valve))


def test_what_is_from_memory_says_so():
    """The verifier's subcooling of 2008 and all of 2013; the other figures of 2008 were read."""
    old, new = editions()["Title 24 2008"], editions()["Title 24 2013"]
    assert set(old.roles["installer"].standing.values()) == {"published"}
    assert [k for k, v in old.roles["verifier"].standing.items() if v == "memory"] == ["subcooling"]
    assert set(new.roles["verifier"].standing.values()) == {"memory"}


def test_outdoors_and_weighing_in():
    """From 55 °F outdoors; 2008: below, weigh in, which a verifier may not; 2013: at any temperature."""
    for edition in editions().values():
        assert u.to(edition.outdoor_from, "degF", "temperature") == pytest.approx(55.0)
    assert "may not" in editions()["Title 24 2008"].weigh_in
    assert "any" in editions()["Title 24 2013"].weigh_in


# ------------------------------------------------------------------ temperature split, from memory
@pytest.mark.parametrize(
    ("dry_bulb", "wet_bulb", "split"),
    [(70, 50, 20.9), (70, 76, 3.2), (72, 63, 17.0), (75, 67, 15.5), (78, 54, 24.5), (80, 67, 18.3)],
)
def test_target_split_from_memory(dry_bulb, wet_bulb, split):
    """Title 24 table RA3.2-3, from memory."""
    found = split_table().at(u.degF(dry_bulb), u.degF(wet_bulb))
    assert float(found) * 1.8 == pytest.approx(split, abs=EXACT)


def test_target_split_rises_with_dry_bulb_from_memory():
    """0.54 °F for each °F of dry bulb; the printed tenths leave ± 0.05 for steps of 2 to 3 °F."""
    grid = split_table()
    slope = np.diff(grid.cells, axis=0) / np.diff(grid.rows)[:, None]
    assert np.nanmax(np.abs(slope - 0.54)) < 0.1 / 2.0 + 0.011


@pytest.mark.parametrize(("dry_bulb", "wet_bulb"), [(78, 50), (79, 53), (69, 60), (85, 60), (75, 77)])
def test_target_split_refused(dry_bulb, wet_bulb):
    """Dashes of the table, and air that is not carried."""
    assert math.isnan(float(split_table().at(u.degF(dry_bulb), u.degF(wet_bulb))))


# ------------------------------------------------------------------ tubes and lines
BORES = {
    "1/4": (0.250, 0.190), "5/16": (0.3125, 0.248), "3/8": (0.375, 0.311), "1/2": (0.500, 0.436),
    "5/8": (0.625, 0.555), "3/4": (0.750, 0.680), "7/8": (0.875, 0.785), "1-1/8": (1.125, 1.025),
    "1-3/8": (1.375, 1.265), "1-5/8": (1.625, 1.505), "2-1/8": (2.125, 1.985), "2-5/8": (2.625, 2.465),
}  # fmt: skip


@pytest.mark.parametrize("size", BORES)
def test_bores_behind_the_line_losses(size):
    """ASTM B280 and B88 type L, inside diameters as printed [in]."""
    outside, inside = BORES[size]
    made = tube(outside * INCH)
    assert made is not None and made.inside / INCH == pytest.approx(inside, abs=5e-4)


@pytest.mark.parametrize("outside", [9.0, 0.1, 0.45, 1.0])
def test_no_such_tube(outside):
    assert tube(outside * INCH) is None


@pytest.mark.parametrize("reynolds", [500.0, 1e4, 1e5, 1e6])
@pytest.mark.parametrize("roughness", [1e-5, 1e-3])
def test_friction_factor_against_the_fluids_library(reynolds, roughness):
    """Colebrook's equation by the library `fluids`; Haaland's form states 2 %."""
    found = float(refrigerant_lines.friction_factor(reynolds, roughness))
    assert found == pytest.approx(library_friction(reynolds, roughness), rel=0.02)


@pytest.mark.parametrize(
    ("fluid", "temperature", "printed"), [("R-410A", 100.0, 0.43), ("R-22", 100.0, 0.50)]
)
def test_lift_of_a_foot_of_liquid(fluid, temperature, printed):
    """Common practice, no source: a liquid riser costs 0.5 psi/ft with R-22, 0.43 with R-410A; to the digit
    and a little for the liquid's warmth."""
    density = refrigerant(fluid).saturated_liquid(u.degF(temperature)).density
    assert float(refrigerant_lines.lift_loss(FOOT, density)) / PSI == pytest.approx(printed, abs=0.015)


def test_a_suction_line_by_hand():
    """0.19 kg/s of R-410A gas at 118 psig and 50 °F (34 kg/m3) through 50 ft of 1-1/8 in., 1.2e-5 Pa s.

    Bore 5.324e-4 m2; 357 kg/m2s; Reynolds 774,000; Colebrook with 1.5 µm: f 0.0132; f L/d 7.73; velocity
    pressure 1,873 Pa; 14.5 kPa = 2.1 psi. Haaland's form states 2 %.
    """
    loss = refrigerant_lines.friction_loss(0.19, 1.025 * INCH, 50.0 * FOOT, 34.0, 1.2e-5)
    assert float(loss) == pytest.approx(14.5e3, rel=0.02)


# ------------------------------------------------------------------ charge against a correlation
POINTS = [
    (-0.30, 35.0, 0.7978, 0.9634, 0.8281),
    (-0.30, 27.8, 0.7952, 0.9692, 0.8206),
    (-0.20, 35.0, 0.8882, 0.9779, 0.9082),
    (-0.10, 35.0, 0.9556, 0.9901, 0.9651),
    (+0.10, 35.0, 1.0120, 1.0148, 0.9972),
    (+0.20, 35.0, 1.0212, 1.0353, 0.9864),
    (+0.30, 35.0, 1.0276, 1.0615, 0.9681),
]
"""Charge off by, outdoors [°C], capacity, power and their ratio, at 26.7 °C indoors."""


@pytest.mark.parametrize("point", POINTS)
def test_check_points_of_the_charge_correlation(point):
    """NIST TN 1848, to its four digits."""
    fraction, outdoor, capacity, power, efficiency = point
    found = [charge_correlation.ratio(what, fraction, outdoor) for what in ("capacity", "power")]
    assert found == pytest.approx([capacity, power], abs=1e-4)
    assert found[0] / found[1] == pytest.approx(efficiency, abs=1.5e-4)


@pytest.mark.parametrize(
    ("fraction", "airflow", "capacity"),
    [
        (-0.25, 1.0, 0.8462),
        (-0.25, 0.8, 0.8196),
        (-0.25, 0.6, 0.7811),
        (-0.10, 0.8, 0.9224),
        (0.10, 0.8, 0.9757),
    ],
)
def test_charge_and_airflow_combined(fraction, airflow, capacity):
    """NIST TN 1848 with the flow fraction of NREL/TP-5500-56354, as a public simulation combines them."""
    assert charge_correlation.with_airflow(fraction, airflow) == pytest.approx(capacity, abs=1e-4)


@pytest.mark.parametrize(
    ("what", "fraction"),
    [("capacity", f) for f in (-0.20, -0.10, 0.10, 0.20)] + [("power", f) for f in (-0.20, -0.10, 0.10)],
)
def test_the_unit_follows_the_correlation(what, fraction):
    """4 %, as far as a charge model with assumed volumes can be held to one measured unit; the validation
    page shows how far it strays at 30 %."""
    expected = charge_correlation.ratio(what, fraction)
    assert charge_correlation.package(what, fraction) == pytest.approx(expected, abs=0.04)


def test_power_of_an_overcharged_unit_rises_too_much(record_property):
    """At 20 % too much charge the unit's power rises by 6 % more than the correlation: its condenser is
    smaller than the tested one's and floods sooner. Shown on the validation page, not hidden."""
    beyond = charge_correlation.package("power", 0.20) - charge_correlation.ratio("power", 0.20)
    record_property("beyond_published", beyond)
    assert 0.0 < beyond < 0.08


# ------------------------------------------------------------------ signs
RULES = {
    CircuitFault.LOW_CHARGE: "-+--",
    CircuitFault.WEAK_COMPRESSOR: "+---",
    CircuitFault.RESTRICTION: "-+-+",
    CircuitFault.CONDENSER_AIR: "+-+-",
    CircuitFault.LOW_AIRFLOW: "----",
}
"""Li and Braun, table 1-1: suction saturation, superheat, condensing saturation, subcooling."""


def pattern(words: str, readings: tuple[str, ...] = signs.READINGS) -> dict[str, int]:
    """Signs by reading."""
    return {name: {"-": -1, "0": 0, "+": 1}[word] for name, word in zip(readings, words, strict=False)}


@pytest.mark.parametrize("fault", RULES)
@pytest.mark.parametrize("metering", ["fixed orifice", "TXV"])
def test_each_rule_finds_its_own_fault(fault, metering):
    """Rossi and Braun as Li and Braun tabulate them. A valve's superheat stays neutral."""
    words = RULES[fault] if metering == "fixed orifice" else RULES[fault][0] + "0" + RULES[fault][2:]
    assert fault in signs.consistent(pattern(words), metering)


def test_only_what_the_rules_allow_is_found_with_the_air_drop():
    """With the air's drop read, the rules tell all five faults apart on a fixed orifice."""
    drops = dict.fromkeys(RULES, "-") | {CircuitFault.LOW_AIRFLOW: "+"}
    for fault, words in RULES.items():
        found = signs.consistent(pattern(words + drops[fault]), "fixed orifice")
        assert set(found) & set(RULES) == {fault}


@pytest.mark.parametrize("words", ["---", "-0-", "-00", "-+0", "-++"])
def test_low_air_and_restriction_are_not_told_apart_without_air(words):
    """NIST campaign: 146 of 278 tests with low air looked like a restriction to a classifier.

    With suction saturation, superheat and subcooling alone neither goes without the other, but where the
    liquid is short and the charge stands accused.
    """
    three = ("suction saturation", "superheat", "subcooling")
    found = set(signs.consistent(pattern(words, three), "TXV"))
    assert {CircuitFault.LOW_AIRFLOW, CircuitFault.LOW_CHARGE} <= found or {
        CircuitFault.LOW_AIRFLOW,
        CircuitFault.RESTRICTION,
    } <= found
    if words[2] != "-":
        assert CircuitFault.RESTRICTION in found


def test_low_suction_alone_never_means_low_charge():
    """Suction saturation low, nothing else: several faults; with the airflow proved still several."""
    for proved in (False, True):
        found = signs.consistent(
            pattern("-00", ("suction saturation", "superheat", "subcooling")), "TXV", proved
        )
        assert CircuitFault.LOW_CHARGE in found and len(found) > 1


def test_overcharge_signs_of_two_valve_units():
    """NIST campaign: subcooling, power and condensing pressure high, superheat low."""
    found = signs.consistent(pattern("0-++"), "TXV", True)
    assert CircuitFault.OVERCHARGE in found and CircuitFault.LOW_CHARGE not in found
    assert {CircuitFault.CONDENSER_AIR, CircuitFault.NON_CONDENSABLES, CircuitFault.HEAD_CONTROL} <= set(
        found
    )
