"""Text and bytes that nobody wrote on purpose, and what soilx must make of them: `python -m tests.fuzz`."""
