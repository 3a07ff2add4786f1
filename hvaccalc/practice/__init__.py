"""Every threshold and rule of thumb, once: value with its unit, what it is, what it rests on, its source.

Laws of physics and constants fitted to measurements stand with their equations. `docs/practice.md` lists
what rests on practice or memory alone; it is generated from these modules.
"""
