"""Shapes about people: log-in, accounts, links for one trip."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, Field

from api.shapes.texts import Plain, pasted

RoleWord = Literal["look", "pack", "manage"]


class LogIn(BaseModel):
    """A name and password; no name with the server's token as the password."""

    model_config = pasted({"name": "anna", "password": "three tired roadies"})

    name: Plain = Field(default="", max_length=100, examples=["anna"])
    password: Plain = Field(max_length=500, examples=["three tired roadies"])


class SessionOut(BaseModel):
    """Who is logged in. `secret` goes into the header Authorization: Bearer."""

    name: str
    role: RoleWord
    trip: str | None = Field(description="Set for someone who came by a link: only this trip")
    ends: str
    secret: str = Field(default="", description="Only in the answer to logging in")


class AccountIn(BaseModel):
    """A role and a password of at least 10 characters."""

    model_config = pasted({"role": "pack", "password": "three tired roadies"})

    role: RoleWord
    password: Plain = Field(min_length=10, max_length=500, examples=["three tired roadies"])


class AccountOut(BaseModel):
    """A named account."""

    name: str
    role: RoleWord
    made: str


class AccountsOut(BaseModel):
    """All accounts by name."""

    accounts: list[AccountOut]


class LinkIn(BaseModel):
    """What a link allows, and for how long."""

    model_config = pasted({"role": "pack", "hours": 48})

    role: Literal["look", "pack"] = Field(default="look", examples=["pack"])
    hours: int = Field(
        default=48, ge=1, le=24 * 60, description="Hours until it ends", examples=[48]
    )


class LinkOut(BaseModel):
    """A link to one trip. `path` is shown once, when it is made."""

    id: str
    trip: str
    role: RoleWord
    ends: str
    made: str
    made_by: str
    path: str = Field(
        default="", description="Open this on the phone; only in the answer to making it"
    )


class LinksOut(BaseModel):
    """The links of a trip that still work."""

    trip: str
    links: list[LinkOut]
