"""The room that batter takes up in a mould: litres by the kilo of each of its parts, and how far that may lie off.

Fats go by their densities at 40 degC. Of lye: 1/rho = w_water/0.998 + w_alkali v, with Laliberte & Cooper's density of a 33 %
lye at 20 degC (``lye_density``): 1.3566 of sodium and 1.3209 kg/L of potassium hydroxide; within 1.5 % of it from 28 to 36 %,
within 3 % from 25 to 40 %, and lye is about a quarter of a batter. What additives hold beside water has
litres of its own (``additives.csv``: one over their density, less of what dissolves). Fresh batter is taken as the sum of
its parts: what it draws together as it turns to soap, some 1 to 2 per cent, happens in the mould (common practice, no source).
"""

from __future__ import annotations

WATER_VOLUME = 1.0 / 0.998  # L per kg at 20 degC
SODIUM_VOLUME = 0.20  # L per kg of hydroxide in a 33 % lye: 1/1.3566 = 0.67/0.998 + 0.33 v
POTASSIUM_VOLUME = 0.26  # the same from 1/1.3209
SOLIDS_VOLUME = (
    0.8  # L per kg: what a liquid holds beside water (sugar 0.62, protein 0.74, fat 1.1), near enough for a mould
)
SOLIDS_OFF = 0.1  # L per kg: how far that may lie off
WITHIN = 0.02  # of a volume: fats 0.5 %, lye 1 %, warmth of the batter and stirred-in air the rest (our judgement)
