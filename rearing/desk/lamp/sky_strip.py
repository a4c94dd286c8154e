"""The sky strip: dusk to dawn by density of ticks, the moon, the lamp, and now."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QPainter, QPen
from PySide6.QtWidgets import QWidget

from rearing.desk.widgets.writing import write

if TYPE_CHECKING:
    from PySide6.QtGui import QPaintEvent

    from rearing.desk.lamp.lamp_look import LampLook
    from rearing.keeping.night_sky import NightSky

_TICKS_PX = {"day": 3.0, "civil": 5.0, "nautical": 9.0, "astronomical": 17.0}
HALF_HOUR = dt.timedelta(minutes=45)


@dataclass(frozen=True, slots=True)
class LampBar:
    """When the lamp burnt: from, until (None: it burns), and when it was dark."""

    on: dt.datetime
    off: dt.datetime | None
    dark: tuple[tuple[dt.datetime, dt.datetime], ...] = ()


class SkyStrip(QWidget):
    """Three lines and one moment through all of them; every mark has its words."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.look: LampLook | None = None
        self._sky: NightSky | None = None
        self._lamp: LampBar | None = None
        self._now: dt.datetime | None = None

    def dress(self, look: LampLook) -> None:
        """Draw in another look."""
        self.look = look
        self.update()

    def tell(
        self, sky: NightSky | None, lamp: LampBar | None, now: dt.datetime | None
    ) -> None:
        """Show a night's sky, the lamp's time, and now where now is in it."""
        told = (self._sky, self._lamp, self._now)
        if told != (sky, lamp, now):
            self._sky, self._lamp, self._now = sky, lamp, now
            self.setAccessibleName(self.sentence)
            self.update()

    @property
    def sentence(self) -> str:
        """The night in words."""
        if self._sky is None:
            return "No site is entered: the sky of the night is not known."
        sky = self._sky
        told = [f"{word} {at:%H:%M}" for word, at in _marks(sky)]
        told.append(moon_words(sky))
        return ", ".join(told) + "."

    def paintEvent(self, event: QPaintEvent) -> None:
        look, sky = self.look, self._sky
        if look is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if sky is None:
            room = QRectF(self.rect())
            write(painter, room, self.sentence, look.strip, look.colour("ink2"))
            return
        scale = _Scale(sky, look.px(78), self.width() - 1.0)
        line = self.height() / 4
        self._sky_line(painter, look, scale, line)
        self._moon_line(painter, look, scale, QRectF(0, 2 * line, 0, line))
        self._lamp_line(painter, look, scale, QRectF(0, 3 * line, 0, line))
        self._now_line(painter, look, scale, line)

    def _named(
        self, painter: QPainter, look: LampLook, name: str, line: QRectF
    ) -> None:
        box = QRectF(0, line.top(), look.px(70), line.height())
        write(painter, box, name, look.strip, look.colour("ink2"))

    def _sky_line(
        self, painter: QPainter, look: LampLook, scale: _Scale, line: float
    ) -> None:
        band = QRectF(scale.left, line, scale.right - scale.left, line * 0.72)
        self._named(painter, look, "sky", QRectF(0, line * 0.86, 0, line))
        painter.setPen(look.pen("rule2", 1))
        painter.drawRect(band)
        painter.setPen(look.pen("ink2", 1.2))
        sky = scale.sky
        for since, to, light in _lights(sky, scale.start, scale.end):
            x, end = scale.x(since), scale.x(to)
            while x < end:
                painter.drawLine(QPointF(x, band.top()), QPointF(x, band.bottom()))
                x += look.px(_TICKS_PX[light])
        free = 0.0
        ruler = QFontMetricsF(look.strip)
        for word, at in _marks(sky):
            x, said = scale.x(at), f"{word} {at:%H:%M}"
            wide = ruler.horizontalAdvance(said)
            left = min(max(x, free), scale.right - wide)
            painter.setPen(look.pen("ink", 2))
            painter.drawLine(QPointF(x, line * 0.85), QPointF(x, band.bottom()))
            if left < free - 1:
                continue
            box = QRectF(left, 0, wide + 1, line * 0.86)
            write(painter, box, said, look.strip, look.colour("ink2"))
            free = left + wide + look.px(14)

    def _moon_line(
        self, painter: QPainter, look: LampLook, scale: _Scale, line: QRectF
    ) -> None:
        self._named(painter, look, "moon", line)
        sky, y = scale.sky, line.center().y()
        painter.setPen(look.pen("rule", 1))
        painter.drawLine(QPointF(scale.left, y), QPointF(scale.right, y))
        said = moon_words(sky)
        wide = QFontMetricsF(look.strip).horizontalAdvance(said)
        painter.setPen(QPen(look.colour("ink"), max(look.px(3), 2)))
        longest = QRectF(scale.left, line.top(), scale.right - scale.left, 0)
        edges = [scale.left]
        for since, to in sky.moon_up:
            x, end = scale.x(since), scale.x(to)
            if end > x:
                painter.drawLine(QPointF(x, y), QPointF(end, y))
                edges += [x, end]
        edges.append(scale.right)
        gaps = [
            (end - start, start)
            for start, end in zip(edges[::2], edges[1::2], strict=True)
        ]
        room, start = max(gaps)
        if room > wide + look.px(20):
            longest = QRectF(start + look.px(10), line.top(), wide + 2, line.height())
        else:
            longest = QRectF(scale.left + look.px(10), line.top(), wide + 2, 0)
            longest.setHeight(line.height())
        painter.fillRect(
            longest.adjusted(-look.px(6), 0, look.px(6), 0), look.colour("page")
        )
        write(painter, longest, said, look.strip, look.colour("ink2"))

    def _lamp_line(
        self, painter: QPainter, look: LampLook, scale: _Scale, line: QRectF
    ) -> None:
        self._named(painter, look, "lamp", line)
        lamp = self._lamp
        if lamp is None:
            box = QRectF(scale.left, line.top(), scale.right, line.height())
            write(painter, box, "not lit", look.quiet, look.colour("pencil"))
            return
        end = lamp.off or self._now or lamp.on
        left, right = scale.x(lamp.on), scale.x(end)
        bar = QRectF(left, line.center().y() - look.px(4), right - left, look.px(8))
        painter.fillRect(bar, look.colour("ink"))
        for since, to in lamp.dark:
            gap = QRectF(scale.x(since), bar.top() - 1, 0, bar.height() + 2)
            gap.setRight(max(scale.x(to), gap.left() + 2))
            painter.fillRect(gap, look.colour("page"))
            painter.setPen(look.pen("ink2", 1))
            painter.drawRect(gap)
        said, out = f"{lamp.on:%H:%M}", f"{lamp.off:%H:%M} out" if lamp.off else ""
        wide = QFontMetricsF(look.strip).horizontalAdvance(said)
        box = QRectF(left - wide - look.px(8), line.top(), wide + 2, line.height())
        write(painter, box, said, look.strip, look.colour("ink2"))
        if out:
            box = QRectF(right + look.px(8), line.top(), look.px(120), line.height())
            write(painter, box, out, look.strip, look.colour("ink2"))

    def _now_line(
        self, painter: QPainter, look: LampLook, scale: _Scale, line: float
    ) -> None:
        if self._now is None or not scale.start <= self._now <= scale.end:
            return
        x = scale.x(self._now)
        painter.setPen(QPen(look.colour("madder"), max(look.px(2.4), 2)))
        painter.drawLine(QPointF(x, line), QPointF(x, line * 4))
        if any(since <= self._now <= to for since, to in scale.sky.moon_up):
            painter.setBrush(look.colour("ink"))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.drawEllipse(QPointF(x, line * 2.5), look.px(8), look.px(8))
        box = QRectF(x + look.px(8), 3 * line, look.px(60), line)
        write(painter, box, "now", look.strip, look.colour("ink"))


