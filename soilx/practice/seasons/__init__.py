"""Visits, waters and weather through the years, run on the column."""
