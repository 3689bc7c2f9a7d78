"""Whether the air of the shop suits what is still to be done."""

from __future__ import annotations

from wizard.schedule.findings import Finding
from wizard.schedule.operations import Limits, Operation


def shop_findings(
    operations: tuple[Operation, ...], temperature: float | None, humidity: float | None
) -> tuple[Finding, ...]:
    """Operations still to be done that the air of the shop doesn't suit.

    Args:
        operations: in bench order.
        temperature: of the shop [degC]; None if it wasn't measured.
        humidity: relative, of the shop [1]; None if it wasn't measured.
    """
    return tuple(
        finding
        for operation in operations
        if operation.finished is None
        for finding in (
            _outside(operation, "temperature", operation.temperature, temperature, 1, " °C"),
            _outside(operation, "humidity", operation.humidity, humidity, 100, " %"),
        )
        if finding is not None
    )


def _outside(
    operation: Operation,
    field: str,
    limits: Limits,
    value: float | None,
    scale: float,
    unit: str,
) -> Finding | None:
    if value is None:
        return None

    def shown(number: float) -> str:
        return f"{round(number * scale, 1):g}{unit}"

    too_low = limits.low is not None and value < limits.low
    too_high = limits.high is not None and value > limits.high
    if not (too_low or too_high):
        return None
    allowed = " to ".join(shown(limit) for limit in (limits.low, limits.high) if limit is not None)
    if limits.high is None:
        allowed = f"at least {allowed}"
    elif limits.low is None:
        allowed = f"at most {allowed}"
    return Finding(
        "warning",
        operation.id,
        field,
        f"The {field} of the shop is {shown(value)}, too {'low' if too_low else 'high'} "
        f"for {operation.name}.",
        f"It needs {allowed}: wait, or change the air before you begin.",
    )
