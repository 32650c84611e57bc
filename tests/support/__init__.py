"""Helpers that several tests share: builders of small trips, generators, readers of papers."""
