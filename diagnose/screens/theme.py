"""Two themes: one to read in daylight, one for the evening. Screens use their variables only, never a colour."""

from __future__ import annotations

from textual.theme import Theme

DAY = Theme(
    name="day",
    primary="#1d5c7d",
    secondary="#5b5344",
    accent="#1d5c7d",
    warning="#8a5200",
    error="#a3201d",
    success="#2d6a35",
    foreground="#1c1b18",
    background="#faf8f3",
    surface="#f3efe6",
    panel="#d9d2c3",
    dark=False,
    variables={
        "block-cursor-background": "#1d5c7d",
        "block-cursor-foreground": "#ffffff",
        "block-cursor-blurred-background": "#d9d2c3",
        "link-color": "#1d5c7d",
    },
)

NIGHT = Theme(
    name="night",
    primary="#7fb8d6",
    secondary="#b8ad98",
    accent="#7fb8d6",
    warning="#e0a558",
    error="#ef8a80",
    success="#8cc58f",
    foreground="#e6e1d6",
    background="#171a1c",
    surface="#1f2326",
    panel="#3a4146",
    dark=True,
    variables={"block-cursor-background": "#7fb8d6", "block-cursor-foreground": "#101213"},
)
