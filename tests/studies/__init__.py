"""Studies: questions answered by many runs, kept with seed and command in ``docs/studies/``.

Each module here has a ``run(seed)`` that returns a dict fit for JSON.
"""
