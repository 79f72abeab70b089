"""Traces of air, clutch and heat, integrated a second time: writes traces.json beside itself.

Made with Python 3, NumPy 2.2.6 and SciPy 1.15.3:
    python3 -m venv venv && venv/bin/pip install numpy==2.2.6 scipy==1.15.3 && venv/bin/python tests/reference/traces.py
The tests read the numbers kept in traces.json; Python is not needed to run them.

The equations are those of the documents, written down anew for pressures (the program counts amounts of air):
ISO 6358 flow with a straight line above a ratio of 0.999, conductances in a row by inverse cubes, isothermal vessels,
d(V p)/dt = p0 x flow, a fan of one inertia against k n^2, lumps of heat. Integrated by Radau IIA, relative error 1e-10.
"""

import json
import math
import pathlib

import numpy as np
from scipy.integrate import solve_ivp

PSI = 6.894757293168361  # kPa
ATM = 101.325  # kPa
AMBIENT = 20.0  # degrees C
GOVERNED = 2100.0  # rpm
MINIMUM = 90.0 * PSI
TANK_L, LINE_L, CHAMBER_L = 120.0, 5.0, 0.26
B = 0.35
PROTECTION, FILTER, VALVE, EXHAUST, HOSE = 3.0, 1.2, 0.45, 0.45, 0.5
CLOGGED, PLUGGED, HOLE_PER_MM2 = 0.05, 0.003, 0.2 * 0.61
PROTECTION_CLOSES = 60.0 * PSI
COMPRESSOR = 3.9  # litres of free air a second at governed speed
BORE, TRAVEL = 0.110, 1.5  # m, mm
FRICTION, FACES, OUTER, INNER = 0.35, 2, 0.320, 0.200
FAN_J, PLATE_J, PLATE_W, BEARING = 0.25, 2500.0, 30.0, 2.0
SPRING = 0.15 * MINIMUM / (6.35 - 1.5875)  # kPa a mm
AREA = math.pi / 4 * BORE**2
NM_PER_KPA = FRICTION * FACES * (OUTER + INNER) / 4 * AREA * 1e3
COOLANT_J, HEAT_W, RADIATOR, FAN_COOLS = 350e3, 70e3, 550.0, 1600.0
OPENS, FULL = 82.0, 93.0
COIL_OHMS, COIL_K_PER_W, COIL_S, COPPER = 30.0, 12.0, 300.0, 0.00393


def series(*c):
    return sum(x**-3.0 for x in c) ** (-1.0 / 3.0)


def flow(c, up, down):
    """Litres of free air (100 kPa) a second."""
    if up <= down:
        return 0.0
    ratio = down / up
    if ratio <= B:
        return c * up / 100.0
    at = min(ratio, 0.999)
    through = c * up / 100.0 * math.sqrt(max(0.0, 1.0 - ((at - B) / (1.0 - B)) ** 2))
    return through if ratio <= 0.999 else through * (1.0 - ratio) / 0.001


