"""The bench view: the row at hand in letters to be read from across the bench.

It is the same form, with one row in sight under a card: what is typed, taken, refused and
kept there is so because the form does it.
"""

from __future__ import annotations

from wizard.app.screens.step_page import StepPage
from wizard.app.widgets.choice import Choice
from wizard.app.widgets.drawn import plugwright
from wizard.app.widgets.field import Field
from wizard.session.layout import Line


class StepLarge(StepPage):
    """A step whose row at hand can be had in large letters."""

    is_large = False

    @property
    def hint_words(self) -> dict[str, str]:
        """What some keys do here just now."""
        field = self.field
        picks = "Units" if field is not None and field.has_units else "Names"
        return {"large": "Small" if self.is_large else "Large", "pick": picks}

    async def turn_large(self) -> None:
        """Go to the large letters, or back; the row at hand stays the same."""
        row = self.form.current
        line = row.row if row is not None and isinstance(row.row, Line) else None
        if not self.is_large and line is not None and _is_hole(line):
            self.drill(line.row)
            return
        self.is_large = not self.is_large
        if self.is_large and not self.query("Large"):
            from wizard.app.widgets.large import Large

            await self.query_one("#work").mount(Large(), before=self.form)
        self.set_class(self.is_large, "-large")
        self.form.show_one_row(self.is_large)
        key = plugwright(self).key("large")
        self.say(f"Enter goes on. {key} or Esc: small letters again." if self.is_large else "")
        self.tell_large()
        self.refresh_bindings()

    def drill(self, hole: int = 0) -> None:
        """Walk along the holes that are laid out, in large letters."""
        from wizard.app.screens.drill_list import DrillListScreen

        self.app.push_screen(DrillListScreen(self._session, self._bench, hole))

    def tell_large(self) -> None:
        """Show the row at hand as it stands now."""
        if not self.is_large:
            return
        from wizard.app.widgets.large import Large
        from wizard.session.large import card

        row = self.form.current
        reckoned = plugwright(self).reckoned
        shown = card(
            self._session.build,
            self._step.id,
            row.row if row is not None else None,
            reckoned.now if reckoned is not None else None,
            text=row.text if isinstance(row, Field) else "",
            pointed=row.pointed if isinstance(row, Choice) else "",
            is_draft=isinstance(row, Field) and row.is_draft,
            refused=isinstance(row, Field) and row.is_refused,
        )
        self.query_one(Large).show(shown)


def _is_hole(line: Line) -> bool:
    return line.group is not None and line.group.key == "ballast.hole"
