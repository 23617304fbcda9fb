"""What general reference libraries say of humid air, of drying and of times known to an interval. Nothing of the program is
used here.

`reference.py` writes air.json, drying.json and learning.json beside itself; `reference.py --check` works them out again and
says where the kept ones differ. Humid air: psychrolib (ideal gas) and CoolProp (real gas). Drying: scipy's integrator on the whole balance,
in which each surface's temperature is solved for at every moment; the program's closed form has that balance made linear.

    (h_c + 5.4 + U_sub)(t_a - t_s) = Y beta (p_s(t_s) - p)        for each surface, t_s unknown
    dm/dt = -beta (p_s(t_s) - p)                                  its film, kg/m2
    dp/dt = N (p_o - p) + (R_v T / V) sum A beta (p_s(t_s) - p)   the room's vapour pressure

The same with p_s(t_s) made linear at t_a is integrated too (`hours_linear`): what the closed form has to meet exactly.

Times known to an interval: a log-normal fit of lifelines, and the same likelihood written down here and climbed by scipy, with
the ends of its profile at a fall of chi2(1, 90 %)/2; once as it is and once times the program's prior.
"""

import importlib.metadata
import json
import math
import pathlib
import random
import sys

import CoolProp.CoolProp as coolprop
import lifelines
import numpy
import psychrolib
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize, minimize_scalar
from scipy.stats import chi2, norm

HERE = pathlib.Path(__file__).parent
SEA_LEVEL = 101_325.0
# The constants of the method, so that the difference is that of the balance alone.
EPSILON, GAS_CONSTANT, HEAT_OF_AIR, LEWIS, RADIATION = 0.621945, 461.52, 1006.0, 0.90, 5.4
LONGEST_HOURS = 24.0

psychrolib.SetUnitSystem(psychrolib.SI)


def air_rows():
    for pressure in (SEA_LEVEL, 84_500.0):
        for celsius in (-20, -10, -5, 1, 5, 10, 15, 18, 20, 21, 22, 23, 24, 26, 28, 30, 35, 40, 50):
            for humidity in (0.05, 0.2, 0.3, 0.45, 0.6, 0.8, 0.95, 1.0):
                yield air_row(float(celsius), humidity, pressure)


def air_row(celsius, humidity, pressure):
    real = ("T", celsius + 273.15, "R", humidity, "P", pressure)
    saturation = None
    # Its equation of state is that of the liquid: over ice, at the lowest temperatures, there is none.
    if celsius > 0.01:
        saturation = coolprop.PropsSI("P", "T", celsius + 273.15, "Q", 0, "Water")
    return {
        "celsius": celsius,
        "humidity": humidity,
        "pressure_pa": pressure,
        "psychrolib": {
            "saturation_pa": psychrolib.GetSatVapPres(celsius),
            "vapour_pa": psychrolib.GetVapPresFromRelHum(celsius, humidity),
            "humidity_ratio": psychrolib.GetHumRatioFromRelHum(celsius, humidity, pressure),
            "dew_point_c": psychrolib.GetTDewPointFromRelHum(celsius, humidity),
            "wet_bulb_c": psychrolib.GetTWetBulbFromRelHum(celsius, humidity, pressure),
        },
        "coolprop": {
            "saturation_pa": saturation,
            "humidity_ratio": coolprop.HAPropsSI("W", *real),
            "dew_point_c": coolprop.HAPropsSI("D", *real) - 273.15,
            "wet_bulb_c": coolprop.HAPropsSI("B", *real) - 273.15,
        },
    }


def surface_celsius(room_celsius, vapour_pa, beta, h_c, u_sub):
    heat_of_vapour = (2500.9 - 2.371 * room_celsius) * 1e3

    def balance(celsius):
        gained = (h_c + RADIATION + u_sub) * (room_celsius - celsius)
        return gained - heat_of_vapour * beta * (psychrolib.GetSatVapPres(celsius) - vapour_pa)

    return brentq(balance, room_celsius - 30.0, room_celsius + 30.0, xtol=1e-12, rtol=1e-14)


def whole(room_celsius, vapour_pa, beta, h_c, u_sub):
    """kg/(m2 s) that leave a surface."""
    cooled = surface_celsius(room_celsius, vapour_pa, beta, h_c, u_sub)
    return beta * (psychrolib.GetSatVapPres(cooled) - vapour_pa)


