"""Texts and ids as the API takes them: bounded, and nothing that a database or page chokes on."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Path
from pydantic import AfterValidator, ConfigDict, Field


def plain(text: str) -> str:
    """The text itself; ValueError for NUL and for halves of characters (lone surrogates)."""
    if "\x00" in text or any("\ud800" <= letter <= "\udfff" for letter in text):
        raise ValueError("holds characters that are no text")
    return text


def pasted(example: dict[str, Any]) -> ConfigDict:
    """A body's settings with one whole example, which a test pastes to a server."""
    return ConfigDict(json_schema_extra={"examples": [example]})


Plain = Annotated[str, AfterValidator(plain)]
Why = Annotated[
    str, Field(max_length=500, description="Kept with the entry"), AfterValidator(plain)
]
Name = Annotated[str, Field(max_length=200), AfterValidator(plain)]
Amount = Annotated[str, Field(max_length=30), AfterValidator(plain)]

_ID = "^[a-z0-9]{1,40}$"
TripId = Annotated[str, Path(pattern=_ID, description="A trip's id", examples=["k3m9x2p7qd"])]
PlanId = Annotated[str, Path(pattern=_ID, description="A plan's id", examples=["w8c4t6n2rb"])]
StudyId = Annotated[str, Path(pattern=_ID, description="A study's id", examples=["h5v9s3d7kc"])]
GearId = Annotated[
    str,
    Path(max_length=200, description="A gear id of the workbook", examples=["BASS-AMP"]),
    AfterValidator(plain),
]
CaseId = Annotated[
    str,
    Path(max_length=200, description="A case's id", examples=["TRUNK-2"]),
    AfterValidator(plain),
]
