"""Abscissae and weights along a body, beside numpy's and a published table."""

from __future__ import annotations

import numpy as np
import pytest

from wizard.physics.section import gauss


@pytest.mark.parametrize("order", [1, 2, 5, 7, 12, 32, 64])
def test_gauss_legendre(order: int) -> None:
    abscissae, weights = np.polynomial.legendre.leggauss(order)
    assert gauss(order)[0] == pytest.approx(abscissae, abs=1e-15)
    assert gauss(order)[1] == pytest.approx(weights, rel=1e-11)


def test_five_points_as_printed() -> None:
    # Abramowitz and Stegun, Handbook of Mathematical Functions (1964), Table 25.4, n = 5
    # (from memory).
    x, w = gauss(5)
    assert x[2:] == pytest.approx([0.0, 0.538469310105683, 0.906179845938664], abs=5e-16)
    assert w[2:] == pytest.approx([0.568888888888889, 0.478628670499366, 0.236926885056189])
