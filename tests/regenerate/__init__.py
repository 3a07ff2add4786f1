"""Generators of every generated file: each module here with a ``regenerate()``."""
