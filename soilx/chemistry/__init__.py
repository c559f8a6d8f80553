"""A litre of soil solution and a kilogram of soil: chemistry without geometry."""
