"""Pages that are one file, to be kept and handed on: of a scenario, a decision, a bench run or a notebook.

``page_parts`` frames a page and knows its pieces, ``scenario_page`` makes the page of a scenario,
``reader_page`` the short page for one of four readers, and ``notebook_page`` that of a notebook.
"""
