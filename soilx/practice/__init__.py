"""From a soil test to a decision: report, diagnosis, requirement, programme."""
