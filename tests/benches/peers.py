"""Times the same property queries in general-purpose libraries, beside what `cargo bench` has just measured here.

    python tests/benches/peers.py FOLDER      FOLDER: criterion's, with estimates.json of each bench

The libraries are called from Python, one query a call, as most people call them; so a good part of their time is the
call. CoolProp has the mixtures of Melinder (mass basis), which is another model of the same fluid: only times are compared
here, values are in tests/reference. Nothing fails on a figure.
"""

import json
import sys
import timeit
from pathlib import Path

import CoolProp
from CoolProp.CoolProp import PropsSI
from iapws.iapws97 import _TSat_P

KELVIN, PASCAL, MASS = 353.15, 2e5, 0.5

mix = CoolProp.AbstractState("INCOMP", "MEG")
mix.set_mass_fractions([MASS])


def low(of):
    """One low-level update and one property."""

    def query():
        mix.update(CoolProp.PT_INPUTS, PASCAL, KELVIN)
        return of()

    return query


def high(key):
    return lambda: PropsSI(key, "T", KELVIN, "P", PASCAL, f"INCOMP::MEG[{MASS}]")


QUERIES = [
    ("property/density", "CoolProp, low level", low(mix.rhomass)),
    ("property/density", "CoolProp, PropsSI", high("D")),
    ("property/specific_heat", "CoolProp, low level", low(mix.cpmass)),
    ("property/conductivity", "CoolProp, low level", low(mix.conductivity)),
    ("property/viscosity", "CoolProp, low level", low(mix.viscosity)),
    ("property/freezing_point", "CoolProp, PropsSI", high("T_freeze")),
    ("property/water_saturation_temperature", "iapws, IF97", lambda: _TSat_P(0.2)),
]


def nanoseconds(query):
    """The best of several runs: what disturbs a run only ever adds to it."""
    query()
    count = 20_000
    return min(timeit.repeat(query, number=count, repeat=7)) / count * 1e9


def main():
    folder = Path(sys.argv[1])
    print(f"{'query':<40}{'here':>10}{'there':>12}{'ratio':>8}  by")
    for name, peer, query in QUERIES:
        estimates = json.loads((folder / name / "new" / "estimates.json").read_text())
        here = estimates["median"]["point_estimate"]
        there = nanoseconds(query)
        print(f"{name:<40}{here:>7.1f} ns{there:>9.0f} ns{there / here:>8.0f}  {peer}")


main()
