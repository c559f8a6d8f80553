"""Mutants of chemistry and column: small mistakes made on purpose, to see that a test notices each."""
