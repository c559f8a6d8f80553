"""How much gypsum or another amendment: by hand, by the column, how sure, in what product."""
