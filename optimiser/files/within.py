"""How much dearer than the cheapest a blend may be, as it is typed: "5 %", "0.30 / kg"."""

from __future__ import annotations

from optimiser.problem.within import MOST, Within
from optimiser.text.codes import Code
from optimiser.text.diagnostics import BadInput, Diagnostic
from optimiser.text.names import shown
from optimiser.text.quantities import Misread, read_money, read_share

WAYS = 'write it so: --within 5%, or --within "0.30 / kg"'
PER = ("kg", "lb", "bar")


def read_within(text: str) -> Within:
    """The figure of `--within`.

    Raises:
        BadInput: it is neither a part of the cost nor money by the kilo, pound or bar, or nothing, or out of reason.
    """
    try:
        return _money(text) if "/" in text or " per " in text.casefold().replace("per cent", "%") else _share(text)
    except Misread as error:
        help_ = f"{error.help}; or {WAYS}" if error.help and error.code == Code.SHARE_OR_FRACTION else WAYS
        raise BadInput([Diagnostic(error.code, f"--within: {error.message}", help_)]) from None


def _share(text: str) -> Within:
    number = read_share(text, "how much dearer a blend may be")
    _refuse_nothing(number.value, f"{number.digits} %")
    if number.value > MOST:
        raise Misread(Code.OUT_OF_RANGE, f"{number.digits} % dearer is not nearly as cheap: {MOST:g} % is the most")
    return Within(number.value, said=f"{number.digits} %")


def _money(text: str) -> Within:
    money = read_money(text, "how much dearer a blend may be")
    if money.per not in PER:
        raise Misread(Code.WRONG_UNIT, f"money by {shown(money.per)} is not told here, but by the kg, lb or bar")
    _refuse_nothing(money.amount, f"{money.digits} / {money.per}")
    said = f"{money.digits} {money.currency} / {money.per}" if money.currency else f"{money.digits} / {money.per}"
    return Within(None, money.amount, money.per, money.currency, said)


def _refuse_nothing(value: float, said: str) -> None:
    if value <= 0.0:
        raise Misread(Code.OUT_OF_RANGE, f"{said} dearer leaves no room for another blend")