def simulate(case):
    worn = 0.0 if case.get("facing") is None else 6.35 - case["facing"]
    spring_applied = case.get("spring_applied", False)
    travel = TRAVEL + worn
    if spring_applied:
        bites = 85 / 90 * MINIMUM - worn * SPRING
        starts = bites - TRAVEL * SPRING
        fan_nm = NM_PER_KPA * (85 - 55) / 90 * MINIMUM
    else:
        bites = 30 / 90 * MINIMUM + worn * SPRING
        starts = 30 / 90 * MINIMUM - TRAVEL * SPRING
        fan_nm = NM_PER_KPA * (70 - 30) / 90 * MINIMUM
    swept = AREA * travel  # m2 x mm = litres
    rpm, passing = case.get("rpm", 0.0), case["passing"]
    hole = HOLE_PER_MM2 * math.pi / 4 * case.get("leak_mm", 0.0) ** 2
    feed = series(CLOGGED if case.get("clogged") else FILTER, VALVE, HOSE)
    # Valve and hose are taken together first in the program; the rule of inverse cubes does not mind.
    out = 0.0 if passing else series(PLUGGED if case.get("plugged") else EXHAUST, HOSE)

    def volume(p):
        gauge = p - ATM
        share = min(max((gauge - starts) / (bites - starts), 0.0), 1.0)
        inside = starts < gauge < bites
        return CHAMBER_L + swept * share, swept / (bites - starts) if inside else 0.0

    def capacity(p):
        clamp = bites - (p - ATM) if spring_applied else (p - ATM) - bites
        return NM_PER_KPA * max(clamp, 0.0)

    def slopes(_, y, locked):
        tank, line, chamber, fan, coolant, plate, coil = y
        pumped = COMPRESSOR * rpm / GOVERNED if case.get("pumping") else 0.0
        to_line = flow(PROTECTION, tank, line) if tank - ATM > PROTECTION_CLOSES else 0.0
        to_chamber = flow(feed, line, chamber) - flow(feed, chamber, line) if passing else 0.0
        lost = flow(out + hole, chamber, ATM)
        v, growth = volume(chamber)
        cap = capacity(chamber)
        torque = 0.0 if locked else cap  # the fan is never ahead of the engine in these cases
        net = torque - fan_nm * (max(fan, 0.0) / GOVERNED) ** 2 - (BEARING if fan > 1e-3 and cap <= 0 else 0.0)
        if locked or (fan <= 1e-3 and net < 0):
            net = 0.0
        heat = 0.0 if locked else cap * abs(rpm - fan) * math.pi / 30
        opened = min(max((coolant - OPENS) / (FULL - OPENS), 0.0), 1.0)
        warm = HEAT_W * rpm / GOVERNED - opened * (RADIATOR + FAN_COOLS * fan / GOVERNED) * (coolant - AMBIENT)
        ohms = COIL_OHMS * (1 + COPPER * (coil - 20.0))
        watts = (12.6 / (ohms + LEADS)) ** 2 * ohms if case["coil_live"] else 0.0
        return [
            100.0 * (pumped - to_line) / TANK_L,
            100.0 * (to_line - to_chamber) / LINE_L,
            100.0 * (to_chamber - lost) / (v + chamber * growth),
            net / FAN_J * 30 / math.pi,
            warm / COOLANT_J if rpm > 0 else 0.0,
            (heat - PLATE_W * (plate - AMBIENT)) / PLATE_J,
            (watts * COIL_K_PER_W - (coil - AMBIENT)) / COIL_S,
        ]

    supply = case.get("air_kpa", 105.0 * PSI) + ATM
    start = [supply, supply, supply if case.get("full") else ATM, case.get("fan", 0.0), case.get("coolant", 20.0), AMBIENT, AMBIENT]
    times = np.linspace(0.0, case["seconds"], case["points"])
    grown = []
    at, locked, y = 0.0, case.get("locked", False), np.array(start)

    def caught(_, y, locked):
        return 1.0 if locked else rpm - y[3]

    def slips(_, y, locked):
        return capacity(y[2]) - fan_nm * (rpm / GOVERNED) ** 2 if locked else 1.0

    for event in (caught, slips):
        event.terminal, event.direction = True, -1
    while at < times[-1]:
        left = times[times > at] if at else times
        got = solve_ivp(slopes, (at, times[-1]), y, method="Radau", t_eval=left, rtol=1e-10, atol=1e-9, args=(locked,),
                        max_step=case["seconds"] / 200, events=[caught, slips] if rpm > 0 else None)
        assert got.success, got.message
        grown.append(got.y)
        if got.status == 1:
            which = 0 if len(got.t_events[0]) else 1
            at, locked, y = got.t_events[which][0], which == 0, got.y_events[which][0].copy()
            y[3] = rpm
        else:
            break
    y = np.concatenate(grown, axis=1)
    names = ["tank_kpa", "line_kpa", "clutch_kpa", "fan_rpm", "coolant_c", "plate_c", "coil_c"]
    shift = [ATM, ATM, ATM, 0, 0, 0, 0]
    columns = {n: [round(float(v - s), 9) for v in row] for n, row, s in zip(names, y, shift) if n in case["show"]}
    return [round(float(t), 9) for t in times], columns


