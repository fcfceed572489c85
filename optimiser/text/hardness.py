"""How hard water is, as waterworks and test strips give it: mg/L or ppm as calcium carbonate, degrees, grains."""

from __future__ import annotations

from optimiser.maths.units import CALCIUM_CARBONATE
from optimiser.text.codes import Code
from optimiser.text.names import fold, shown
from optimiser.text.quantities import Misread, read_number

CALCIUM_OXIDE = 56.077  # g/mol

MG_PER_L = {
    "mg/l": 1.0,
    "ppm": 1.0,
    "dh": 10.0 * CALCIUM_CARBONATE / CALCIUM_OXIDE,  # a German degree is 10 mg of calcium oxide in a litre
    "fh": 10.0,  # a French degree is 10 mg of calcium carbonate in a litre
    "gpg": 64.79891 / 3.785411784,  # a grain in a US gallon
    "clark": 64.79891 / 4.54609,  # a grain in an imperial gallon
    "mmol/l": CALCIUM_CARBONATE,
}
"""mg of calcium carbonate in a litre, for one of each unit."""

_LONG_FORMS = {
    **dict.fromkeys(
        ("mg / l", "mg per litre", "mg per liter", "milligrams per litre", "mg caco3/l", "mg/l caco3"), "mg/l"
    ),
    **dict.fromkeys(("ppm caco3", "parts per million"), "ppm"),
    **dict.fromkeys(("°dh", "° dh", "degrees dh", "degree dh", "deg dh", "german degrees", "dgh"), "dh"),
    **dict.fromkeys(("°fh", "° fh", "degrees fh", "deg fh", "°f hardness", "french degrees"), "fh"),
    **dict.fromkeys(("grains", "grains per gallon", "gr/gal", "grains/gallon"), "gpg"),
    **dict.fromkeys(("degrees clark", "°clark", "°e", "english degrees"), "clark"),
    **dict.fromkeys(("mmol / l", "mmol per litre"), "mmol/l"),
}
MOST = 10_000.0  # mg/L: sea water has about 6,300


def read_hardness(text: str, what: str = "water hardness") -> float:
    """Hardness in mg of calcium carbonate per litre.

    Raises:
        Misread: no figure, no unit or another one, or more than any water has.
    """
    try:
        number = read_number(text)
    except Misread as error:
        help_ = f"the waterworks or a test strip tells it: write {what}: 250 mg/L, 14 dH or 15 gpg"
        raise Misread(error.code, error.message, error.help or help_) from None
    unit = fold(number.rest).removesuffix(" as caco3").removesuffix(" (as caco3)")
    unit = _LONG_FORMS.get(unit, unit)
    told = number.digits
    if not unit:
        message = f"{what} is given as {told}, and in no unit"
        raise Misread(Code.NO_UNIT, message, f"write {told} mg/L, {told} dH or {told} gpg")
    if unit not in MG_PER_L:
        message = f"{what} is not measured in {shown(number.rest)}"
        raise Misread(Code.WRONG_UNIT, message, "units: mg/L or ppm (as CaCO3), dH, fH, gpg, Clark, mmol/L")
    value = number.value * MG_PER_L[unit]
    if not 0.0 <= value <= MOST:
        raise Misread(Code.OUT_OF_RANGE, f"no water has a hardness of {text.strip()}", f"0 to {MOST:g} mg/L is taken")
    return value
