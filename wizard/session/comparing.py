"""From paths to the lines of a comparison."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from wizard.store.opening import Unreadable, open_profile


def lines(paths: Sequence[Path], width: int, *, everything: bool = False) -> tuple[str, ...]:
    """Builds side by side, a line each row; one that can't be read is said so.

    Args:
        paths: of two or more profiles.
        width: columns that they may use.
        everything: whether answers that all have alike are listed too.
    """
    from wizard.plug.derive import derive
    from wizard.plug.onward.compare import comparison
    from wizard.report.as_text import text
    from wizard.report.comparing import comparison_page
    from wizard.steps.wording import label

    builds, trouble = [], []
    for path in paths:
        try:
            builds.append(open_profile(path).build)
        except Unreadable as error:
            trouble.append(f"! {error}")
    if len(builds) < 2:
        return (*trouble, "There are not two builds to compare.")
    derived = [derive(build) for build in builds]
    page = comparison_page(
        builds, derived, comparison(builds, derived), label, everything=everything
    )
    return (*trouble, *text(page, width=width).splitlines())
