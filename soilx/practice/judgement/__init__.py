"""What a soil test and a water mean: class, reasons, verdict, and the number that decided it."""
