"""What is fed in: hostile words, numbers at their edges, and the demo files with something wrong in them."""

from __future__ import annotations

import csv
import io

from hypothesis import strategies as st

import soilx

DEMO = soilx.demo_path("soils.csv").parent

HOSTILE = (
    "",
    " ",
    "nan",
    "inf",
    "-inf",
    "1e400",
    "1e-400",
    "-0",
    "0",
    "²",
    "1²",
    "١٢",
    "９",
    "½",
    "1,5",
    "1.5.2",
    "0x10",
    "1_000",
    "5 5",
    "1e3",
    "-1",
    "1e308",
    "9" * 400,
    "9" * 5000,
    "<" * 30 + "5",
    "<" * 3000,
    "< 5",
    "≥ 1000",
    "5 mg/L",
    "=1+1",
    "=HYPERLINK(1)",
    "+1+1",
    "-1+1",
    "-",
    "@x",
    "\t=1",
    "\r=1",
    "'=1",
    "''=1",
    "'",
    "'5",
    "#",
    "# soil",
    '"',
    '"#',
    "\r",
    "a\nb",
    "a\r\nb",
    "\x00",
    "\ud800",
    "\ufeff",
    "\u202e",
    "\u2028",
    "\x1c",
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "{{x}}",
    "$\\frac{1}{0}$",
    "../../x",
    "__class__",
    "é" * 200,
    ";",
    "|",
    "no leachate",
    "turbid; above range",
)

words = st.one_of(
    st.sampled_from(HOSTILE),
    st.text(max_size=12),
    st.text(st.sampled_from("0123456789.,+-−eE<>≤≥ %µ°/"), max_size=10),
)
numbers = st.one_of(
    st.floats(allow_nan=False, allow_infinity=False).map(repr),
    st.floats(-10.0, 1000.0).map(lambda value: f"{value:.3g}"),
    st.integers(-3, 1000).map(str),
)
cells = st.one_of(words, numbers)


@st.composite
def tables(draw: st.DrawFn, name: str) -> bytes:
    """A demo table with up to six changes: cells, rows and columns, then delimiter, coding, bytes."""
    rows = list(csv.reader(io.StringIO((DEMO / name).read_text("utf-8"))))
    # few rows, so that a change matters
    head = next((at for at, row in enumerate(rows) if not row[0].startswith("#")), 0)
    body = rows[head + 1 :]
    first = draw(st.integers(0, max(0, len(body) - 1)))
    most = 12 if name == "climate.csv" else draw(st.integers(1, 6))
    first -= first % 12 if name == "climate.csv" else 0
    lines = [row for row in rows[:head] if draw(st.booleans())] if head else []
    rows = [*lines, rows[head], *body[first : first + most]]
    for _ in range(draw(st.integers(0, 6))):
        _change(draw, rows)
    out = io.StringIO()
    delimiter = draw(st.sampled_from(",,,,,,;\t"))
    ending = draw(st.sampled_from(("\n", "\n", "\r\n", "\r")))
    csv.writer(out, delimiter=delimiter, lineterminator=ending).writerows(rows)
    return coded(draw, out.getvalue())


def _change(draw: st.DrawFn, rows: list[list[str]]) -> None:
    if not rows:
        return
    at = draw(st.integers(0, len(rows) - 1))
    row = rows[at]
    where = draw(st.integers(0, max(0, len(row) - 1)))
    what = draw(st.integers(0, 12))
    if what <= 5 and row:
        row[where] = draw(cells)
    elif what == 6 and row:
        row[where] = f"{row[where]}{draw(words)}"
    elif what == 7:
        rows.insert(at, list(row))
    elif what == 8:
        del rows[at]
    elif what == 9:
        for other in rows:
            del other[where : where + 1]
    elif what == 10:
        other = draw(st.integers(0, max(0, len(row) - 1)))
        for line in rows:
            if max(where, other) < len(line):
                line[where], line[other] = line[other], line[where]
    elif what == 11:
        row.insert(where, draw(cells))
    else:
        rows.append([draw(cells) for _ in range(draw(st.integers(0, 4)))])


