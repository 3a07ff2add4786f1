"""How the house is built, in numbers: counters, never verdicts. The architecture tests hold what has to."""
