"""Control wiring as a netlist: calls, faults, measures, voltages."""
