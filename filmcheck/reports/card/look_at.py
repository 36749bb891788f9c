"""What to look at on each kind of station while webbing up, in the order of the path, and the standing cautions.

Common practice, no source, save where a rule has more to say.
"""

from __future__ import annotations

LOOK_AT = {
    "unwind": "roll edge straight, no shifted turns; core tight on the shaft; tension read at the display",
    "splice table": "splice square and flat, no overlap",
    "edge guide": "edge steady; web not pinched",
    "static control": "emitters clean, switched on, at the maker's distance from the web",
    "web cleaner": "rolls or nozzle clean; what it takes off does not come back",
    "idlers": "every one turns by hand and stops late; clean",
    "nip": "opens and closes evenly; rubber clean, no flat spots",
    "print": "impression light; register marks in sight",
    "varnish": "film even to both edges",
    "uv lamp": "shielding shut; reflector clean; setting as in the table; web cool behind it",
    "led lamp": "window clean; setting as in the table",
    "dryer": "air at the set temperature; exhaust on",
    "chill roll": "cold, dry, no dew; web lies on it all round",
    "turn bar": "bar clean and smooth; web does not pull to one side",
    "laminate": "no air, no creases; edges together",
    "cold foil": "foil tight, peels clean",
    "die cut": "bearers clean and running; gauge at zero before load; liner checked by imprint",
    "matrix strip": "matrix whole at both edges; angle steady",
    "slit": "knives clean, sharp and turning freely",
    "inspection": "camera or lamp clean; counts from zero",
    "rewind": "core tight; first turns flat; taper switched on",
}
"""By kind of station; a kind that is not here is looked at as the maker says."""

UV = "UV harms skin and eyes: keep the shielding shut."
CAUTIONS = {
    "nip": ("Nips draw hands in: guards stay on, web up at crawl.",),
    "laminate": ("Nips draw hands in: guards stay on, web up at crawl.",),
    "die cut": ("Dies and knives cut: press stopped and locked off, gloves on.",),
    "uv lamp": (UV, "Mercury lamps give off ozone, are hot, and break."),
    "led lamp": (UV,),
    "static control": (
        "A static shock near flammable vapour can start a fire; grounding and ionizers are for qualified people, "
        "by the local electrical and fire codes.",
    ),
}
"""By kind of station."""
