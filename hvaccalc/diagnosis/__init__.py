"""Readings against forward models."""