def linear(room_celsius, vapour_pa, beta, h_c, u_sub):
    step = 1e-3
    rise = psychrolib.GetSatVapPres(room_celsius + step) - psychrolib.GetSatVapPres(room_celsius - step)
    heat_of_vapour = (2500.9 - 2.371 * room_celsius) * 1e3
    factor = 1.0 / (1.0 + beta * heat_of_vapour * rise / (2.0 * step) / (h_c + RADIATION + u_sub))
    return beta * factor * (psychrolib.GetSatVapPres(room_celsius) - vapour_pa)


def dried(evaporation, celsius, humidity, supply, changes, volume, surfaces):
    """Hours for each surface, or none within a day, and the room's humidity at the end."""
    start = psychrolib.GetVapPresFromRelHum(celsius, humidity)
    brought = psychrolib.GetVapPresFromRelHum(*supply)
    pa_per_kg = GAS_CONSTANT * (celsius + 273.15) / volume
    betas = [EPSILON * h_c / (SEA_LEVEL * HEAT_OF_AIR * LEWIS) for _, _, h_c, _ in surfaces]
    hours = [None] * len(surfaces)
    wet = list(range(len(surfaces)))
    state = [start] + [grams / 1000.0 for _, grams, _, _ in surfaces]
    now, end = 0.0, LONGEST_HOURS * 3600.0
    while wet and now < end:

        def rates(_, state, wet=tuple(wet)):
            lost = [0.0] * len(surfaces)
            for at in wet:
                _, _, h_c, u_sub = surfaces[at]
                lost[at] = evaporation(celsius, state[0], betas[at], h_c, u_sub)
            gained = pa_per_kg * sum(surfaces[at][0] * lost[at] for at in wet)
            return [changes / 3600.0 * (brought - state[0]) + gained] + [-it for it in lost]

        events = []
        for at in wet:
            event = lambda _, state, at=at: state[1 + at]
            event.terminal, event.direction = True, -1
            events.append(event)
        run = solve_ivp(rates, (now, end), state, method="LSODA", events=events, rtol=1e-9, atol=1e-10)
        now, state = run.t[-1], list(run.y[:, -1])
        if run.status != 1:
            break
        # Equal surfaces are dry at the same moment, of which the integrator tells one.
        for at in [at for at in wet if state[1 + at] < 1e-9]:
            hours[at] = now / 3600.0
            wet.remove(at)
    return hours, state[0] / psychrolib.GetSatVapPres(celsius)


def drying_row(name, celsius, humidity, supply, changes, volume, surfaces):
    """A surface is (area m2, g/m2, h_c, U_sub)."""
    room = (celsius, humidity, supply, changes, volume, surfaces)
    hours, rh_at_end = dried(whole, *room)
    hours_linear, _ = dried(linear, *room)
    return {
        "name": name,
        "celsius": celsius,
        "humidity": humidity,
        "supply_celsius": supply[0],
        "supply_humidity": supply[1],
        "air_changes": changes,
        "volume_m3": volume,
        "surfaces": [list(it) for it in surfaces],
        "hours": hours,
        "rh_at_end": rh_at_end,
        "hours_linear": hours_linear,
    }


def drying_rows():
    board = [(25.0, 40.0, 3.0, 5.0)]
    yield drying_row("nominal", 22.0, 0.45, (22.0, 0.45), 2.0, 50.0, board)
    yield drying_row("dry winter air", 22.0, 0.20, (-5.0, 0.80), 2.0, 50.0, board)
    yield drying_row("humid summer", 24.0, 0.60, (26.0, 0.70), 2.0, 50.0, board)
    yield drying_row("humid summer, cooled", 24.0, 0.55, (13.0, 0.95), 2.0, 50.0, board)
    yield drying_row("poor ventilation", 22.0, 0.45, (22.0, 0.45), 0.3, 50.0, [(25.0, 40.0, 2.0, 5.0)])
    yield drying_row("heavy", 22.0, 0.45, (22.0, 0.45), 2.0, 50.0, [(40.0, 100.0, 3.0, 5.0)])
    yield drying_row("saturated supply", 22.0, 0.80, (22.0, 1.0), 2.0, 50.0, board)
    yield drying_row("sealed", 22.0, 0.45, (22.0, 0.45), 0.0, 50.0, [(25.0, 40.0, 2.0, 5.0)])
    yield drying_row("mattress", 22.0, 0.45, (22.0, 0.45), 2.0, 50.0, [(6.0, 80.0, 3.0, 1.0)])
    yield drying_row("massive, fan", 23.0, 0.40, (23.0, 0.40), 6.0, 60.0, [(20.0, 40.0, 5.0, 15.0)])
    three = [(18.0, 40.0, 3.0, 5.0), (3.0, 40.0, 3.0, 5.0), (6.0, 80.0, 2.0, 1.0)]
    yield drying_row("board, frame and mattress", 22.0, 0.45, (22.0, 0.45), 2.0, 50.0, three)
    # Rooms as they come, the same ones each time.
    chance = random.Random(20261128)
    for at in range(60):
        celsius, humidity = round(chance.uniform(18, 27), 1), round(chance.uniform(0.2, 0.75), 2)
        supply = (celsius, humidity) if at % 2 else (round(chance.uniform(-5, 20), 1), round(chance.uniform(0.4, 0.9), 2))
        changes, volume = round(chance.uniform(0.5, 8), 1), float(chance.randrange(25, 120))
        surfaces = []
        for _ in range(1 + at % 3):
            area, film = round(chance.uniform(1, 30), 1), float(chance.randrange(15, 100))
            surfaces.append((area, film, chance.choice((2.0, 3.0, 5.0)), chance.choice((15.0, 5.0, 1.0))))
        yield drying_row(f"room {at + 1}", celsius, humidity, supply, changes, volume, surfaces)


