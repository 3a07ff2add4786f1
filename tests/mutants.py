"""Proof that the tests can fail: single mutations of the code, each of which the fast tests have to notice.

``python -m tests.mutants`` makes every mutation in a copy of the tree, runs the fast tests there with ``-x``,
and prints which died. ``--third K`` runs every third mutation from K (CI runs a rotating third by the day of
the year). At least 27 of 30 have to die; those known to survive are named in DEVELOPERS.md with the reason.
"""

import argparse
import datetime
import os
import queue
import re
import shutil
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from tests import fast
from tests.discovery import ROOT

MOST_SURVIVORS_SHARE = 0.1
TIMEOUT = 300
AT_ONCE = 2
COPIED = ("hvaccalc", "tests", "data", "pyproject.toml", "README.md", "docs", "notebooks")


@dataclass(frozen=True)
class Mutant:
    """One mutation: the text it replaces must stand exactly once in its file."""

    name: str
    file: str
    old: str
    new: str


def _m(name: str, file: str, old: str, new: str) -> Mutant:
    return Mutant(name, f"hvaccalc/{file}.py", old, new)


MUTANTS = (
    _m("psi off by 5 %", "unit_table", "_PSI, _BTU, _INHG = 6894.757293168", "_PSI, _BTU, _INHG = 7239.5"),
    _m("gauge for absolute", "units", "self.value + barometer if self.gauge", "self.value if self.gauge"),
    _m("standard air 5 % thin", "unit_table", "0.075 * 0.45359237", "0.07125 * 0.45359237"),
    _m("ton of 3,340 W", "unit_table", "_TON = 12000.0", "_TON = 11400.0"),
    _m("band in per cent halved", "units", "* width / 100)", "* width / 200)"),
    _m("water over air 5 % up", "physics/adiabatic_saturation", "RATIO = 0.621945", "RATIO = 0.653"),
    _m("latent heat 5 % up", "physics/water_vapour", "LATENT_HEAT_0C = 2501e3", "LATENT_HEAT_0C = 2626e3"),
    _m("heat of dry air 5 % up", "physics/adiabatic_saturation", "CP_DRY = 1006.0", "CP_DRY = 1056.0"),
    _m("atmosphere's exponent", "physics/moist_air_properties", "** 5.2559", "** 5.5"),
    _m(
        "dew for bubble in the liquid line",
        "diagnosis/readings/saturation",
        "self.fluid.bubble_temperature(self.pressure) + self.error",
        "self.fluid.dew_temperature(self.pressure) + self.error + 0.3",
    ),
    _m(
        "suction saturation 1 K low",
        "diagnosis/circuits/circuit_readings",
        "None if read.suction is None else read.suction.dew",
        "None if read.suction is None else read.suction.dew - 1.0",
    ),
    _m(
        "sign of a difference",
        "diagnosis/circuits/circuit_readings",
        "Datum(upper - lower,",
        "Datum(lower - upper,",
    ),
    _m(
        "sign of the chart offset",
        "diagnosis/circuits/circuit_readings",
        "return temperature - (liquid.bubble - liquid.error - target), note",
        "return (liquid.bubble - liquid.error - target) - temperature, note",
    ),
    _m(
        "liquid at 0.91 of discharge",
        "practice/circuits",
        '"0.94",\n    "0.98",',
        '"0.89",\n    "0.93",',
    ),
    _m(
        "condensate heat forgotten",
        "diagnosis/air/air_states",
        "carried = water * moist_air.liquid_water_enthalpy(leaving.dry_bulb)",
        "carried = 0.0 * water",
    ),
    _m(
        "film against the flow",
        "equipment/coil/coil_circuits",
        "(coil.film_exponent - 1.0)",
        "coil.film_exponent",
    ),
    _m(
        "Lewis number 0.95",
        "equipment/coil/coil_march",
        "condensed = effectiveness * np",
        "condensed = 0.95 * effectiveness * np",
    ),
    _m(
        "fins 20 % worse",
        "equipment/coil/coil_calibration",
        "(1.0 / efficiency - 1.0) / (",
        "1.2 * (1.0 / efficiency - 1.0) / (",
    ),
    _m("percentile shifted", "ensemble", "PERCENTILES = (2.5, 97.5)", "PERCENTILES = (5.0, 95.0)"),
    _m("normal band 5 % narrow", "ensemble", "Z95 = 1.959963984540054", "Z95 = 1.862"),
    _m("central row among the draws", "ensemble", "rows = draws[1:][possible[1:]]", "rows = draws[possible]"),
    _m(
        "gate of full speed removed",
        "diagnosis/charge/gates",
        'name, GateState.UNMET, f"the fan turns at',
        'name, GateState.MET, f"the fan turns at',
    ),
    _m(
        "gate of ice removed",
        "diagnosis/charge/gates",
        'return Gate(name, GateState.UNMET, f"ice on',
        'return Gate(name, GateState.MET, f"ice on',
    ),
    _m("enough air at 70 %", "practice/air", 'ENOUGH_AIR = number("90 %"', 'ENOUGH_AIR = number("70 %"'),
    _m(
        "charge within 5 °F",
        "diagnosis/charge/charge_verdict",
        "display, tolerance = draws.job.display, held.tolerance",
        "display, tolerance = draws.job.display, held.tolerance * 5 / 3",
    ),
    _m("verdict by half of the draws", "practice/statements", 'MOST = number("90 %"', 'MOST = number("50 %"'),
    _m("contrast the wrong way", "diagnosis/charge/contrast", "np.mean(rows > 0.0)", "np.mean(rows < 0.0)"),
    _m(
        "freezing above 0 °C",
        "diagnosis/air/freeze",
        "share(coldest < FREEZING_POINT,",
        "share(coldest > FREEZING_POINT,",
    ),
    _m("full speed from 50 %", "practice/air", 'FULL_SPEED = number("97 %"', 'FULL_SPEED = number("50 %"'),
    _m("fan at its rated airflow", "practice/air", '"93 %"', '"98 %"'),
    _m(
        "contradiction at half the draws",
        "ensemble",
        "np.mean(rows <= 0.0) < OUTSIDE / 2.0",
        "np.mean(rows <= 0.0) < 0.6",
    ),
    _m("trap without its inch", "equipment/drain/trap", "head(suction) + MARGIN", "head(suction)"),
    _m("hydraulic radius to the half", "physics/pipe_flow", "** (2.0 / 3.0)", "** 0.5"),
    _m(
        "cylinder's caution at 100 °F",
        "practice/refrigerant",
        'CAUTIOUS_TEMPERATURE = number(\n    "130 degF"',
        'CAUTIOUS_TEMPERATURE = number(\n    "100 degF"',
    ),
)


