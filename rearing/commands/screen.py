"""Whether a window can be opened here, found out before Qt is asked.

Qt ends the whole program when a library or the screen is missing, so both are looked
for first. The libraries are those that the Qt 6.11 of PySide6 is linked against on
Linux (read with ldd from its Gui library and its xcb and wayland plugins).
"""

from __future__ import annotations

import ctypes
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

# Library and the Debian package that holds it.
EVERY_WINDOW = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
X_WINDOW = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxcb.so.1": "libxcb1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
WAYLAND_WINDOW = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
}

AS_TEXT = "here is the round and the forecast as text."
NO_SCREEN = f"No screen here, so {AS_TEXT}"


def loads(library: str) -> bool:
    """Return whether a system library can be loaded."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def x_answers() -> bool:
    """Return whether the X screen that DISPLAY names takes a connection."""
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.c_void_p]
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    error = xcb.xcb_connection_has_error(connection)
    xcb.xcb_disconnect(connection)
    return not error


def no_window_because(
    platform: str,
    environment: Mapping[str, str],
    *,
    loads: Callable[[str], bool] = loads,
    answers: Callable[[], bool] = x_answers,
) -> tuple[str, ...]:
    """Return in lines why no window can be opened here; empty where one can be."""
    if not platform.startswith("linux"):
        return ()
    kinds = _kinds(environment)
    if not kinds:
        return (NO_SCREEN,)
    missing = {kind: _missing(kind, loads) for kind in kinds}
    usable = [kind for kind in kinds if not missing[kind]]
    if not usable:
        return _install(missing[kinds[-1]])
    if all(kind == "xcb" for kind in usable) and not (
        environment.get("DISPLAY") and answers()
    ):
        where = environment.get("DISPLAY", "")
        return (f"No screen answers at DISPLAY={where}, so {AS_TEXT}",)
    return ()


def not_loadable(trouble: ImportError) -> tuple[str, ...]:
    """Return the lines for a window that could not be loaded; a bug is raised again."""
    if (trouble.name or "").startswith("rearing"):
        raise trouble
    return (f"The window can't be opened ({trouble}), so {AS_TEXT}",)


def _kinds(environment: Mapping[str, str]) -> list[str]:
    """Return the kinds of window Qt will try, most likely first."""
    asked = environment.get("QT_QPA_PLATFORM", "")
    if asked:
        return [name.partition(":")[0] for name in asked.split(";") if name]
    kinds = []
    if _wayland_socket(environment):
        kinds.append("wayland")
    if environment.get("DISPLAY"):
        kinds.append("xcb")
    return kinds


def _wayland_socket(environment: Mapping[str, str]) -> bool:
    name = environment.get("WAYLAND_DISPLAY")
    if not name:
        return False
    return Path(environment.get("XDG_RUNTIME_DIR", ""), name).exists()


def _missing(kind: str, loads: Callable[[str], bool]) -> list[str]:
    needed = dict(EVERY_WINDOW)
    if kind == "xcb":
        needed |= X_WINDOW
    if kind.startswith("wayland"):
        needed |= WAYLAND_WINDOW
    return sorted({package for name, package in needed.items() if not loads(name)})


def _install(packages: list[str]) -> tuple[str, ...]:
    return (
        "The window needs system libraries that are missing here. On Debian and its "
        "kin this brings them:",
        f"    apt-get install {' '.join(packages)}",
        f"Until then {AS_TEXT}",
    )
