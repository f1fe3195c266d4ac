"""Plans to pick from as a curve: meeting again to the right, uneven teams upwards; drawn by hand as SVG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from grouper.planning.several import Choice

WIDTH, HEIGHT = 640, 400
LEFT, RIGHT, TOP, BOTTOM = 76, 40, 36, 64
INK, LINE, POINT = "#17212b", "#8a969c", "#0f5149"


@dataclass(frozen=True)
class _Axis:
    """A span of values laid on a span of the drawing."""

    low: float
    high: float
    start: float
    end: float

    def at(self, value: float) -> float:
        share = (value - self.low) / ((self.high - self.low) or 1.0)
        return self.start + share * (self.end - self.start)


def tradeoff_svg(choices: Sequence[Choice]) -> str:
    """A drawing that stands on its own, the plans numbered as in the lines beside it."""
    across = _axis([choice.meeting_cost for choice in choices], LEFT, WIDTH - RIGHT)
    upward = _axis([choice.unevenness for choice in choices], HEIGHT - BOTTOM, TOP)
    points = [(across.at(choice.meeting_cost), upward.at(choice.unevenness)) for choice in choices]
    corner = f"M{LEFT} {TOP}V{HEIGHT - BOTTOM}H{WIDTH - RIGHT}"
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    parts = [
        f'<path d="{corner}" fill="none" stroke="{LINE}" stroke-width="1.5"/>',
        *_labels(across, upward),
        f'<polyline points="{path}" fill="none" stroke="{POINT}" stroke-width="2" stroke-dasharray="5 4"/>',
    ]
    parts += [_point(number, x, y) for number, (x, y) in enumerate(points, start=1)]
    box = f'viewBox="0 0 {WIDTH} {HEIGHT}" role="img" font-family="sans-serif"'
    head = f'<svg xmlns="http://www.w3.org/2000/svg" {box}>'
    title = "<title>Plans from newest partners to most even teams</title>"
    return "\n".join([head, title, f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#fff"/>', *parts, "</svg>"]) + "\n"


def _axis(values: Sequence[float], start: float, end: float) -> _Axis:
    room = 0.15 * (max(values) - min(values)) or 1.0
    return _Axis(max(0.0, min(values) - room), max(values) + room, start, end)


def _labels(across: _Axis, upward: _Axis) -> list[str]:
    right, below = WIDTH - RIGHT, HEIGHT - BOTTOM
    return [
        _text((LEFT + right) / 2, HEIGHT - 14, "cost of meeting the same people again", "middle"),
        _text(LEFT, TOP - 14, "how far teams are apart on average, in steps", "start"),
        _text(LEFT, below + 22, f"{across.low:.0f}", "middle"),
        _text(right, below + 22, f"{across.high:.0f}", "middle"),
        _text(LEFT - 10, below + 5, f"{upward.low:.2f}", "end"),
        _text(LEFT - 10, TOP + 5, f"{upward.high:.2f}", "end"),
    ]


def _text(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="15" fill="{INK}" text-anchor="{anchor}">{text}</text>'


def _point(number: int, x: float, y: float) -> str:
    circle = f'<circle cx="{x:.1f}" cy="{y:.1f}" r="13" fill="{POINT}"/>'
    label = f'<text x="{x:.1f}" y="{y + 5:.1f}" font-size="15" fill="#fff" text-anchor="middle">{number}</text>'
    return circle + label
