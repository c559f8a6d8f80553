"""The kinds of problems, one file or two a level."""
