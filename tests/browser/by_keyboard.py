"""A page walked by keyboard alone: what has the focus, and Tab until a control is reached."""

FOCUSED = """() => {
  let at = document.activeElement;
  while (at && at.shadowRoot && at.shadowRoot.activeElement) at = at.shadowRoot.activeElement;
  if (!at) return null;
  // What a box to tick is hit by is its label, too.
  const hit = (['checkbox', 'radio'].includes(at.type) && at.labels?.[0] || at).getBoundingClientRect();
  return {
    name: (at.getAttribute('aria-label') || at.labels?.[0]?.textContent
      || (at.matches('button, summary') ? at.textContent : '')).trim(),
    ring: getComputedStyle(at).outlineStyle, tag: at.tagName, type: at.type || '',
    box: [hit.width, hit.height],
  };
}"""


def tab_to(page, name, *, back=False, most=120):
    """Press Tab until the control of that name has the focus, shows it and is large enough."""
    for _ in range(most):
        focused = page.evaluate(FOCUSED)
        if focused and focused["name"] == name:
            assert focused["ring"] == "solid"
            assert min(focused["box"]) >= 24
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
    raise AssertionError(f"{name} is not reached by Tab")
