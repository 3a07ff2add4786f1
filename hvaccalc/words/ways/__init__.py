"""The ways of the water in words, one row each."""
