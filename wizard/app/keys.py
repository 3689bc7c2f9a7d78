"""Every key that works everywhere, each with an id so that it can be changed.

Function keys come with a control key that neither terminals, nor tmux, nor a line
editor take for themselves. No letter and no digit is a command.
"""

from __future__ import annotations

from textual.binding import Binding

EVERYWHERE: tuple[Binding, ...] = (
    Binding("f1,ctrl+g", "help", "Help", id="help"),
    Binding("f2,ctrl+r", "working", "Working", id="working"),
    Binding("f3,ctrl+o", "undo", "Undo", id="undo"),
    Binding("f4,ctrl+y", "redo", "Redo", id="redo", show=False),
    Binding("f5,ctrl+t", "pick", "Pick", id="pick"),
    Binding("f6,ctrl+n", "notes", "Notes", id="notes", show=False),
    Binding("f7,ctrl+l", "answers", "All answers", id="answers", show=False),
    Binding("f8,ctrl+f", "steps", "Go to a step", id="steps", show=False),
    Binding("f9", "cautions", "Cautions", id="cautions", show=False),
    Binding("f11,ctrl+x", "picture", "Picture", id="picture", show=False, priority=True),
    Binding("f12", "timetable", "Timetable of the coats", id="timetable", show=False),
    Binding("ctrl+p,f10", "menu", "Menu", id="menu"),
    Binding("ctrl+q", "quit", "Quit", id="quit", show=False, priority=True),
    Binding("ctrl+c", "explain_quit", "How to quit", id="explain", show=False),
    Binding("ctrl+s", "explain_saved", "Is it saved?", id="saved", show=False),
    Binding("ctrl+z", "suspend_process", "Suspend", id="suspend", show=False),
)