# Nine in ten between half and double: of m about 1, and of sigma about that of a band from 0.7 to 2.4 (5 and 95 %).
PRIOR_SPREAD = math.log(2.0) / norm.ppf(0.95)
PRIOR_LOG_SIGMA = math.log(math.log(2.4 / 0.7) / (2.0 * norm.ppf(0.95)))
FALL = chi2.ppf(0.90, 1) / 2.0


def log_chance(low, high):
    """Of a standard normal between the two, on the side where its tail is exact."""
    low, high = numpy.where(low > 0, -high, low), numpy.where(low > 0, -low, high)
    upper, lower = norm.logcdf(high), norm.logcdf(low)
    return upper + numpy.log1p(-numpy.exp(lower - upper))


def climbed(low, high, prior):
    """The top of likelihood times prior in (m, sigma), and the ends of the profile of m."""

    def height(mu, log_sigma):
        sigma = math.exp(log_sigma)
        sum_of_logs = float(numpy.sum(log_chance((low - mu) / sigma, (high - mu) / sigma)))
        if prior:
            sum_of_logs -= 0.5 * (mu**2 + (log_sigma - PRIOR_LOG_SIGMA) ** 2) / PRIOR_SPREAD**2
        return sum_of_logs

    def best(mu):
        run = minimize_scalar(lambda s: -height(mu, s), bounds=(-6.0, 3.0), method="bounded", options={"xatol": 1e-11})
        return -run.fun, run.x

    # Nelder and Mead find where to look; the top itself is where it is level, which is sharper than where it is highest.
    near = minimize(lambda at: -height(*at), (0.0, -0.5), method="Nelder-Mead", options={"xatol": 1e-9, "fatol": 1e-13}).x[0]
    step = 1e-4
    mu = brentq(lambda mu: best(mu + step)[0] - best(mu - step)[0], near - 0.05, near + 0.05, xtol=1e-13)
    most, near = best(mu)
    log_sigma = brentq(lambda s: height(mu, s + step) - height(mu, s - step), near - 0.01, near + 0.01, xtol=1e-13)
    fallen = lambda mu: most - FALL - best(mu)[0]
    ends = [brentq(fallen, mu + side * 1e-3, mu + side * 3.0, xtol=1e-13) for side in (-1.0, 1.0)]
    return {"m": math.exp(mu), "sigma": math.exp(log_sigma), "low": math.exp(ends[0]), "high": math.exp(ends[1])}


def learning_row(name, dryings):
    """A drying is [damp at, dry by], over the estimate; none where nobody looked."""
    low = numpy.array([damp if damp else 0.0 for damp, _ in dryings])
    high = numpy.array([dry if dry else math.inf for _, dry in dryings])
    # Where its own search stops, it is up to 1e-4 off; told to go on, it still is up to 4e-5 off.
    fit = lifelines.LogNormalFitter().fit_interval_censoring(low, high, fit_options={"ftol": 1e-15, "gtol": 1e-10})
    with numpy.errstate(divide="ignore"):
        low, high = numpy.log(low), numpy.log(high)
    return {
        "name": name,
        "dryings": dryings,
        "lifelines": {"m": math.exp(fit.mu_), "sigma": float(fit.sigma_)},
        "scipy": climbed(low, high, prior=False),
        "scipy_with_prior": climbed(low, high, prior=True),
    }


