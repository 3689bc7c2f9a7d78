"""Work done apart, so that no key and no paint waits for it.

Python lets one thread of a process work at a time. What takes longer than a blink is
therefore asked of a second process, `Elsewhere`: a function of a module, its arguments,
and what it yields, part by part. The process is started when it is first asked and let
go when nobody has asked for a while, which gives all its memory back. `Here` does the
same work in a thread: for tests, and wherever a second process can't be had.

Knows nothing of the project: what is worked out comes in as a function.
"""
