"""Ways to break an input: nonsense, and sound inputs with one or more things done to them."""

import json
import os

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

TIMES = int(os.environ.get("SOURLOAM_TRIES", "1"))  # the nightly target asks for more
LONGEST_S = 5
NASTY = [
    *("NaN", "nan", "Infinity", "-inf", "1e999", "-1e999", "1e-400", "-0", "0x10", "1_000", "١٢"),
    *("9" * 400, "9" * 5000, "0." + "0" * 400 + "1", "-9223372036854775809", "1,5", "1.234,5"),
    *(
        "\u202e",
        "\u0000",
        "\ufeff",
        "e\u0301" * 30,
        "😀",
        "\ud800",
        "İ",
        "ß" * 90,
        "\r\n",
        "\u2028",
    ),
    *("=1+1", "=cmd|' /C calc'!A0", "+1", "-1+1", "@SUM(A1)", "\t=1", "\r=1"),
    *("[" * 300, "{" * 300, '{"a":' * 2000, "[" * 20000, '"' * 99, "'" * 99, "\\" * 99, "%" * 99),
    *("../../secret-key", "%2e%2e%2f", "<script>", "{{7*7}}", "null", "true", "''", '""'),
    *("1990-02-30", "9999-12-31T23:59:59Z", "0000-00-00", "2026-03-29T02:30", "24:00"),
]
_nasty = st.sampled_from([text.encode("utf-8", "surrogatepass") for text in NASTY])
_bits = st.one_of(_nasty, st.binary(max_size=8))


@st.composite
def broken(draw, sound):
    """A sound input with up to four cuts, each filled with something else."""
    data = draw(st.sampled_from(sound))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(data)))
        end = min(len(data), start + draw(st.sampled_from([0, 0, 1, 2, 5, 20, 200])))
        way = draw(st.sampled_from(["put", "put", "cut", "twice", "flip"]))
        middle = data[start:end]
        if way == "put":
            middle = draw(_bits)
        elif way == "cut":
            middle = b""
        elif way == "twice":
            middle = middle * 2
        elif middle:
            middle = bytes([middle[0] ^ (1 << draw(st.integers(0, 7)))]) + middle[1:]
        data = data[:start] + middle + data[end:]
    return data


_leaves = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(),
    st.floats(allow_nan=False, allow_infinity=False),
    st.sampled_from([text for text in NASTY if len(text) < 500 and "\ud800" not in text]),
    st.text(max_size=12),
)
_values = st.recursive(
    _leaves, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner)
)


@st.composite
def changed(draw, documents):
    """A sound JSON document in which one value, anywhere, is another one, or is gone."""
    copy = json.loads(draw(st.sampled_from(documents)))
    holder = copy
    while True:
        keys = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
        if not keys:
            break
        key = draw(st.sampled_from(keys))
        inner = holder[key]
        if isinstance(inner, dict | list) and inner and draw(st.integers(0, 3)):
            holder = inner
            continue
        if isinstance(holder, dict) and not draw(st.integers(0, 5)):
            del holder[key]
        else:
            holder[key] = draw(_values)
        break
    return json.dumps(copy).encode()


def inputs(name, sound):
    """Inputs for a target by its sound ones."""
    ways = [broken(sound), broken(sound), st.binary(max_size=200)]
    if all(one[:1] == b"{" for one in sound):
        ways += [changed(sound)] * 2
    return st.one_of(ways)


def tried(strategy, check, many):
    """Run a check on so many inputs; how many were run."""
    done = 0

    @settings(
        max_examples=many * TIMES,
        deadline=None,
        database=None,
        derandomize=TIMES == 1,
        suppress_health_check=list(HealthCheck),
    )
    @given(strategy)
    def run(value):
        nonlocal done
        done += 1
        check(value)

    run()
    return done
