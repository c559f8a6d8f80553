"""From a laboratory's paper to numbers with their basis, range and origin."""
