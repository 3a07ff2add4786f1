"""Measured figures beside their baselines; no test asserts a time.

Each module here has a ``rows()`` that yields (name, measured, baseline, ratio or note), all text.
"""
