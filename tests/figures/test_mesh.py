"""The surface as triangles: each walked around the same way, covering the pad once, for programs that ask for it."""

from __future__ import annotations

import numpy as np
import pytest

from rodcall.book.model.outline import Outline
from rodcall.figures.earthwork.design import Crown
from rodcall.figures.earthwork.volumes import Grade, Surface
from rodcall.figures.ground.mesh import mesh

AXIS = np.array([0.0, 2.0, 4.0])
HEIGHTS = np.array([[0.1, 0.3, 0.2], [0.0, 0.5, 0.1], [0.2, 0.2, 0.4]])
CORNERS = ((0.5, 0.0), (0.0, 3.5), (4.0, 4.0), (3.0, 0.5))
SLANTING = Grade(0.0, shape=Crown((0.0, 0.7), (4.0, 3.1), 0.02))


def doubled_areas(made) -> np.ndarray:
    """Twice the area of each face, above 0 where it is walked counter-clockwise from above with away as north."""
    (y0, x0, _), (y1, x1, _), (y2, x2, _) = (made.points[made.faces[:, at]].T for at in range(3))
    return (x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)


@pytest.mark.parametrize("ring", [CORNERS, CORNERS[::-1]])
@pytest.mark.parametrize("design", [None, SLANTING])
def test_every_face_is_walked_counter_clockwise_and_together_they_are_the_pad(ring, design):
    surface = Surface(HEIGHTS, AXIS, AXIS, outline=Outline(ring))
    found = doubled_areas(mesh(surface, design))
    assert (found > 0).all()
    assert found.sum() / 2 == pytest.approx(surface.area)


@pytest.mark.parametrize("design", [None, SLANTING])
@pytest.mark.parametrize("missing", range(4))
def test_with_a_corner_that_is_no_pad_too(design, missing):
    pad = np.ones((3, 3), np.bool_)
    pad[[0, 0, 2, 2][missing], [0, 2, 2, 0][missing]] = False
    surface = Surface(HEIGHTS, AXIS, AXIS, pad=pad)
    found = doubled_areas(mesh(surface, design))
    assert (found > 0).all()
    assert found.sum() / 2 == pytest.approx(16 - 2), "half a square of 2 x 2 m less"


def test_four_triangles_a_square_that_meet_at_the_mean_of_its_corners():
    made = mesh(Surface(HEIGHTS[:2, :2], AXIS[:2], AXIS[:2]))
    assert len(made.faces) == 4
    assert len(made.points) == 5
    middle = [tuple(point) for point in made.points.tolist() if point[:2] == [1.0, 1.0]]
    assert middle == [(1.0, 1.0, pytest.approx((0.1 + 0.3 + 0.0 + 0.5) / 4))]
    assert {tuple(point) for point in made.points.tolist() if point[:2] != [1.0, 1.0]} == {
        (0.0, 0.0, 0.1),
        (0.0, 2.0, 0.3),
        (2.0, 0.0, 0.0),
        (2.0, 2.0, 0.5),
    }
