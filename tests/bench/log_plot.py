"""A plot with two logarithmic axes as SVG, drawn by hand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10

WIDTH, HEIGHT = 640, 420
LEFT, RIGHT, TOP, BOTTOM = 70, 130, 46, 52
INKS = ("#1b5e9b", "#b3541e", "#3c7a3a", "#6a4a8a")
MARKS = ("circle", "square", "diamond")


@dataclass(frozen=True)
class Line:
    """A named row of points; a dashed one is a guide without marks."""

    name: str
    points: tuple[tuple[float, float], ...]
    dashed: bool = False


@dataclass(frozen=True)
class LogPlot:
    """Lines over two logarithmic axes, each from a power of ten to a power of ten."""

    title: str
    across: str
    up: str
    lines: tuple[Line, ...]

    def svg(self) -> str:
        """The picture as a text."""
        frame = _Frame.around([point for line in self.lines for point in line.points])
        begin = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
            f'font-family="sans-serif" font-size="13" fill="#222">'
        )
        parts = [begin, f"<title>{self.title}</title>", f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#fff"/>']
        parts += [f'<text x="{LEFT}" y="24" font-size="15" font-weight="bold">{self.title}</text>']
        parts += [*frame.ticks(), *self._names_of_axes()]
        for number, line in enumerate(self.lines):
            parts += _drawn(line, number, [frame.place(point) for point in line.points])
        return "\n".join([*parts, "</svg>", ""])

    def _names_of_axes(self) -> Iterator[str]:
        middle = (TOP + HEIGHT - BOTTOM) / 2
        yield f'<text x="{(LEFT + WIDTH - RIGHT) / 2}" y="{HEIGHT - 12}" text-anchor="middle">{self.across}</text>'
        yield f'<text transform="translate(18 {middle}) rotate(-90)" text-anchor="middle">{self.up}</text>'


@dataclass(frozen=True)
class _Frame:
    """Exponents of the ends of both axes."""

    left: int
    right: int
    low: int
    high: int

    @classmethod
    def around(cls, points: Sequence[tuple[float, float]]) -> _Frame:
        xs, ys = [log10(x) for x, _ in points], [log10(y) for _, y in points]
        return cls(floor(min(xs)), ceil(max(xs)), floor(min(ys)), ceil(max(ys)))

    def place(self, point: tuple[float, float]) -> tuple[float, float]:
        across = (log10(point[0]) - self.left) / (self.right - self.left)
        up = (log10(point[1]) - self.low) / (self.high - self.low)
        return LEFT + across * (WIDTH - LEFT - RIGHT), HEIGHT - BOTTOM - up * (HEIGHT - TOP - BOTTOM)

    def ticks(self) -> Iterator[str]:
        for power in range(self.left, self.right + 1):
            x, _ = self.place((10.0**power, 10.0**self.low))
            yield f'<path d="M{x:.1f} {TOP}V{HEIGHT - BOTTOM}" stroke="#ddd"/>'
            yield f'<text x="{x:.1f}" y="{HEIGHT - BOTTOM + 18}" text-anchor="middle">{10.0**power:g}</text>'
        for power in range(self.low, self.high + 1):
            _, y = self.place((10.0**self.left, 10.0**power))
            yield f'<path d="M{LEFT} {y:.1f}H{WIDTH - RIGHT}" stroke="#ddd"/>'
            yield f'<text x="{LEFT - 8}" y="{y + 4:.1f}" text-anchor="end">{10.0**power:g}</text>'


def _drawn(line: Line, number: int, places: Sequence[tuple[float, float]]) -> Iterator[str]:
    ink = "#777" if line.dashed else INKS[number % len(INKS)]
    path = "L".join(f"{x:.1f} {y:.1f}" for x, y in places)
    dashes = ' stroke-dasharray="5 4"' if line.dashed else ""
    yield f'<path d="M{path}" fill="none" stroke="{ink}" stroke-width="1.6"{dashes}/>'
    if not line.dashed:
        yield from (_mark(MARKS[number % len(MARKS)], x, y, ink) for x, y in places)
    x, y = places[-1]
    yield f'<text x="{x + 9:.1f}" y="{y + 4:.1f}" fill="{ink}">{line.name}</text>'


def _mark(shape: str, x: float, y: float, ink: str) -> str:
    """Lines are told apart by the shape of their marks, not by colour alone."""
    if shape == "circle":
        return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3.6" fill="{ink}"/>'
    turned = f' transform="rotate(45 {x:.1f} {y:.1f})"' if shape == "diamond" else ""
    return f'<rect x="{x - 3.2:.1f}" y="{y - 3.2:.1f}" width="6.4" height="6.4" fill="{ink}"{turned}/>'
