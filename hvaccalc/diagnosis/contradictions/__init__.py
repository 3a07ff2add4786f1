"""Readings that cannot be true with their neighbours."""
