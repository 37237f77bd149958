"""Plain words of the trade for keys and for words that stand at them, folded as `folded` does."""

from __future__ import annotations

import re

HEADINGS: dict[str, dict[str, tuple[str, ...]]] = {
    "tool": {
        "name": ("description", "designation", "tool", "cutter", "title"),
        "shape": ("type", "tooltype", "cuttertype", "form"),
        "diameter": (
            "d",
            "d1",
            "dia",
            "ø",
            "⌀",
            "cutterdiameter",
            "cuttingdiameter",
            "tooldiameter",
            "cutterdia",
            "tooldia",
        ),
        "flutes": ("z", "teeth", "noofflutes", "numberofflutes", "flutecount", "noofteeth", "numberofteeth"),
        "helix": ("helixangle",),
        "flute_length": (
            "lengthofcut",
            "loc",
            "cuttinglength",
            "cutlength",
            "lengthofflutes",
            "cuttingdepth",
        ),
        "reach": ("usablelength", "usefullength"),
        "neck_diameter": ("neck", "neckdia"),
        "shank_diameter": ("shank", "shankdia", "shaft", "shaftdiameter", "d2"),
        "overall_length": ("totallength", "lengthoverall", "fulllength"),
        "corner_radius": ("cornerrad", "edgecornerradius"),
        "point_angle": ("includedangle", "tipangle"),
        "taper": ("taperangle",),
        "substrate": ("material", "toolmaterial", "cuttermaterial", "cuttingmaterial", "grade"),
        "rake": ("rakeangle",),
        "max_speed": ("maxrpm", "maximumspeed", "maximumrpm", "maxspindlespeed", "speedlimit"),
    },
    "recipe": {
        "name": ("description", "title", "recipe"),
        "machine": ("router", "mill"),
        "tool": ("cutter", "toolid", "endmill"),
        "material": ("stock", "workpiece", "workmaterial", "workpiecematerial"),
        "operation": ("op", "cut"),
        "standing": ("status", "state"),
        "spindle_speed": ("rpm", "speed", "spindle", "n", "s", "spindlerpm", "revs"),
        "feed_rate": ("feed", "f", "vf", "tablefeed", "feedspeed"),
        "feed_per_tooth": ("fz", "chipload", "feed", "feedtooth", "toothfeed", "chippertooth"),
        "axial_depth": ("ap", "doc", "depthofcut", "depth", "axialdepthofcut", "stepdown", "depthperpass"),
        "radial_width": ("ae", "woc", "widthofcut", "width", "radialdepth", "radialdepthofcut", "stepover"),
        "stickout": ("overhang", "projection"),
        "cooling": ("coolant",),
        "allowance": ("stocktoleave", "finishallowance"),
        "ramp_angle": ("ramp",),
        "hole_diameter": ("hole", "boredia", "borediameter"),
        "notes": ("note", "comment", "comments", "remark", "remarks"),
        "derived.from": ("parent",),
    },
    "machine": {"name": ("description", "title", "machine")},
    "material": {"name": ("description", "title", "material")},
    "job": {"name": ("description", "title", "job")},
}
"""Words for a key besides its own name, by kind of record; where two keys share one, the unit decides."""

WORDS: dict[str, dict[str, str]] = {
    "shape": {
        "flat": "square", "flatend": "square", "straight": "square", "endmill": "square",
        "ballnose": "ball", "ballend": "ball", "bullnose": "corner-radius", "radius": "corner-radius",
        "cornerradiused": "corner-radius", "vbit": "chamfer", "chamfermill": "chamfer", "taper": "tapered",
    },
    "substrate": {
        "solidcarbide": "carbide", "tungstencarbide": "carbide", "highspeedsteel": "hss",
        "cobalt": "cobalt-hss", "hssco": "cobalt-hss", "hsse": "cobalt-hss",
    },
    "cooling": {"none": "dry", "air": "air-blast"},
    "direction": {"climbmilling": "climb", "downcut": "climb", "conventionalmilling": "conventional"},
    "operation": {"roughing": "rough", "finishing": "finish", "slotting": "slot", "boring": "bore"},
}  # fmt: skip
"""Words for a word that may stand at a key."""


def folded(text: str) -> str:
    """Bring a heading or a word to one way of writing: no case, spaces, dots, hyphens or underscores."""
    return re.sub(r"[\s_.,\-/:#*]+", "", text.casefold())


def word_at(key: str, text: str, choices: tuple[str, ...]) -> str:
    """Give the word of a closed list that a text means; the text itself where it means none."""
    plain = folded(text)
    here = {folded(word): word for word in choices} | {
        word: meant for word, meant in WORDS.get(key, {}).items() if meant in choices
    }
    return here.get(plain, text)
