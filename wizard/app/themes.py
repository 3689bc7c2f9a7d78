"""The app's own colours, as theme variables; contrast is tested against WCAG 2.2 AA."""

from __future__ import annotations

from textual.theme import Theme

DARK, LIGHT, CONTRAST, TERMINAL = "dark", "light", "contrast", "terminal"


def _theme(name: str, ink: str, paper: str, field: str, mark: str, faint: str, dark: bool) -> Theme:
    """A theme from five colours: ink and paper, the field, the mark of the focus, faint ink."""
    return Theme(
        name=name,
        primary=mark,
        secondary=faint,
        accent=mark,
        warning=mark,
        error=mark,
        success=mark,
        foreground=ink,
        background=paper,
        surface=field,
        panel=field,
        boost=field,
        dark=dark,
        variables={
            "ink": ink,
            "paper": paper,
            "field": field,
            "mark": mark,
            "faint": faint,
            "on-mark": paper,
            "block-cursor-text-style": "none",
            "input-cursor-background": ink,
            "input-cursor-foreground": paper,
            "input-cursor-text-style": "none",
            "input-selection-background": mark,
            "input-selection-foreground": paper,
            "border": mark,
            "border-blurred": faint,
            "scrollbar": faint,
            "scrollbar-hover": mark,
            "scrollbar-active": mark,
            "scrollbar-background": paper,
            "scrollbar-background-hover": paper,
            "scrollbar-background-active": paper,
            "scrollbar-corner-color": paper,
        },
    )


THEMES = (
    _theme(DARK, "#e6dfd0", "#1b2326", "#2b373b", "#f0b95a", "#a3b1ac", True),
    _theme(LIGHT, "#20282b", "#f4efe4", "#e2dac8", "#8a3d12", "#575f5c", False),
    _theme(CONTRAST, "#ffffff", "#000000", "#1c1c1c", "#ffe14d", "#d8d8d8", True),
)

IN_256 = (
    _theme(DARK, "#e4e4e4", "#121212", "#262626", "#ffaf5f", "#a8a8a8", True),
    _theme(LIGHT, "#262626", "#ffffd7", "#e4e4e4", "#870000", "#4e4e4e", False),
    _theme(CONTRAST, "#ffffff", "#000000", "#1c1c1c", "#ffff5f", "#dadada", True),
)
"""The same for terminals of 256 colours, each one of theirs: the nearest to a mixed dark
shade may be far lighter, and what stands on it unreadable."""

IN_16 = (
    _theme(DARK, "#ffffff", "#000000", "#000000", "#ffff00", "#c0c0c0", True),
    _theme(LIGHT, "#000000", "#ffffff", "#ffffff", "#000080", "#000000", False),
    _theme(CONTRAST, "#ffffff", "#000000", "#000000", "#ffff00", "#ffffff", True),
)
"""The same for terminals of 16 colours."""


def themes_for(system: str | None) -> tuple[Theme, ...]:
    """The themes for what a terminal can show, by Rich's word for it; None is no colour."""
    chosen = {"256": IN_256, "standard": IN_16, "windows": IN_16}.get(system or "", THEMES)
    return (*chosen, terminal_theme())


DESCRIBED = {
    DARK: "light ink on a dark board",
    LIGHT: "dark ink on paper",
    CONTRAST: "white and yellow on black",
    TERMINAL: "the colours of your terminal",
}


def terminal_theme() -> Theme:
    """A theme that leaves every colour to the terminal."""
    plain = _theme(
        TERMINAL,
        "ansi_default",
        "ansi_default",
        "ansi_default",
        "ansi_default",
        "ansi_default",
        True,
    )
    plain.ansi = True
    # Textual's own sheet asks for these two as soon as a theme is one of the terminal's.
    plain.variables |= {"ansi-background": "ansi_default", "ansi-foreground": "ansi_default"}
    return plain
