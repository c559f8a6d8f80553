"""The stack of stirred layers: a soil, the water it is given, and what is asked of them."""
