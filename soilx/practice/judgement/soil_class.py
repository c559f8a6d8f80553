"""Saline, sodic, both or neither: the class of a soil, or what cannot be told of it."""

from enum import StrEnum

from soilx.practice.judgement.thresholds import US, Convention


class SoilClass(StrEnum):
    """The class; the value is the words on the screen."""

    NEITHER = "neither saline nor sodic"
    SALINE = "saline"
    SODIC = "sodic"
    SALINE_SODIC = "saline-sodic"
    SODIC_SALT_UNKNOWN = "sodic; whether saline too cannot be told"
    NOT_SODIC_SALT_UNKNOWN = "not sodic; whether saline cannot be told"
    SALINE_SODIUM_UNKNOWN = "saline; whether sodic too cannot be told"
    NOT_SALINE_SODIUM_UNKNOWN = "not saline; whether sodic cannot be told"
    UNKNOWN = "cannot be told"


_CLASSES = {
    (False, False): SoilClass.NEITHER,
    (True, False): SoilClass.SALINE,
    (False, True): SoilClass.SODIC,
    (True, True): SoilClass.SALINE_SODIC,
    (None, True): SoilClass.SODIC_SALT_UNKNOWN,
    (None, False): SoilClass.NOT_SODIC_SALT_UNKNOWN,
    (True, None): SoilClass.SALINE_SODIUM_UNKNOWN,
    (False, None): SoilClass.NOT_SALINE_SODIUM_UNKNOWN,
    (None, None): SoilClass.UNKNOWN,
}


def class_of(*, saline: bool | None, sodic: bool | None) -> SoilClass:
    """Class from its two answers.

    Parameters
    ----------
    saline, sodic : bool or None
        None where it cannot be told.
    """
    return _CLASSES[saline, sodic]


def soil_class(
    *,
    ec: float | None = None,
    esp_pct: float | None = None,
    sar: float | None = None,
    convention: Convention = US,
) -> SoilClass:
    """Class of a soil by the upper ends of a convention's bands.

    Parameters
    ----------
    ec : float, optional
        Conductivity of the saturation extract, no other [dS/m].
    esp_pct : float, optional
        Exchangeable sodium percentage [%].
    sar : float, optional
        SAR of the saturation extract; either above its limit makes a soil sodic.
    convention : Convention
        Whose limits; the United States' unless given.

    References
    ----------
    kstate_classes, ussl1954, naidu1993
    """
    saline = None if ec is None else convention.ec.over(ec)
    passed = [
        band.over(value)
        for value, band in ((esp_pct, convention.esp), (sar, convention.sar))
        if value is not None
    ]
    return class_of(saline=saline, sodic=any(passed) if passed else None)