def coded(draw: st.DrawFn, text: str) -> bytes:
    """Text as bytes of a file: mostly UTF-8, sometimes with a mark, of another coding, cut or damaged."""
    how = draw(st.integers(0, 15))
    if how == 0:
        return text.encode("utf-16", errors="surrogatepass")
    if how == 1:
        return text.encode("cp1252", errors="replace")
    raw = text.encode("utf-8", errors="surrogatepass")
    if how == 2:
        return b"\xef\xbb\xbf" + raw
    if how in (3, 4) and raw:
        at = draw(st.integers(0, len(raw) - 1))
        return raw[:at] + draw(st.binary(max_size=3)) + raw[at + draw(st.integers(0, 3)) :]
    if how == 5 and raw:
        return raw[: draw(st.integers(0, len(raw)))]
    return raw


@st.composite
def scenario_files(draw: st.DrawFn, *, of: str = "*") -> bytes:
    """A demo scenario, or what else the name fits, with up to five changes, then coding and bytes."""
    names = sorted(path.name for path in DEMO.glob(f"{of}.toml"))
    lines = (DEMO / draw(st.sampled_from(names))).read_text("utf-8").splitlines()
    for _ in range(draw(st.integers(0, 5))):
        if not lines:
            break
        at = draw(st.integers(0, len(lines) - 1))
        key, equals, value = lines[at].partition(" = ")
        what = draw(st.integers(0, 9))
        if what <= 3 and equals:
            lines[at] = f"{key} = {_toml_value(draw, value)}"
        elif what == 4:
            lines.insert(at, f"{draw(st.sampled_from(SCENARIO_KEYS))} = {_toml_value(draw, value)}")
        elif what == 5:
            del lines[at]
        elif what == 6:
            lines.insert(at, lines[at])
        elif what == 7:
            lines.append(
                draw(st.sampled_from(("[[wetting]]", "[[water]]", "[[soil.change]]", "[x]", "[soil]")))
            )
        elif what == 8:
            lines.insert(at, draw(words))
        else:
            lines[at] = draw(
                st.sampled_from(("x = " + "[" * 2000, "x = " + "9" * 5000, "x.y.z = 1", "a = {}"))
            )
    return coded(draw, "\n".join(lines))


SCENARIO_KEYS = (
    "layers",
    "gypsum",
    "placement",
    "collect",
    "amount",
    "hours",
    "dispersivity",
    "displaced_fraction",
    "bypass_fraction",
    "dissolution",
    "dissolution_rate",
    "evapotranspiration",
    "exchangeable_sodium_percentage",
    "capacity",
    "name",
    "water",
    "soil_mass",
    "selectivity",
)


def _toml_value(draw: st.DrawFn, value: str) -> str:
    kind = draw(st.integers(0, 6))
    if kind == 0:
        return repr(draw(st.floats()))
    if kind == 1:
        return str(draw(st.integers(-5, 5000)))
    if kind == 2:
        return draw(
            st.sampled_from(("true", "[]", "{}", "1979-05-27", "[1]", "''", "07:32:00", "nan", "-inf"))
        )
    if kind == 3:
        return value.replace(
            draw(st.sampled_from("0123456789.")), draw(st.sampled_from(("", "9", "-", "e", "²")))
        )
    quoted = draw(cells).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{quoted}"'


def named_units() -> list[str]:
    """Spellings of single units that the library knows, and some that it refuses."""
    from soilx.unit_names import AMBIGUOUS, SPELLINGS

    return sorted(SPELLINGS) + sorted(AMBIGUOUS) + ["furlong", "mol+", "1000 ft^2", "100 ft2", "100 g"]


@st.composite
def unit_texts(draw: st.DrawFn) -> str:
    """Up to three units with powers and joints, in the ways people write them."""
    units = named_units()
    text = draw(st.sampled_from(units))
    for _ in range(draw(st.integers(0, 2))):
        text += draw(st.sampled_from(("/", " / ", " per ", " ", "*", "·", ".", "-"))) + draw(
            st.sampled_from(units)
        )
        text += draw(
            st.sampled_from(("", "", "", "^2", "²", "-1", "^-1", "⁻¹", "^0.5", "½", "3", "**2", "^9"))
        )
    return draw(
        st.sampled_from((text, text, text, f"({text})^-0.5", f"({text})^½", text.upper(), text.lower()))
    )


quantity_texts = st.one_of(
    st.builds("{}{}{}".format, cells, st.sampled_from(("", " ", "  ")), unit_texts()),
    st.builds("{}{}{}".format, numbers, st.sampled_from(("", " ", "\u00a0")), unit_texts()),
    words,
)