# Three wires of 1 m AWG 16, the battery and a closed hand switch, as the test's circuit has them.
AWG16_MM2 = math.pi / 4 * (0.127 * 92 ** ((36 - 16) / 39)) ** 2
LEADS = 0.01 + 0.005 + 3 * 0.017241 / AWG16_MM2

AIR = ["tank_kpa", "clutch_kpa"]
CASES = [
    dict(name="fill", passing=True, coil_live=True, seconds=2.0, points=41, show=AIR, act="turn:S1=on"),
    dict(name="vent", passing=False, coil_live=False, full=True, seconds=3.0, points=61, show=AIR, begins="turn:S1=on", act="back turn:S1=on"),
    dict(name="fill through a clogged filter", passing=True, coil_live=True, clogged=True, seconds=20.0, points=41, show=AIR, faults=["blocked:filter"], act="turn:S1=on"),
    dict(name="vent through a plugged exhaust", passing=False, coil_live=False, full=True, plugged=True, seconds=300.0, points=61, show=AIR, faults=["blocked:exhaust"], begins="turn:S1=on", act="back turn:S1=on"),
    dict(name="fill with a hole of 1 mm, tank running down", passing=True, coil_live=True, leak_mm=1.0, seconds=120.0, points=61, show=AIR, faults=["leak:hose=1mm"], act="turn:S1=on"),
    dict(name="fill of a worn clutch", passing=True, coil_live=True, facing=2.0, seconds=2.0, points=41, show=AIR, faults=["worn:facing=2mm"], act="turn:S1=on"),
    dict(name="spring-applied clutch let free at speed", spring_applied=True, passing=True, coil_live=True, rpm=1500.0, fan=1500.0, locked=True, seconds=8.0, points=81, show=AIR + ["fan_rpm", "plate_c"], settings=["engine=1500"], act="turn:S1=on"),
    dict(name="compressor filling the tanks", passing=False, coil_live=False, rpm=2100.0, pumping=True, air_kpa=99.0 * PSI, seconds=45.0, points=46, show=["tank_kpa"], settings=["engine=2100", "air=99psi"]),
    dict(name="warm-up with the fan free", passing=False, coil_live=False, rpm=1800.0, seconds=900.0, points=91, show=["coolant_c"], settings=["engine=1800"]),
    dict(name="fan caught up, plate warmed", passing=True, coil_live=True, rpm=1800.0, seconds=15.0, points=151, show=["clutch_kpa", "fan_rpm", "plate_c"], settings=["engine=1800"], act="turn:S1=on"),
    dict(name="slip at low air until the tanks have filled", passing=True, coil_live=True, rpm=2100.0, air_kpa=62.0 * PSI, seconds=120.0, points=121, show=["clutch_kpa", "fan_rpm", "plate_c"], settings=["engine=2100", "air=62psi"], act="turn:S1=on"),
    dict(name="coil warmed by its own current", passing=True, coil_live=True, seconds=1800.0, points=61, show=["coil_c"], act="turn:S1=on"),
    dict(name="cooling down with the fan on", passing=True, coil_live=True, rpm=1800.0, coolant=105.0, full=True, fan=1800.0, locked=True, seconds=200.0, points=101, show=["coolant_c"], settings=["engine=1800", "coolant=105C"], begins="turn:S1=on"),
]


def main():
    written = []
    for case in CASES:
        if case["name"].startswith("slip"):
            case["pumping"] = True  # below cut-in the compressor delivers
        times, columns = simulate(case)
        words = {k: case.get(k) for k in ("settings", "faults", "begins", "act") if case.get(k)}
        written.append({"name": case["name"], "spring_applied": case.get("spring_applied", False), **words, "time_s": times, **{"columns": columns}})
        print(case["name"], {k: v[-1] for k, v in columns.items()})
    path = pathlib.Path(__file__).with_name("traces.json")
    lines = ",\n".join(json.dumps(case) for case in written)
    path.write_text("[\n" + lines + "\n]\n")


main()
