"""The walk line by line, for screen readers and terminals that can do no more.

Prompts and answers on standard input and output: the same steps, the same rows
(`wizard.session.layout`), the same checks and the same profile as the app. No Textual.
"""