def looked_at(chance, number, m, sigma, late, every):
    """Rooms that take m times as long as told, looked at from an hour on; `late` of them once, after twelve hours."""
    for _ in range(number):
        told = chance.uniform(0.7, 4.0)
        takes = told * m * math.exp(sigma * chance.gauss(0.0, 1.0))
        at, last = (12.0, 12.0) if chance.random() < late else (1.0, 9.0)
        damp = None
        while at < takes and at < last:
            damp, at = at, at + chance.uniform(*every)
        if at < takes:
            yield [round(at / told, 4), None]
        else:
            yield [round(damp / told, 4) if damp else None, round(at / told, 4)]


def learning_rows():
    closed = [[0.8, 1.2], [1.1, 1.4], [1.3, 1.9], [0.9, 1.3], [1.6, 2.2], [1.2, 1.5], [1.0, 1.7], [2.0, 2.6], [0.7, 0.9], [1.4, 1.6]]
    yield learning_row("all closed", closed)
    yield learning_row("one never damp, one not dry", closed + [[None, 2.5], [1.1, None]])
    yield learning_row("four rooms", [[0.9, 1.4], [1.5, 2.0], [None, 1.2], [1.0, None]])
    looks = [[None, 0.6], [0.7, None], [None, 1.1], [0.9, None], [None, 1.4], [1.6, None], [None, 2.0], [None, 2.5], [0.5, None]]
    yield learning_row("one look each", looks + [[0.4, None], [None, 3.0]])
    yield learning_row("nearly to the minute", [[round(0.5 + 0.07 * at, 4), round(0.505 + 0.07 * at, 4)] for at in range(25)])
    yield learning_row("one far off", closed + [[9.0, 11.0]])
    # Hospitals as they come, the same ones each time.
    chance = random.Random(20261128)
    for number, m, sigma, late in ((30, 1.6, 0.35, 0.15), (70, 1.6, 0.35, 0.15), (200, 0.8, 0.2, 0.3), (120, 2.5, 0.6, 0.5)):
        rooms = list(looked_at(chance, number, m, sigma, late, (0.5, 1.5)))
        yield learning_row(f"{number} rooms, m {m}, sigma {sigma}, {late} looked at late", rooms)


def versions(*names):
    return {name: importlib.metadata.version(name) for name in names}


def documents():
    yield "air.json", {"made_by": versions("PsychroLib", "CoolProp"), "rows": list(air_rows())}
    yield "drying.json", {"made_by": versions("scipy", "numpy", "PsychroLib"), "rows": list(drying_rows())}
    yield "learning.json", {"made_by": versions("lifelines", "scipy", "numpy"), "rows": list(learning_rows())}


def as_text(document):
    """A row a line, so that a difference can be read."""
    rows = ",\n".join(json.dumps(row) for row in document["rows"])
    return f'{{"made_by": {json.dumps(document["made_by"])},\n"rows": [\n{rows}\n]}}\n'


def differences(kept, found, where):
    """Where the two differ by more than another processor's last digits. The search of lifelines ends with fewer of them."""
    near = 1e-5 if ".lifelines." in where else 1e-7
    if isinstance(found, dict) and isinstance(kept, dict) and kept.keys() == found.keys():
        return [it for key in found for it in differences(kept[key], found[key], f"{where}.{key}")]
    if isinstance(found, list) and isinstance(kept, list) and len(kept) == len(found):
        return [it for at, pair in enumerate(zip(kept, found)) for it in differences(*pair, f"{where}[{at}]")]
    if isinstance(found, float) and isinstance(kept, float) and math.isclose(kept, found, rel_tol=near, abs_tol=near):
        return []
    return [] if kept == found else [f"{where}: kept {kept}, now {found}"]


def main():
    wrong = []
    for name, document in documents():
        path = HERE / name
        if sys.argv[1:] == ["--check"]:
            found = differences(json.loads(path.read_text()), document, name)
            print(f"{name}: {len(document['rows'])} rows by {document['made_by']}, {len(found)} differences")
            wrong += found
        else:
            path.write_text(as_text(document))
    print("\n".join(wrong[:20]), end="\n" if wrong else "")
    sys.exit(bool(wrong))


main()
