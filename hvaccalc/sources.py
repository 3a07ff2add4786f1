"""Citations by id. Common practice and memory are sources too, and are marked so."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Source:
    """Where a statement comes from.

    Attributes
    ----------
    id : str
    text : str
        Title, edition, section.
    standing : str
        published, common practice or memory.
    """

    id: str
    text: str
    standing: str = "published"


def _sources(*rows: tuple[str, str] | tuple[str, str, str]) -> dict[str, Source]:
    return {row[0]: Source(*row) for row in rows}


SOURCES = _sources(
    (
        "ashrae_moist_air",
        "ASHRAE Handbook - Fundamentals (2017), chapter 1: moist air as an ideal mixture; "
        "saturation pressure "
        "of Hyland and Wexler; standard atmosphere",
    ),
    (
        "reference_equations",
        "Refrigerant properties fitted to the reference equations of state of CoolProp (Bell "
        "et al., Ind. Eng. "
        "Chem. Res. 53, 2014, 2498-2508)",
    ),
    (
        "title24_charge",
        "California Title 24, Residential Appendix RA3.2: charge verification rules and tolerances",
    ),
    (
        "residual_signs",
        "Li and Braun, Fault Detection and Diagnostics for Rooftop Air Conditioners, table "
        "1-1: signs of faults "
        "in saturation, superheat and subcooling",
    ),
    ("traverse", "Traverse points by log-Tchebycheff and log-linear rules, ISO 3966; velocities averaged"),
    (
        "pressure_drop_scaling",
        "Exponents of pressure drop over airflow: coil 1.6-1.9, filter 1.2-1.8",
        "memory",
    ),
    (
        "fan_curve",
        "The fan maker's table as typed; system effect as a band, after AMCA Publication 201",
        "memory",
    ),
    (
        "chamber_closure",
        "Refrigerant-side and air-side capacity close to 6 %: chamber tests of NISTIR 7350 (2006), "
        "appendix D",
    ),
    ("fan_checks", "Limits of belts, wheels, coil faces and traps as named beside each", "common practice"),
    (
        "fan_power",
        "Fan power over speed: cube of the fan laws with standing losses of drive and motor; within the "
        "part-load curves of ASHRAE 90.1 table G3.1.3.15 and DOE-2",
    ),
    (
        "part_load_latent",
        "Henderson and Rengarajan, ASHRAE Trans. 102(1), 1996, in the form of the EnergyPlus Engineering "
        "Reference: part-load latent model",
    ),
    ("fan_staging_rules", "Editions of energy codes in data/fan_staging_rules.toml; check the adopted code"),
    ("fan_laws", "Fan affinity laws at one system and density (any fan handbook)", "common practice"),
    (
        "coil_march",
        "Counter-flow wet-coil march (Threlkeld; Braun, Klein, Mitchell, ASHRAE Trans. "
        "95(2), 1989), calibrated on "
        "the rating; held against the chamber tests of NISTIR 7350 (2006)",
    ),
    ("instrument_defaults", "Accuracies of data/instruments.toml where a job names none", "common practice"),
    ("full_speed_airflow", "Field surveys find airflow below rating: 0.93 of it, sd 0.12", "common practice"),
    ("suction_line", "1 to 2 °F of saturation between coil and outdoor unit", "common practice"),
    ("nameplate", "The unit's own label and data sheet, as typed in the job"),
    (
        "design_rating",
        "Usual rating conditions of comfort cooling (80/67 °F indoors, 95 °F outdoors), AHRI 340/360",
    ),
    ("rated_suction", "Rated suction saturation of comfort-cooling coils about 48 °F", "common practice"),
    (
        "terminal_letters",
        "Terminal letters R, C, G, Y, W, O, B as printed in thermostat instructions; which of them a call "
        "closes, and that the fan runs low with the first stage and full above",
        "common practice",
    ),
    (
        "control_jumpers",
        "Temporary control jumpers: within one supply, tagged, dated, never over a safety",
        "common practice",
    ),
    (
        "condenser_over_outdoor",
        "Condensing above outdoor air: 17 to 24 °F on sound units, 41 °F with a blocked "
        "condenser (NISTIR 7350, "
        "2006; ORNL test building, Granderson et al., Scientific Data 7, 2020)",
    ),
    ("copper_tube", "Sizes of refrigerant tube: ASTM B280, from 1-5/8 in. ASTM B88 type L"),
    (
        "line_friction",
        "Darcy-Weisbach with Haaland's friction factor (Journal of Fluids Engineering 105, 1983); fittings "
        "as 1.1 to 1.6 of the length, viscosity of refrigerants as a band from memory",
    ),
    ("line_limits", "Longest line and largest rise of one split system", "common practice"),
    (
        "standing_pressure",
        "A circuit at rest stands at the saturation of its coldest liquid; air in it adds to that",
        "common practice",
    ),
    (
        "superheat_table",
        "38VTA040 Dimensions and Installation Guide, table 4: target superheat of fixed orifices; three of "
        "its rows from memory",
    ),
    ("temperature_split", "California Title 24, RA3.2, table RA3.2-3: target temperature split", "memory"),
    (
        "coupled_unit",
        "Balance of coil, compressors, condensers, valves, charge and fan, calibrated on the "
        "rating; held against the "
        "chamber tests of NISTIR 7350 (2006), see docs/validation.md",
    ),
    (
        "charge_inventory",
        "Charge by component from volumes, densities and void fractions of Baroczy (1965), Zivi (1964), "
        "Rouhani and Axelsson (1970), as in the fluids library; held against a first-principles model of a "
        "3-ton split, see docs/validation.md",
    ),
    (
        "line_adders",
        "Charge for each foot of field line as printed in the installation manuals of data/line_adders.toml; "
        "bores of ASTM B280 and B88",
    ),
    (
        "coil_volumes",
        "Inside volumes of coils and lines for each ton, where none is typed: about those of a published "
        "sample unit",
        "memory",
    ),
    (
        "cylinder_fill",
        "Recovery cylinders: AHRI Guideline K-2004 (0.8 x water capacity x specific gravity at 77 °F); "
        "49 CFR 173.304a(a)(2), filling densities; 49 CFR 173.304(b), not liquid-full at 131 °F; cautious: "
        "density at 130 °F",
    ),
    (
        "pump_down",
        "Pump-down: 80 % of condenser and receiver filled with liquid at the ambient, above atmospheric "
        "pressure",
        "common practice",
    ),
    (
        "high_pressure_cut_outs",
        "High-pressure cut-outs of R-410A usually open at about 610 to 650 psig",
        "common practice",
    ),
    ("hoses", "Hoses of 1/4 in. by 5 ft, one to four lost full of liquid in a repair", "common practice"),
    (
        "melt_bound",
        "Enthalpy of the air over the heat of fusion bounds what melts; contact, ice mass and melts a day",
        "common practice",
    ),
    (
        "manning",
        "Manning's equation for round pipes; n of PVC 0.009-0.011, copper 0.011 (Austin DCM table 5-2)",
    ),
    (
        "drain_tables",
        "International Mechanical Code, table 307.2.2 (legal minimum, as adopted by Rapid City) beside a "
        "published table of drains at 1 % slope (hydraulic design)",
    ),
    (
        "overflow_guard",
        "International Mechanical Code 307.2.3: auxiliary pan, second drain or a switch that stops the unit, "
        "where an overflow can damage the building",
        "memory",
    ),
    (
        "trap_rules",
        "Trap rules printed in manuals of two air handlers (draw through: suction + 1 in, seal half of it; "
        "blow through: static + 1/2 in); the larger adopted; hydrostatics",
    ),
    (
        "carry_over_rules",
        "Face velocity of wet coils 500 and 550 ft/min (two coil suppliers), trouble above 600 ft/min (a "
        "balancing firm); the share blown off",
        "common practice",
    ),
    (
        "drop_fall",
        "Fall speed of drops: Gunn and Kinzer, J. Meteorology 6, 1949; drag of Schiller and Naumann",
    ),
    (
        "drop_retention",
        "Retention of drops: ElSherbini and Jacobi, J. Colloid Interface Sci. 299, 2006, 841-849",
    ),
    (
        "sweating",
        "Films of ASHRAE Handbook - Fundamentals (2017), chapter 26, table 10; Lewis relation; "
        "conductivities from makers' sheets",
        "memory",
    ),
    (
        "retained_water",
        "Water held on a coil: wetting time of Henderson and Rengarajan, ASHRAE Trans. 102(1), 1996, to a "
        "factor of two",
    ),
    ("water_practice", "Leaks of pans, pumps, pipes and heating coils: any size", "common practice"),
    ("controls", "The unit's fan speeds as typed in the job, against the calls"),
)


def cite(source_id: str) -> str:
    """One line for a reader, with its standing where it is not a publication.

    Raises
    ------
    KeyError
        An id that is not listed.
    """
    source = SOURCES[source_id]
    return source.text if source.standing == "published" else f"{source.text} ({source.standing}, no source)"
