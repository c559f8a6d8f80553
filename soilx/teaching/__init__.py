"""Teaching: problems that are drawn, answered, judged and receipted; no view of them."""
