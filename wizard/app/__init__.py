"""The terminal app: the only place that imports Textual and Rich.

How it hangs together:

- `start.run` looks at the terminal and opens `app.Plugwright`, or the plain mode.
- `Plugwright` holds one `wizard.session.Session`, the frozen build of it, and what
  follows from that (`Reckoned`). An edit makes a new build; the session saves it in its
  own thread; the numbers are worked out in a worker; screens are told by three messages:
  `BuildChanged`, `SumsReady`, `NumbersReady`, `KeptChanged`.
- `screens/` has one module a screen. A screen composes, forwards and focuses; what it
  shows is worked out by `wizard.steps`, `wizard.report` and `wizard.session`.
  `StepScreen` serves all ten steps; to add a screen, subclass `widgets.sheet.Sheet`, give
  it a title and lines, and add its key in `keys.py` and its action in `pages.py`.
- `widgets/` hold no project knowledge beyond a question, a choice and a line. They post
  messages up; screens hand data down.
- `wizard.session.layout` says, without Textual, which rows a step's form has.
- Every text goes through `Plugwright.spelled`, and every painted line through
  `filters.Outgoing`: nothing from a file or a hand can act on the terminal.
"""
