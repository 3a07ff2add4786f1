"""What holds of every wiring: wires only add, names mean nothing, order means nothing."""

from dataclasses import replace

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hvaccalc.call import CALLS
from hvaccalc.equipment.wiring.netlist import (
    Circuit,
    Contact,
    FanInput,
    Load,
    Netlist,
    Safety,
    Speed,
    Supply,
)

DEVICES = ("thermostat", "handler", "outdoor", "drive")
TERMINALS = [f"{device}.{n}" for device in DEVICES for n in range(6)]

pairs = st.tuples(st.sampled_from(TERMINALS), st.sampled_from(TERMINALS)).filter(
    lambda pair: pair[0] != pair[1]
)
speeds = st.one_of(st.none(), st.sampled_from([Speed(0.6, "36 Hz"), Speed(1.0, "60 Hz")]))


@st.composite
def netlists(draw):
    """Netlists of up to two supplies, with relays, safeties and fan inputs."""
    loads = tuple(
        Load(f"load {n}", ends) for n, ends in enumerate(draw(st.lists(pairs, min_size=1, max_size=5)))
    )
    calls = st.frozensets(st.sampled_from(CALLS[1:]), min_size=1)
    contacts = [Contact(ends, draw(calls)) for ends in draw(st.lists(pairs, max_size=5))]
    relays = [
        Contact(ends, coil=draw(st.sampled_from(loads)).name) for ends in draw(st.lists(pairs, max_size=2))
    ]
    return Netlist(
        wires=tuple(draw(st.lists(pairs, max_size=14))),
        supplies=tuple(Supply(*ends) for ends in draw(st.lists(pairs, min_size=1, max_size=2))),
        loads=loads,
        contacts=(*contacts, *relays),
        safeties=tuple(Safety(f"s{n}", ends) for n, ends in enumerate(draw(st.lists(pairs, max_size=2)))),
        inputs=tuple(FanInput(a, b, draw(speeds)) for a, b in draw(st.lists(pairs, max_size=3))),
    )


@given(netlists(), pairs, st.sampled_from(CALLS))
@settings(deadline=None, max_examples=300)
def test_a_wire_never_turns_a_load_off_except_by_a_short(netlist, wire, call):
    before, after = Circuit(netlist), Circuit(netlist.with_wires([wire]))
    # Joining the two ends of a load shorts whatever feeds it, which is a short as well.
    assume(not set(after.answer(call).shorted) - set(before.answer(call).shorted))
    assert set(before.answer(call).loads) <= set(after.answer(call).loads)
    was, now = (c.answer(call).speed for c in (before, after))
    assert (now.share if now else 0.0) >= (was.share if was else 0.0)


@given(netlists(), st.permutations(TERMINALS))
@settings(deadline=None, max_examples=150)
def test_renaming_terminals_changes_nothing(netlist, names):
    new = dict(zip(TERMINALS, names, strict=True))

    def named(pair):
        return new[pair[0]], new[pair[1]]

    renamed = Netlist(
        wires=tuple(map(named, netlist.wires)),
        supplies=tuple(Supply(*named((s.hot, s.common))) for s in netlist.supplies),
        loads=tuple(replace(load, ends=named(load.ends)) for load in netlist.loads),
        contacts=tuple(replace(c, ends=named(c.ends)) for c in netlist.contacts),
        safeties=tuple(replace(s, ends=named(s.ends)) for s in netlist.safeties),
        inputs=tuple(replace(i, terminal=new[i.terminal], common=new[i.common]) for i in netlist.inputs),
    )
    for call in CALLS:
        one, other = Circuit(netlist).answer(call), Circuit(renamed).answer(call)
        assert (one.loads, one.speed) == (other.loads, other.speed)
        assert [new[terminal] for terminal in one.inputs] == list(other.inputs)


@given(netlists(), st.randoms(use_true_random=False))
@settings(deadline=None, max_examples=150)
def test_order_of_pairs_and_within_pairs_is_irrelevant(netlist, random):
    wires = [wire[::-1] if random.random() < 0.5 else wire for wire in netlist.wires]
    contacts = list(netlist.contacts)
    random.shuffle(wires)
    random.shuffle(contacts)
    other = replace(netlist, wires=tuple(wires), contacts=tuple(contacts))
    assert Circuit(other).answers() == Circuit(netlist).answers()


@given(netlists(), st.sampled_from(CALLS))
@settings(deadline=None, max_examples=150)
def test_a_way_is_made_of_things_that_conduct(netlist, call):
    circuit = Circuit(netlist)
    conducting = {frozenset(edge) for edge in circuit.edges(call)}
    for load in netlist.loads:
        if load.name in circuit.answer(call).loads:
            ways = [circuit.path(call, s.hot, end) for s in netlist.supplies for end in load.ends]
            assert any(ways)
            for way in ways:
                assert all(frozenset(leg) in conducting for leg in zip(way, way[1:], strict=False))
