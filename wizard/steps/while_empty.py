"""What counts while an answer is left empty: a form's own proportion, a table's density."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from wizard.plug.paths import Path, get
from wizard.plug.record import Build
from wizard.quantity.showing import plain


def while_empty(build: Build, path: Path) -> str:
    """What counts at a path while nothing is typed there, as it would be typed; else empty."""
    keys = ".".join(str(part) for part in path if not isinstance(part, int))
    found = _KNOWN[keys](build, path) if keys in _KNOWN else None
    if found is None:
        return ""
    return f"{plain(found / 1000)} g/mL" if keys.endswith("density") else found


def _of_form(build: Build, path: Path) -> str | None:
    from wizard.physics.forms import named

    form = None if build.shape.station else named(build.shape.form or "")
    return None if form is None else f"{plain(100 * getattr(form, str(path[-1])), 3)} %"


def _of_section(build: Build, path: Path) -> str:
    from wizard.plug.body.drawing import section_of

    return plain(getattr(section_of(build.shape), str(path[-1])), 3)


def _of_metal(build: Build, path: Path) -> float | None:
    from wizard.plug.ballast.parts import ballast_density

    return ballast_density(build.ballast) if build.ballast else None


def _of_filler(build: Build, path: Path) -> float | None:
    from wizard.plug.ballast.parts import filler_density, is_hollow

    ballast = build.ballast
    return None if ballast is None or is_hollow(ballast) else filler_density(ballast)


def _of_hardware(build: Build, path: Path) -> float | None:
    from wizard.plug.account import hardware_density

    return hardware_density(get(build, path[:-1]))


def _of_coat(build: Build, path: Path) -> float | None:
    from wizard.plug.account import coat_density

    return coat_density(get(build, path[:-1]))


_KNOWN: Mapping[str, Callable[[Build, Path], Any]] = {
    **{f"shape.{key}": _of_form for key in ("widest_at", "nose", "tail", "face")},
    **{f"shape.section.{key}": _of_section for key in ("widest", "upper", "lower", "flat_back")},
    "ballast.density": _of_metal,
    "ballast.filler_density": _of_filler,
    "hardware.density": _of_hardware,
    "coat.density": _of_coat,
}
