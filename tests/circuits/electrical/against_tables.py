"""The heat balance beside every published ampacity: rows for the tests, and the list that people read.

``python -m tests.circuits.electrical.against_tables`` writes ``heat_against_tables.csv`` anew.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from circuits.electrical.bundle_heat import equal_loads_a
from circuits.electrical.conductors import conductor
from circuits.electrical.heating import heat_ampacity_a
from circuits.rules import INSULATION_CLASSES_C
from circuits.sized import Conductor
from tests.circuits.electrical.published import CIRCMIL_MM2, KILOFEET_M, label, rows

LISTED = Path(__file__).with_name("heat_against_tables.csv")

TABLE_5, AC_TABLE, AC_FREE_AIR = "33 CFR 183.425 Table 5", "AC 43.13-1B Table 11-9", "AC 43.13-1B figure 11-4a"
AC_BUNDLE, AC_ALTITUDE, NOTE_2 = "AC 43.13-1B figure 11-6", "AC 43.13-1B figure 11-5", "33 CFR 183.425 Table 5 note 2"

PRESSURE_SHARE = {20000: 0.4595, 60000: 0.0711}
"""Air pressure by altitude in feet over that at sea level (ICAO standard atmosphere, from memory)."""

SAME_AS_60 = "the 75 °C column prints the figure of 60 °C for 18 to 10 AWG: no limit of heat"
FLAT_200 = "the 200 °C column is 5 to 25 % above that of 125 °C, heat gives 31 %: other limits set it"
STEPS = "printed in steps of 5 A: the heat balance lies below the next step"
SAME_AS_80 = "the 90 °C column prints the figure of 80 °C from 1 AWG up: heat gives 10 % more"
FLAT_125 = "105 to 125 °C raises the printed figure by 7 %, heat by 12 %"
WHOLE = "printed in whole amperes, rounded down: the heat balance lies within 6 % of the next"
SAFE = "on the safe side"
DIVERSE = "the note counts on wires that are not all full at once; here all are"
LARGE_AC = "8 AWG and up are not printed for a bundle of 33: the figures double from 10 to 8 AWG"


@dataclass(frozen=True)
class Compared:
    """One published figure and what the heat balance says."""

    table: str
    figure: str
    published: float
    found: float
    status: str
    reason: str = ""

    @property
    def off(self) -> float:
        """How far the heat balance is above, as a share."""
        return self.found / self.published - 1


def table_5() -> Iterator[Compared]:
    """All 105 figures of 33 CFR 183.425 Table 5, single wires in air of 30 °C."""
    for row in rows("cfr33_183_425_table5"):
        for class_c in INSULATION_CLASSES_C:
            published = float(row[f"ampacity_A_{class_c}C_ambient30C"])
            found = heat_ampacity_a(label(row["awg"]), class_c, 30.0)
            yield Compared(
                TABLE_5, f"{label(row['awg'])} {class_c} °C", published, found, row["read_or_memory"],
                _reason_5(row, class_c, found / published - 1, found < published + 5),
            )  # fmt: skip


def _reason_5(row: dict[str, str], class_c: int, off: float, within_step: bool) -> str:
    if off <= 0.10:
        return SAFE if off < -0.10 else ""
    if class_c == 200:
        return FLAT_200
    if class_c == 75 and row["ampacity_A_75C_ambient30C"] == row["ampacity_A_60C_ambient30C"]:
        return SAME_AS_60
    if within_step:
        return STEPS
    if class_c == 90 and row["ampacity_A_90C_ambient30C"] == row["ampacity_A_80C_ambient30C"]:
        return SAME_AS_80
    return FLAT_125 if class_c == 125 else ""


def aircraft_wire(row: dict[str, str], insulation_mm: float) -> Conductor:
    """A size of AC 43.13-1B with its own area and resistance; its insulation is from memory."""
    area_mm2 = float(row["area_circmil"]) * CIRCMIL_MM2
    ohm = float(row["max_resistance_ohm_per_kft_20C_tin_plated"]) / KILOFEET_M
    bare_mm = math.sqrt(4 * area_mm2 / math.pi / 0.75)
    return Conductor(label(row["awg"]), area_mm2, ohm, bare_mm + 2 * insulation_mm, "AC 43.13-1B Table 11-9")


AC_WIRES = {row["awg"]: aircraft_wire(row, 0.25) for row in rows("faa_ac4313_table11_9_copper")}


def free_air() -> Iterator[Compared]:
    """Points of AC 43.13-1B figure 11-4a: one wire in free air, by rise over ambient, taken from 30 °C."""
    for row in rows("faa_ac4313_derating_curve_points"):
        if row["curve"].startswith("single wire"):
            wire = AC_WIRES[row["x"].removeprefix("AWG")]
            rise = float(row["parameter"].removeprefix("deltaT=").removesuffix("C"))
            found = equal_loads_a([wire], 1, 30.0 + rise, 30.0)
            published = float(row["factor_or_amps"])
            reason = SAFE if found < 0.9 * published else ""
            figure = f"{row['x']} rise {rise:g} K"
            yield Compared(AC_FREE_AIR, figure, published, found, row["read_or_memory"], reason)


def altitude() -> Iterator[Compared]:
    """Points of AC 43.13-1B figure 11-5: 14 AWG at 180 °C in air of 30 °C, thinner air over air at sea level."""
    wire = AC_WIRES["14"]
    for row in rows("faa_ac4313_derating_curve_points"):
        if row["curve"].startswith("altitude") and row["x"] != "0":
            share = PRESSURE_SHARE[int(row["x"])]
            found = equal_loads_a([wire], 1, 180, 30, pressure_share=share) / equal_loads_a([wire], 1, 180, 30)
            published = float(row["factor_or_amps"])
            yield Compared(AC_ALTITUDE, f"{row['x']} ft", published, found, row["read_or_memory"])


def bundle_points() -> Iterator[Compared]:
    """Points of AC 43.13-1B figure 11-6: loaded share of a bundle, each loaded wire over one alone."""
    for row in rows("faa_ac4313_derating_curve_points"):
        if row["curve"].startswith("bundle"):
            count, share = int(row["x"].split()[0]), float(row["parameter"].split("%")[0]) / 100
            found = bundled_share(conductor("14 AWG"), count, count * share)
            figure = f"{count} wires, {share:.0%} loaded"
            yield Compared(AC_BUNDLE, figure, float(row["factor_or_amps"]), found, row["read_or_memory"])


def note_2() -> Iterator[Compared]:
    """33 CFR 183.425 note 2: 3, 4 to 6, 7 to 24, 25 and more wires, all full, at both ends of each band."""
    for row in rows("cfr33_183_425_factors"):
        if row["factor_set"].startswith("bundled"):
            for count in sorted({int(end) for end in row["key"].removesuffix("+").split("-")}):
                found = bundled_share(conductor("14 AWG"), count, count)
                published = float(row["factor"])
                reason = DIVERSE if found < 0.9 * published else ""
                yield Compared(NOTE_2, f"{count} wires", published, found, row["read_or_memory"], reason)


def bundled_share(size: Conductor, count: int, loaded: float) -> float:
    """Current of each loaded wire of a bundle over that of one alone, 105 °C in air of 30 °C."""
    return equal_loads_a([size] * count, loaded, 105, 30) / equal_loads_a([size], 1, 105, 30)


def ac_table() -> Iterator[Compared]:
    """AC 43.13-1B Table 11-9: 33 wires, 20 % loaded, 60,000 ft, air of 70 °C."""
    columns = {105: "ampacity_A_105C_bundle33_20pct_60kft_70Camb", 150: "ampacity_A_150C", 200: "ampacity_A_200C"}
    for row in rows("faa_ac4313_table11_9_copper"):
        wire = AC_WIRES[row["awg"]]
        for class_c, column in columns.items():
            published = float(row[column])
            found = equal_loads_a([wire] * 33, 6.6, class_c, 70.0, pressure_share=PRESSURE_SHARE[60000])
            reason = ""
            if wire.area_mm2 > 6:
                reason = LARGE_AC
            elif found > 1.1 * published and found < 1.06 * (published + 1):
                reason = WHOLE
            figure = f"{wire.label} {class_c} °C"
            yield Compared(AC_TABLE, figure, published, found, row["read_or_memory"], reason)


def everything() -> tuple[Compared, ...]:
    """Every published figure that the heat balance can be held against."""
    return (*table_5(), *free_air(), *ac_table(), *note_2(), *bundle_points(), *altitude())


def text() -> str:
    """The list as it is kept."""
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\n")
    writer.writerow(["table", "figure", "status", "published", "heat_balance", "off_percent", "reason"])
    for one in everything():
        off = f"{round(one.off * 100, 1) + 0:g}"
        writer.writerow([one.table, one.figure, one.status, f"{one.published:g}", f"{one.found:.3g}", off, one.reason])
    return written.getvalue()


if __name__ == "__main__":
    LISTED.write_text(text(), encoding="utf-8")
