"""The colours of the three views, as plain values that painters and charts read."""

from __future__ import annotations

from dataclasses import dataclass

INSTAR_STEPS = 5


@dataclass(frozen=True, slots=True)
class Tokens:
    """One view's colours by what they are for, each ``#rrggbb``."""

    desk: str
    page: str
    wash: str
    ink: str
    ink2: str
    pencil: str
    rule: str
    rule2: str
    madder: str
    blue: str
    blue_wash: str
    leaf: str
    ochre: str
    egg: str
    larva: str
    pupa: str
    instars: tuple[str, ...]
    instar_ink: tuple[str, ...]
    dark: bool

    @property
    def moth(self) -> str:
        """Moths are drawn in the blue of links."""
        return self.blue

    def instar(self, number: int) -> tuple[str, str]:
        """Return fill and lettering of an instar; the sixth on take the fifth's."""
        step = min(max(number, 1), INSTAR_STEPS) - 1
        return self.instars[step], self.instar_ink[step]


DAY = Tokens(
    desk="#DADFCC",
    page="#F2F3E6",
    wash="#E8ECDC",
    ink="#1B2930",
    ink2="#3F4E55",
    pencil="#55625F",
    rule="#C6D0C1",
    rule2="#98A69C",
    madder="#8F1D48",
    blue="#1F4E70",
    blue_wash="#D3DFE0",
    leaf="#3D6322",
    ochre="#8A5608",
    egg="#8A5608",
    larva="#567537",
    pupa="#6B4A2F",
    instars=("#D8DFC2", "#B9C795", "#8FA766", "#567537", "#33541C"),
    instar_ink=("#1B2930", "#1B2930", "#1B2930", "#F2F3E6", "#F2F3E6"),
    dark=False,
)

DARK = Tokens(
    desk="#14110E",
    page="#1D1915",
    wash="#26211B",
    ink="#EFE5D2",
    ink2="#C9BCA4",
    # lighter than paper alone would need: expected counts stand on the blue wash too
    pencil="#B0A38C",
    rule="#3A332A",
    rule2="#6A5F50",
    madder="#E08FA4",
    blue="#93BAD1",
    blue_wash="#2B3A42",
    leaf="#A8C07A",
    ochre="#E0B364",
    egg="#D9C08A",
    larva="#8FAE5C",
    pupa="#AD7650",
    instars=("#3B4330", "#53613D", "#73884E", "#97B066", "#C2D98F"),
    instar_ink=("#EFE5D2", "#EFE5D2", "#14110E", "#14110E", "#14110E"),
    dark=True,
)

# (ink, ink2, pencil, rule2, rule) by brightness; blue stays 0 and green low up to step
# 3, because the rods that see in the dark hardly answer to long red light
_RED_STEPS = (
    ("#8A0A00", "#7A0900", "#6E0800", "#520500", "#300200"),
    ("#B40E00", "#A00C00", "#920B00", "#660600", "#380300"),
    ("#E41200", "#C81000", "#B50E00", "#7A0700", "#420300"),
    ("#FF1C08", "#E01600", "#CC1200", "#8A0900", "#4C0400"),
    ("#FF4A36", "#FF2A14", "#E81C08", "#A00C00", "#560500"),
)
RED_DEFAULT_STEP, RED_STEPS = 3, len(_RED_STEPS)


def red(step: int = RED_DEFAULT_STEP) -> Tokens:
    """Return the lamp's view, brightness 1 (eyes adapted) to 5 (wet glasses)."""
    if not 1 <= step <= len(_RED_STEPS):
        raise ValueError(f"brightness {step} is outside 1..{len(_RED_STEPS)}")
    ink, ink2, pencil, rule2, rule = _RED_STEPS[step - 1]
    black = "#000000"
    return Tokens(
        desk=black,
        page=black,
        wash="#120000",
        ink=ink,
        ink2=ink2,
        pencil=pencil,
        rule=rule,
        rule2=rule2,
        madder=ink,
        blue=ink2,
        blue_wash="#2A0200",
        leaf=ink2,
        ochre=ink,
        egg=ink2,
        larva=ink2,
        pupa=ink2,
        instars=(black,) * INSTAR_STEPS,
        instar_ink=(ink,) * INSTAR_STEPS,
        dark=True,
    )


def luminance(colour: str) -> float:
    """Return the relative luminance of ``#rrggbb`` (WCAG 2.2, definition)."""
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21 (WCAG 2.2, definition)."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)