def killed(mutant: Mutant, folder: Path) -> bool:
    """Whether the fast tests go red on a mutation, made in a copy and taken back after."""
    path = folder / mutant.file
    text = path.read_text("utf-8")
    if text.count(mutant.old) != 1:
        raise SystemExit(f"{mutant.name}: its text stands {text.count(mutant.old)} times in {mutant.file}")
    path.write_text(text.replace(mutant.old, mutant.new), "utf-8")
    try:
        # The copy comes first on the path, before an installed package.
        run = subprocess.run(
            _command(mutant.file),
            cwd=folder,
            env={**os.environ, "PYTHONPATH": str(folder)},
            capture_output=True,
            timeout=TIMEOUT,
        )
    except subprocess.TimeoutExpired:
        return True
    finally:
        path.write_text(text, "utf-8")
    return run.returncode == 1


def _copy(folder: Path) -> Path:
    """A copy of what the fast tests need."""
    for part in COPIED:
        if (source := ROOT / part).is_dir():
            shutil.copytree(source, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
        elif source.exists():
            shutil.copy(source, folder / part)
    return folder


def _command(mutated: str = "") -> list[str]:
    """The fast tests in one process: stopped at the first failure, workers would end with the status of an
    interruption, not with that of a failed test. Those named after the mutated module come first."""
    words = set(re.split("[/_.]", mutated)) - {"hvaccalc", "diagnosis", "equipment", "physics", "py", ""}
    command = fast.command("-x", "-n", "0", "-p", "no:cacheprovider")
    options = [part for part in command if part not in fast.FAST]
    return [*options, *sorted(fast.FAST, key=lambda path: not words & set(re.split("[/_.]", path)))]


def _survivor(mutant: Mutant, copies: queue.Queue[Path]) -> str | None:
    """Name of a mutant that the tests do not notice, tried in a copy that is free."""
    folder = copies.get()
    try:
        dead = killed(mutant, folder)
    finally:
        copies.put(folder)
    print(f"{'killed  ' if dead else 'SURVIVED'} {mutant.name} ({mutant.file})", flush=True)
    return None if dead else mutant.name


def chosen(third: int | None) -> tuple[Mutant, ...]:
    """All mutants, or every third from the given one."""
    return MUTANTS if third is None else MUTANTS[third % 3 :: 3]


def main() -> int:
    """Make the mutations and return 1 if too many survive."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--third", type=int, help="every third mutation, from this one")
    parser.add_argument("--today", action="store_true", help="the third of the day")
    parser.add_argument(
        "--no-baseline", action="store_true", help="the tests are known to pass, or run whole elsewhere"
    )
    options = parser.parse_args()
    third = datetime.date.today().timetuple().tm_yday if options.today else options.third
    mutants = chosen(third)
    with tempfile.TemporaryDirectory() as name:
        copies: queue.Queue[Path] = queue.Queue()
        for number in range(AT_ONCE):
            copies.put(_copy(Path(name) / str(number)))
        sound = (
            options.no_baseline
            or not subprocess.run(_command(), cwd=Path(name) / "0", capture_output=True).returncode
        )
        if not sound:
            raise SystemExit("the fast tests fail without any mutation")
        with ThreadPoolExecutor(AT_ONCE) as pool:
            survivors = [name for name in pool.map(lambda one: _survivor(one, copies), mutants) if name]
    print(f"{len(mutants) - len(survivors)} of {len(mutants)} mutants killed")
    return 1 if len(survivors) > MOST_SURVIVORS_SHARE * len(mutants) else 0


if __name__ == "__main__":
    sys.exit(main())
