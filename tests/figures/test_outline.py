"""Pads of any outline and designs of several planes, against shapely (the geometry library GEOS) and closed forms."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
import shapely
import shapely.ops
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rodcall.book.model.outline import Outline, OutlineError
from rodcall.figures.earthwork.design import Crown, Dish, Ramp, Spots
from rodcall.figures.earthwork.volumes import Grade, Surface, balance
from rodcall.figures.ground.interpolation import above_target
from rodcall.figures.ground.mesh import mesh
from tests.kit import cut_and_fill


@st.composite
def outlines(draw, along: float, across: float) -> Outline:
    """A ring around the middle of a pad, each corner in a direction of its own, sometimes with a hole."""
    number = draw(st.integers(3, 9))
    share = st.floats(0.25, 1.0)
    angles = np.sort(np.array([draw(st.floats(0.05, 0.95)) + each for each in range(number)])) * 2 * np.pi / number
    assume(np.diff(angles, append=angles[0] + 2 * np.pi).max() < np.pi * 0.95)
    far = [draw(share) for _ in range(number)]
    ring = tuple(
        (along / 2 * (1 + out * float(np.cos(angle))), across / 2 * (1 + out * float(np.sin(angle))))
        for angle, out in zip(angles, far, strict=True)
    )
    holes = ()
    if draw(st.booleans()):
        half = 0.06
        middle = along / 2, across / 2
        holes = (
            (
                (middle[0] - half * along / 4, middle[1] - half * across / 4),
                (middle[0] + half * along / 4, middle[1] - half * across / 5),
                (middle[0] + half * along / 5, middle[1] + half * across / 4),
            ),
        )
    try:
        return Outline(ring, holes)
    except OutlineError:
        assume(False)
        raise


@st.composite
def grounds(draw) -> Surface:
    shape = draw(st.integers(2, 7)), draw(st.integers(2, 7))
    seed = draw(st.integers(0, 2**32 - 1))
    random = np.random.default_rng(seed)
    along_m, across_m = (np.concatenate(([0.0], random.uniform(0.5, 4.0, size - 1).cumsum())) for size in shape)
    heights = random.normal(0, 0.2, shape)
    inset = draw(st.sampled_from([0.0, 0.3]))
    outline = draw(st.none() | outlines(float(along_m[-1]), float(across_m[-1])))
    return Surface(heights, along_m, across_m, inset, None, outline)


def shapes(surface: Surface):
    """Designs that bend on or near the pad."""
    along, across = float(surface.along_m[-1]), float(surface.across_m[-1])
    points = st.tuples(st.floats(0, along), st.floats(0, across))
    far_apart = st.tuples(points, points).filter(lambda pair: np.hypot(*np.subtract(*pair)) > 0.2)
    fall = st.floats(-0.1, 0.1)
    return (
        st.builds(lambda pair, each: Crown(*pair, each), far_apart, fall)
        | st.builds(lambda pair, each: Ramp(*pair, each), far_apart, fall)
        | st.builds(Dish, points, fall)
    )


def gross_by_shapely(surface: Surface, grade: Grade) -> tuple[float, float, float]:
    """Area, cut and fill: every triangle of the surface cut by the outline, every crease and the target, as prisms."""
    edge = shapely.box(surface.node_across[0], surface.node_along[0], surface.node_across[-1], surface.node_along[-1])
    if surface.outline is not None:
        turned = [[(across, along) for along, across in ring] for ring in surface.outline.rings]
        edge = shapely.Polygon(turned[0], turned[1:])
    whole = shapely.box(-100, -100, 100, 100)
    regions = [whole]
    for along, across, limit in grade.creases:
        foot, way = np.array([across, along]) * limit, np.array([along, -across]) * 1e3
        line = shapely.LineString([foot - way, foot + way])
        regions = [part for each in regions for part in shapely.ops.split(each, line).geoms]
    area = cut = fill = 0.0
    nodes, lines, columns = surface.nodes, surface.node_along, surface.node_across
    for row in range(lines.size - 1):
        for column in range(columns.size - 1):
            corners = [(row, column), (row, column + 1), (row + 1, column + 1), (row + 1, column)]
            ring = [(columns[c], lines[r], nodes[r, c]) for r, c in corners]
            middle = tuple(np.mean(ring, axis=0))
            for at in range(4):
                three = np.array([middle, ring[at], ring[(at + 1) % 4]])
                plane = np.linalg.solve(np.column_stack((three[:, :2], np.ones(3))), three[:, 2])
                for region in regions:
                    part = shapely.intersection_all([shapely.Polygon(three[:, :2]), edge, region])
                    for polygon in shapely.get_parts(part):
                        if polygon.geom_type != "Polygon" or polygon.area < 1e-14:
                            continue
                        one = _above(polygon, plane, grade)
                        area, cut, fill = area + polygon.area, cut + one[0], fill + one[1]
    return area, cut, fill


def prism(*corners: tuple[float, float, float]) -> float:
    """Volume under a plane triangle: its area times the mean of its heights."""
    (x0, y0, a), (x1, y1, b), (x2, y2, c) = corners
    return abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)) / 2 * (a + b + c) / 3


def _above(polygon, plane, grade: Grade) -> tuple[float, float]:
    """Cut and fill over a polygon on which ground and target are planes."""
    cut = fill = 0.0
    for triangle in shapely.get_parts(shapely.constrained_delaunay_triangles(polygon)):
        points = np.array(triangle.exterior.coords)[:3]
        # The target is a plane inside; its corners may lie on a crease, where both planes agree.
        off = points @ plane[:2] + plane[2] - grade.at(points[:, 1], points[:, 0])
        for sign in (1.0, -1.0):
            kept = []
            for at in range(3):
                (p, q), (a, b) = (points[at - 1], points[at]), (sign * off[at - 1], sign * off[at])
                if (a < 0 < b) or (b < 0 < a):
                    share = a / (a - b)
                    kept.append((*(p + share * (q - p)), 0.0))
                if b >= 0:
                    kept.append((*q, b))
            volume = sum(prism(kept[0], b, c) for b, c in pairwise(kept[1:]))
            cut, fill = (cut + volume, fill) if sign > 0 else (cut, fill + volume)
    return cut, fill


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_area_cut_and_fill_are_those_of_a_geometry_library(data):
    surface = data.draw(grounds())
    shape = data.draw(st.none() | shapes(surface))
    offset, slopes = (
        data.draw(st.floats(-0.3, 0.3)),
        data.draw(st.tuples(st.floats(-0.05, 0.05), st.floats(-0.05, 0.05))),
    )
    grade = Grade(offset, *slopes, 0.0, 0.0, shape)
    area, cut, fill = gross_by_shapely(surface, grade)
    earth = cut_and_fill(surface, grade)
    assert surface.area == pytest.approx(area, rel=1e-9)
    assert (earth.cut, earth.fill) == pytest.approx((cut, fill), rel=0, abs=1e-9 * (cut + fill) + 1e-12)


@settings(deadline=None)
@given(data=st.data())
def test_the_whole_design_is_moved_until_the_dirt_balances(data):
    surface = data.draw(grounds())
    grade = Grade(0.0, 0.01, 0.0, 0.0, 0.0, data.draw(shapes(surface)))
    shrink = data.draw(st.floats(0, 0.3))
    offset = balance(surface, grade, shrink)
    earth = cut_and_fill(surface, Grade(offset, 0.01, 0.0, 0.0, 0.0, grade.shape))
    assert earth.cut * (1 - shrink) == pytest.approx(earth.fill, rel=1e-9, abs=1e-9 * surface.area)


def level_pad(along: float, across: float, lines: int, columns: int, outline: Outline | None = None) -> Surface:
    return Surface(
        np.zeros((lines, columns)), np.linspace(0, along, lines), np.linspace(0, across, columns), 0.0, None, outline
    )


def test_a_crown_on_level_ground_is_a_prism():
    """Triangle prism: half of base x height, here 20 x 6 m with the ridge in the middle, 2 % down to both sides: the
    cut beside the ridge is 2 x (1/2 x 3 x 0.06) x 20 m3. Plane geometry."""
    pad = level_pad(20, 6, 5, 4)
    earth = cut_and_fill(pad, Grade(0.0, shape=Crown((0, 3), (20, 3), 0.02), zero_across=3.0))
    assert (earth.cut, earth.fill) == pytest.approx((2 * 0.5 * 3 * 0.06 * 20, 0), abs=1e-12)


def test_a_dish_is_an_upside_down_pyramid():
    """A third of base x depth: 8 x 8 m falling 5 % to a drain in its middle, 0.2 m deep. Plane geometry."""
    pad = level_pad(8, 8, 4, 6)
    earth = cut_and_fill(pad, Grade(0.0, shape=Dish((4, 4), 0.05)))
    assert (earth.cut, earth.fill) == pytest.approx((8 * 8 * 0.2 / 3, 0), abs=1e-12)


def test_a_ramp_is_a_wedge_and_a_block():
    """10 m wide; level to 2 m, up by 0.5 m to 6 m, level to 12 m: (4 / 2 + 6) x 0.5 x 10 m3 of fill. Plane geometry."""
    pad = level_pad(12, 10, 4, 3)
    earth = cut_and_fill(pad, Grade(0.0, shape=Ramp((2, 0), (6, 0), 0.5)))
    assert (earth.cut, earth.fill) == pytest.approx((0, (4 / 2 + 6) * 0.5 * 10), abs=1e-12)


def test_an_l_shaped_pad_cut_by_one_height():
    """20 x 30 ft less a 10 x 10 ft corner, 0.1 m too high: its area times that."""
    outline = Outline(((0, 0), (0, 6), (6, 6), (6, 3), (9, 3), (9, 0)))
    pad = level_pad(9, 6, 4, 4, outline)
    earth = cut_and_fill(pad, Grade(-0.1))
    assert (pad.area, earth.cut) == pytest.approx((45.0, 4.5), rel=1e-12)


@settings(deadline=None)
@given(data=st.data())
def test_a_height_a_position_is_the_ground_itself_where_it_is_built(data):
    surface = data.draw(grounds())
    design = Spots(surface.heights, surface.along_m, surface.across_m)
    grade = Grade(float(surface.heights[0, 0]), shape=design)
    earth = cut_and_fill(surface, grade)
    assert (earth.cut, earth.fill) == pytest.approx((0, 0), abs=1e-12)


@settings(max_examples=30, deadline=None)
@given(data=st.data())
def test_the_mesh_covers_the_pad_once_and_has_its_heights(data):
    surface = data.draw(grounds())
    made = mesh(surface)
    corners = made.points[made.faces]
    (y, x) = corners[:, :, 0], corners[:, :, 1]
    areas = ((x[:, 1] - x[:, 0]) * (y[:, 2] - y[:, 0]) - (x[:, 2] - x[:, 0]) * (y[:, 1] - y[:, 0])) / 2
    assert areas.min() > -1e-9
    assert areas.sum() == pytest.approx(surface.area, rel=1e-6)
    assert (areas * corners[:, :, 2].mean(axis=1)).sum() == pytest.approx(
        surface.average * surface.area, rel=1e-6, abs=1e-6 * surface.area
    )


def test_a_picture_shows_no_ground_beyond_the_outline():
    outline = Outline(((0, 0), (0, 6), (9, 0)))
    seen = above_target(level_pad(9, 6, 4, 4, outline), Grade(-0.5), 90, 60)
    assert np.isfinite(seen).mean() == pytest.approx(0.5, abs=0.01)
    assert np.nanmax(seen) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("edge", "holes"),
    [
        (((0, 0), (0, 6)), ()),
        (((0, 0), (0, 6), (0, 3)), ()),
        (((0, 0), (6, 6), (0, 6), (6, 0)), ()),
        (((0, 0), (0, 6), (6, 6), (6, 0)), (((7, 7), (7, 8), (8, 8)),)),
        (((0, 0), (0, 6), (6, 6), (6, 0)), (((1, 1), (1, 5), (7, 3)),)),
        (((0, 0), (0, 6), (6, 6), (6, 0)), (((1, 1), (1, 5), (5, 5)), ((2, 2.5), (2, 3), (2.2, 3)))),
    ],
)
def test_corner_points_that_bound_no_pad_are_refused_in_a_line(edge, holes):
    with pytest.raises(OutlineError) as refused:
        Outline(edge, holes)
    assert "\n" not in str(refused.value)


@pytest.mark.parametrize("missing", range(4))
def test_of_a_square_with_three_corners_the_plane_through_them_counts(missing):
    """By hand: half of 4 m2, as high on average as the mean of its three corners, whatever lies at the fourth."""
    heights = np.array([1.0, 2.0, 4.0, 8.0])
    pad = np.arange(4) != missing
    mean = heights[pad].mean()
    heights[missing] = 1000.0
    axis = np.array([0.0, 2.0])
    surface = Surface(heights.reshape(2, 2), axis, axis, pad=pad.reshape(2, 2))
    assert surface.area == pytest.approx(2.0)
    assert surface.average == pytest.approx(mean)
    assert cut_and_fill(surface, Grade(0.0)).cut == pytest.approx(2.0 * mean)


def test_what_lies_beyond_the_outline_counts_nowhere_though_a_spot_there_is_no_pad():
    """By hand: 4 x 4 squares of 1 m2, the pad two columns of them; C1 to E1 lie beyond, and D2 is a tank there."""
    axis = np.arange(5.0)
    pad = np.ones((5, 5), bool)
    pad[1, 3] = False
    edge = Outline(((0.0, 0.0), (0.0, 2.0), (4.0, 2.0), (4.0, 0.0)))
    surface = Surface(np.ones((5, 5)), axis, axis, pad=pad, outline=edge)
    assert surface.area == pytest.approx(8.0)
    assert cut_and_fill(surface, Grade(0.0)).cut == pytest.approx(8.0)
    pad[1, 3], pad[1, 1] = True, False
    inside = Surface(np.ones((5, 5)), axis, axis, pad=pad, outline=edge)
    assert inside.area == pytest.approx(6.0), "inside it is half of each of the four squares beside it"


def test_an_edge_through_a_square_with_three_corners_cuts_the_plane_through_them():
    """By hand: 3 along + 2 across - 2 through B1, B2 and A2 of a square of 2 m; beyond along 1 it is 23/3 m3 on 3/2 m2.

    The integral over 1 <= s <= 2 of along, across and 1 between across 2 - s and 2: 7/3, 11/6 and 3/2. A1 is no pad.
    """
    axis = np.array([0.0, 2.0])
    heights, pad = np.array([[1000.0, 2.0], [4.0, 8.0]]), np.array([[False, True], [True, True]])
    edge = Outline(((1.0, 0.0), (1.0, 2.0), (2.0, 2.0), (2.0, 0.0)))
    surface = Surface(heights, axis, axis, pad=pad, outline=edge)
    assert surface.area == pytest.approx(3 / 2)
    assert surface.average * surface.area == pytest.approx(23 / 3)


@pytest.mark.parametrize("missing", range(4))
def test_the_raster_of_a_square_with_three_corners_ends_on_the_line_between_two(missing):
    """4 x 4 spots of the raster: the six on the missing corner's side of the diagonal are no pad, the diagonal is."""
    axis = np.array([0.0, 2.0])
    pad = np.arange(4) != missing
    surface = Surface(np.zeros((2, 2)), axis, axis, pad=pad.reshape(2, 2))
    lacking = np.isnan(above_target(surface, Grade(0.0), 4, 4))
    away, right = divmod(missing, 2)
    lines, columns = np.indices((4, 4))
    from_corner = np.abs(lines - 3 * away) + np.abs(columns - 3 * right)
    assert lacking.tolist() == (from_corner < 3).tolist()
