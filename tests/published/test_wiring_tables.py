"""Twelve standard unit wirings against the terminal tables of thermostat instructions, call by call.

The meaning of the letters is published with every thermostat; the tables' rows, the fan's speed at
each call and defrost are common practice, no source. Exact: a load is on or it is not.
"""

import pytest

from tests.standard_wirings import CALLS, STANDARD, analysed, level


@pytest.mark.parametrize("name", STANDARD)
def test_loads_of_every_call(name):
    """Loads on in each call are exactly those of the table, no call energises none."""
    wiring = STANDARD[name]
    calls = analysed(wiring).calls
    assert {call: set(calls.designed.answer(call).loads) for call in CALLS} == {
        call: wiring.loads.get(call, set()) for call in CALLS
    }


@pytest.mark.parametrize("name", STANDARD)
def test_fan_of_every_call(name):
    """Low with the fan alone and the first stage, full above and in heating (common practice)."""
    wiring = STANDARD[name]
    calls = analysed(wiring).calls
    assert {call: level(calls.designed.answer(call)) for call in CALLS} == {
        call: wiring.fan.get(call, "off") for call in CALLS
    }


@pytest.mark.parametrize("name", STANDARD)
def test_thermostat_terminals_of_every_call(name):
    """Hot letters at the thermostat: the table's ones and no other; G stays off in gas heat."""
    wiring = STANDARD[name]
    circuit = analysed(wiring).calls.designed
    letters = [t for t in wiring.terminals if t.startswith("thermostat.") and t[11] not in "RC"]
    supplies = circuit.netlist.supplies
    for call in [c for c in CALLS if c != "defrost"]:
        nets = circuit.nets(call)
        hot = {t[11:] for t in letters if any(nets.same(t, s.hot) for s in supplies)}
        assert hot == set(wiring.letters.get(call, "").split()), call


@pytest.mark.parametrize("name", STANDARD)
def test_nothing_is_wrong_with_a_standard_wiring(name):
    analysis = analysed(STANDARD[name])
    calls = analysis.calls
    assert not (calls.faults or calls.back_feeds or calls.combinations or calls.unreached or calls.measure)
    keys = {f.key for f in analysis.findings if f.key.startswith("staging.")}
    assert not keys & {"staging.fault", "staging.backfeed", "staging.measure"}
    assert keys >= {f"staging.{call.replace(' ', '_')}" for call in STANDARD[name].loads}
