"""What a USB PD source can offer in one power data object, each kind as a frozen dataclass in SI units."""

from dataclasses import dataclass
from typing import Literal

Kind = Literal["fixed", "battery", "variable", "pps", "spr-avs", "epr-avs", "reserved"]


@dataclass(frozen=True, slots=True)
class FixedSupply:
    """One fixed voltage; the flags count only in the first object of a message, the one of 5 V.

    Attributes
    ----------
    voltage : float
        Voltage offered. [V]
    current : float
        Largest current. [A]
    dual_role_power : bool
        The port can also be a sink. [-]
    usb_suspend_supported : bool
        The sink has to follow the rules of USB suspend. [-]
    unconstrained_power : bool
        An external supply feeds the port. [-]
    usb_communications : bool
        The port has USB data. [-]
    dual_role_data : bool
        The port can swap its data role. [-]
    unchunked_extended_messages : bool
        Long messages may come in one piece. [-]
    epr_capable : bool
        The source can enter the extended power range. [-]
    peak_current : int
        Code of the overload levels, 0 to 3; 0 means none. [-]
    """

    voltage: float
    current: float
    dual_role_power: bool = False
    usb_suspend_supported: bool = False
    unconstrained_power: bool = False
    usb_communications: bool = False
    dual_role_data: bool = False
    unchunked_extended_messages: bool = False
    epr_capable: bool = False
    peak_current: int = 0


@dataclass(frozen=True, slots=True)
class BatterySupply:
    """A battery that is connected straight to the port.

    Attributes
    ----------
    voltage_max : float
        Highest voltage. [V]
    voltage_min : float
        Lowest voltage. [V]
    power : float
        Largest power. [W]
    """

    voltage_max: float
    voltage_min: float
    power: float


@dataclass(frozen=True, slots=True)
class VariableSupply:
    """A supply that is not well regulated.

    Attributes
    ----------
    voltage_max : float
        Highest voltage. [V]
    voltage_min : float
        Lowest voltage. [V]
    current : float
        Largest current. [A]
    """

    voltage_max: float
    voltage_min: float
    current: float


@dataclass(frozen=True, slots=True)
class ProgrammableSupply:
    """A programmable power supply (PPS) of the standard power range.

    Attributes
    ----------
    voltage_max : float
        Highest voltage that a sink may ask for. [V]
    voltage_min : float
        Lowest voltage that a sink may ask for. [V]
    current : float
        Largest current. [A]
    power_limited : bool
        The current falls above the voltage at which the source's rated power is reached. [-]
    """

    voltage_max: float
    voltage_min: float
    current: float
    power_limited: bool = False


@dataclass(frozen=True, slots=True)
class SprAdjustableSupply:
    """An adjustable voltage supply (AVS) of the standard power range, 9 V up to 15 V or 20 V.

    Attributes
    ----------
    current_to_15v : float
        Largest current from 9 V to 15 V. [A]
    current_to_20v : float
        Largest current above 15 V to 20 V; 0 where the range ends at 15 V. [A]
    peak_current : int
        Code of the overload levels, 0 to 3; 0 means none. [-]
    """

    current_to_15v: float
    current_to_20v: float
    peak_current: int = 0


@dataclass(frozen=True, slots=True)
class EprAdjustableSupply:
    """An adjustable voltage supply (AVS) of the extended power range.

    Attributes
    ----------
    voltage_max : float
        Highest voltage that a sink may ask for. [V]
    voltage_min : float
        Lowest voltage that a sink may ask for. [V]
    power : float
        The source's rated power. [W]
    peak_current : int
        Code of the overload levels, 0 to 3; 0 means none. [-]
    """

    voltage_max: float
    voltage_min: float
    power: float
    peak_current: int = 0


@dataclass(frozen=True, slots=True)
class ReservedSupply:
    """An object of a kind that no edition defines yet: its bits are kept and not read.

    Attributes
    ----------
    content : int
        Bits 27 to 0 as they came. [-]
    """

    content: int


Supply = (
    FixedSupply
    | BatterySupply
    | VariableSupply
    | ProgrammableSupply
    | SprAdjustableSupply
    | EprAdjustableSupply
    | ReservedSupply
)


@dataclass(frozen=True, slots=True)
class SourceObject:
    """A source power data object, decoded.

    Attributes
    ----------
    word : int
        The object as it came, 32 bits. [-]
    kind : str
        One of fixed, battery, variable, pps, spr-avs, epr-avs, reserved. [-]
    supply : Supply
        What it offers. [-]
    reserved_bits : int
        Those bits of the word that are set though the kind defines them as zero. [-]
    """

    word: int
    kind: Kind
    supply: Supply
    reserved_bits: int
