from typing import Any, Literal, TypeAlias

from offnominal._answers import Many, Told

__all__ = ["State", "mix", "pressure", "state"]

_Values: TypeAlias = Any  # a float, or an array if any argument was one
_Argument: TypeAlias = Any  # a number, an array, or a Pint quantity

def state(
    *,
    units: Literal["IP", "SI"],
    dry_bulb: _Argument,
    wet_bulb: _Argument = None,
    relative_humidity: _Argument = None,
    humidity_ratio: _Argument = None,
    dew_point: _Argument = None,
    enthalpy: _Argument = None,
    pressure: _Argument = None,
    elevation: _Argument = None,
    wick: Literal["wet", "frozen"] = "wet",
    over: Literal["ashrae", "water"] = "ashrae",
) -> State: ...
def mix(first: State, first_mass: _Argument, second: State, second_mass: _Argument) -> State: ...
def pressure(*, units: Literal["IP", "SI"], elevation: _Argument) -> _Values: ...

class State(Many, Told):
    def __init__(
        self,
        units: Literal["IP", "SI"],
        wick: str,
        over: str,
        dry_bulb: _Values,
        humidity_ratio: _Values,
        pressure: _Values,
        saturated: _Values,
        why: Any = None,
        about: Any = None,
        labels: Any = None,
    ) -> None: ...
    @property
    def dry_bulb(self) -> _Values: ...
    @property
    def saturated_within_tolerance(self) -> _Values: ...
    @property
    def wet_bulb(self) -> _Values: ...
    @property
    def dew_point(self) -> _Values: ...
    @property
    def relative_humidity(self) -> _Values: ...
    @property
    def humidity_ratio(self) -> _Values: ...
    @property
    def enthalpy(self) -> _Values: ...
    @property
    def volume(self) -> _Values: ...
    @property
    def pressure(self) -> _Values: ...
    @property
    def answered(self) -> Any: ...
    @property
    def reason(self) -> Any: ...
    @property
    def about(self) -> Any: ...
    def to_dict(self) -> dict[str, Any]: ...
    @property
    def shape(self) -> tuple[int, ...]: ...
