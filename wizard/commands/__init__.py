"""What the command line does beside opening the app: one module a command.

Each has `run(arguments) -> exit status`, and `wizard.__main__` names it in its
table. May import everything but `wizard.app`; each imports late what it needs.
Answers go to standard output, faults in one line to standard error.
"""
