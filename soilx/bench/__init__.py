"""The bench pair: planned before, recorded while it drips, its sodium counted afterwards."""
