"""Days of waiting between minutes of work: the timetable of a plug's coats.

A leaf: imports nothing else of the project, reads no file and asks no clock; the
moment "now" is always an argument. `operations` says what is to be done, `hours` when
the bench is open, `timetable` puts one into the other (`chain` as tasks with gaps, `search`
the best places for them), `clock` says what is due, `calendar` writes it for a calendar
program; `findings`, `shop` and `remarks` say what is odd.

A moment is a datetime with an offset. All arithmetic is between instants (UTC); local
time is used for one thing only, the hours at the bench. A length of time is a
timedelta, so nothing in here has a unit.
"""
