"""Records, charts, pages: what a run looks like, computed nowhere here.

``tables`` turns runs into tidy records, ``sentences`` into words, ``charts`` draws records,
``control`` is the one slider, and ``live`` swaps the data of charts that are already on screen.
"""
