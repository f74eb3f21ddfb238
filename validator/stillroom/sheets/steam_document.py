"""Steam document: what a steam table says at one altitude, as a plain document for programs (schema/steam.json)."""

from __future__ import annotations

from typing import Any

from stillroom.answers.steam import Steam
from stillroom.sheets import documents

VERSION = "1.0"
"""Version of schema/steam.json. What a key means never changes within a whole number; keys may come."""
_PSI, _DEGREES = 3, 2
"""Decimals of psi and of degrees Fahrenheit."""


def document(found: Steam) -> dict[str, Any]:
    """Lay it out for programs; psi to the thousandth, degrees to the hundredth."""
    return {
        "kind": "steam",
        "version": VERSION,
        "altitude_ft": found.altitude_ft,
        "outside_psi": round(found.outside_psi, _PSI),
        "boiling_F": round(found.boiling_F, _DEGREES),
        "asked": found.asked,
        "points": [
            {"gauge_psi": round(point.gauge_psi, _PSI), "steam_F": round(point.steam_F, _DEGREES)}
            for point in found.points
        ],
        "gauge_psi_at_240_F": round(found.gauge_psi_at_240_F, _PSI),
        "gauge_psi_at_250_F": round(found.gauge_psi_at_250_F, _PSI),
        "cautions": [documents.stated(said) for said in found.cautions],
        "sources": list(found.sources),
    }
