"""The page of all cautions, step by step, with their sources.

`docs/cautions.md` is this text; after a change of the table it is written anew:

    python -c "from wizard.report.cautions import write_page as w; w('docs/cautions.md')"
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from textwrap import fill

from wizard.tables import DEFERS, Caution, Step, cautions, cautions_for

_HEADINGS: Mapping[Step, str] = {
    "plan": "Plan",
    "stock": "Stock",
    "shape": "Shape",
    "weighing": "Weighing",
    "density": "Density test",
    "ballast": "Ballast",
    "hardware": "Hardware deduction",
    "coating": "Coating schedule",
    "proof": "Tank proof",
    "review": "Review",
}


def cautions_page() -> str:
    """All cautions as Markdown: those of each step in bench order, then where each is from."""
    return "\n\n".join(_paragraphs()) + "\n"


def write_page(path: str | Path) -> None:
    """Write the page to a file in UTF-8."""
    Path(path).write_text(cautions_page(), encoding="utf-8", newline="\n")


def _paragraphs() -> Iterator[str]:
    yield "# Cautions"
    yield _wrapped(
        "What the program says at each step about working safely, from"
        " `wizard/tables/cautions.toml`. General facts, not legal advice and not complete. "
        + DEFERS
    )
    for step, heading in _HEADINGS.items():
        yield f"## {heading}"
        shown = cautions_for(step)
        yield from (_caution(caution) for caution in shown)
        if not shown:
            yield "None of its own."
    yield "## Where each one comes from"
    yield _wrapped(
        '"Read in a copy": seen in a public copy of the text. "From memory": not'
        " confirmed; the caution stands, the source is where to look."
    )
    yield "\n".join(
        _wrapped(f"- **{caution.name}**: {caution.source}. {_sentence(caution.how)}", indent="  ")
        for caution in cautions().values()
    )


def _caution(caution: Caution) -> str:
    return _wrapped(
        f"- **{caution.name}.** {caution.hazard} {caution.precaution}"
        f" *First comes: {caution.defers_to}.*",
        indent="  ",
    )


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."


def _wrapped(text: str, indent: str = "") -> str:
    return fill(text, 80, subsequent_indent=indent, break_on_hyphens=False, break_long_words=False)