@dataclass(frozen=True, slots=True)
class _Scale:
    sky: NightSky
    left: float
    right: float

    @property
    def start(self) -> dt.datetime:
        noon = dt.datetime.combine(self.sky.evening, dt.time(18), self._zone)
        return self.sky.sunset - HALF_HOUR if self.sky.sunset else noon

    @property
    def end(self) -> dt.datetime:
        if self.sky.sunrise:
            return self.sky.sunrise + HALF_HOUR
        return self.start + dt.timedelta(hours=12)

    @property
    def _zone(self) -> dt.tzinfo | None:
        known = next((at for _, at in _marks(self.sky)), None)
        return known.tzinfo if known else dt.UTC

    def x(self, at: dt.datetime) -> float:
        start, end = self.start.timestamp(), self.end.timestamp()
        share = (at.timestamp() - start) / (end - start)
        return self.left + min(max(share, 0.0), 1.0) * (self.right - self.left)


def _marks(sky: NightSky) -> list[tuple[str, dt.datetime]]:
    dark = sky.astronomical_dusk or sky.nautical_dusk
    grey = sky.astronomical_dawn or sky.nautical_dawn
    told = (
        ("sun set", sky.sunset),
        ("dark" if sky.astronomical_dusk else "darkest from", dark),
        ("first grey", grey),
        ("sun up", sky.sunrise),
    )
    return [(word, at) for word, at in told if at is not None]


def _lights(
    sky: NightSky, start: dt.datetime, end: dt.datetime
) -> list[tuple[dt.datetime, dt.datetime, str]]:
    """Return the spans of the strip by how much light there is; the dark has none."""
    evening = (sky.sunset, sky.civil_dusk, sky.nautical_dusk, sky.astronomical_dusk)
    morning = (sky.sunrise, sky.civil_dawn, sky.nautical_dawn, sky.astronomical_dawn)
    middle = start + (end - start) / 2
    spans, before = [], start
    for light, until in zip(_TICKS_PX, evening, strict=True):
        to = until or middle
        spans.append((before, to, light))
        before = to
    after = end
    for light, since in zip(_TICKS_PX, morning, strict=True):
        spans.append((since or middle, after, light))
        after = since or middle
    return spans


def moon_words(sky: NightSky) -> str:
    """Return the moon in words: its share, and when it is up between dusk and dawn."""
    start = sky.sunset or (sky.moon_up[0][0] if sky.moon_up else None)
    end = sky.sunrise or (sky.moon_up[-1][1] if sky.moon_up else None)
    if start is None or end is None:
        return f"{sky.moon_words}, not up"
    told = [(max(a, start), min(b, end)) for a, b in sky.moon_up]
    up = [(a, b) for a, b in told if b > a]
    if not up:
        return f"{sky.moon_words}, not up in the night"
    spans = [_span_words(a, b, start, end) for a, b in up]
    return f"{sky.moon_words}, up {' and '.join(spans)}"


def _span_words(
    since: dt.datetime, to: dt.datetime, start: dt.datetime, end: dt.datetime
) -> str:
    """Return when the moon is up, by what is seen of it between sunset and sunrise."""
    if (since, to) == (start, end):
        return "all night"
    if since == start:
        return f"until {to:%H:%M}"
    if to == end:
        return f"from {since:%H:%M}"
    return f"{since:%H:%M} to {to:%H:%M}"
