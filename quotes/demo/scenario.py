"""What the demo studio is working on. People, places and pieces are invented."""

from dataclasses import dataclass, field

EMAIL = "juno@marrow-lane.example"
PASSWORD = "a-brush-and-a-kettle"

MIXES = {
    "Harvest gold": (
        "#c79a3b",
        "Warm mid-tone for strands and wheat.",
        {"PY43": 5, "PBr7 raw sienna": 2, "PW6": 1},
    ),
    "Evening blue": (
        "#3f5b7d",
        "Sky at the top edge; thin to the horizon.",
        {"PB29": 3, "PBr7 burnt umber": 1, "PW6": 3},
    ),
    "Hedge green": ("", "Leaves and stems.", {"PG17": 3, "PY43": 2}),
    "Madder shade": (
        "#7a2f2c",
        "Where a strand passes under; berries.",
        {"PR101 Venetian red": 12, "PBk11": 1},
    ),
}
"""Name: colour as she saw it or "", note, parts by the key of their pigment."""

DARKER = ("Harvest gold",)
"""Mixes of which she keeps the darker sibling too."""

STAGE_MIXES = {
    "mid-tone": "Harvest gold",
    "letter": "Madder shade",
    "shadows": "Madder shade",
    "first-oil": "Harvest gold",
    "gradient": "Evening blue",
    "details": "Hedge green",
}

CLIENTS = {
    "Ottoline Farrow": ("ottoline@farrow.example", "3 Kiln Cottages\nUpper Wend"),
    "Bram Okonedo-Lisle": ("bram@lisle.example", "The Old Chandlery\nSaltby Quay"),
    "Tomasz Łęgowski": ("tomasz@legowski.example", "18 Weir Street\nHallam-on-Ouse"),
    "Signe Ærtsgård": ("signe@aertsgard.example", "Birch House\nNether Combe"),
}


ON_ORDER = ("acrylic-varnish", 6)
"""A binder that is there only so many days from today; nothing is varnished sooner."""


@dataclass(frozen=True)
class PanelPlan:
    """A panel: sizes and place in millimetres; `sheet` names a shipped method sheet.

    Its colours are `agreed` so many days from today, or are.
    """

    name: str
    kind: str
    width: int
    height: int
    motif: str
    intricacy: int
    sheet: str
    ground: tuple[str, str] = ("", "")
    place: tuple[int, int] | None = None
    agreed: int | None = None


@dataclass(frozen=True)
class SurfacePlan:
    """A surface in millimetres, its panels, and the surface it mirrors, if any."""

    name: str
    face: str
    width: int
    height: int
    place: tuple[int, int] = (0, 0)
    removable: bool = False
    panels: tuple[PanelPlan, ...] = ()
    mirrors: str = ""


@dataclass(frozen=True)
class CommissionPlan:
    """A commission, in days from today: asked, accepted (None: not), wanted, handed over.

    `first` are kinds of work that this piece needs beside those of its method sheets. The piece
    `arrives` so many days from today, or is here.
    """

    title: str
    client: str
    brief: str
    piece: str
    about: dict = field(default_factory=dict)
    first: tuple[str, ...] = ()
    surfaces: tuple[SurfacePlan, ...] = ()
    asked: int = 0
    accepted: int | None = None
    wanted: int = 60
    handed_over: int | None = None
    arrives: int | None = None


OIL_INTERLACE = "Interlace in acrylic underpainting and oil"
OIL_FIGURE = "Landscape or figure in acrylic and oil"
ACRYLIC = "Acrylic only"
ONE_COLOUR = "Lettering or border in one colour"
UMBER = ("Burnt umber", "#5b4636")
CREAM = ("Warm cream", "#e6d8b4")
BLUE = ("Slate blue", "#4d6478")
DRAWN_IN_WHITE = (UMBER, BLUE)
"""Grounds too dark for graphite."""

COMMISSIONS = (
    CommissionPlan(
        title="Bread bin with a wheat border",
        client="Ottoline Farrow",
        brief="A border of wheat ears round the lid and her initials on the front.",
        piece="Bread bin",
        about={"material": "softwood", "finish": "bare", "made_in": 2019, "use": "display"},
        first=("seal",),
        asked=-118,
        accepted=-110,
        wanted=-30,
        handed_over=-40,
        surfaces=(
            SurfacePlan(
                "Lid",
                "top",
                420,
                260,
                panels=(
                    PanelPlan("Wheat", "rectangle", 340, 180, "wheat ears", 2, ONE_COLOUR, CREAM),
                ),
            ),
            SurfacePlan(
                "Front",
                "front",
                420,
                200,
                panels=(PanelPlan("Initials", "oval", 200, 120, "O and F", 2, ONE_COLOUR, CREAM),),
            ),
        ),
    ),
    CommissionPlan(
        title="Blanket chest",
        client="Bram Okonedo-Lisle",
        brief=(
            "An evening sky on the lid, a tulip wreath in front, a finch on each end. "
            "Nothing too bright: it stands in a dark hall."
        ),
        piece="Blanket chest",
        about={
            "material": "softwood",
            "finish": "painted",
            "made_in": 1890,
            "use": "everyday",
            "turned": True,
        },
        asked=-40,
        accepted=-32,
        wanted=100,
        surfaces=(
            SurfacePlan(
                "Lid",
                "top",
                1000,
                480,
                removable=True,
                panels=(
                    PanelPlan(
                        "Evening sky", "rectangle", 700, 300, "evening sky", 3, OIL_FIGURE, BLUE
                    ),
                ),
            ),
            SurfacePlan(
                "Front",
                "front",
                1000,
                440,
                panels=(PanelPlan("Wreath", "oval", 480, 320, "tulips", 3, OIL_FIGURE, CREAM),),
            ),
            SurfacePlan(
                "Left end",
                "left",
                480,
                440,
                panels=(PanelPlan("Left finch", "arch", 240, 300, "finch", 4, OIL_FIGURE, CREAM),),
            ),
            SurfacePlan("Right end", "right", 480, 440, mirrors="Left end"),
        ),
    ),
    CommissionPlan(
        title="Pair of cupboard doors",
        client="Signe Ærtsgård",
        brief=(
            "A plaited border over a small roundel on each door, gold on umber; a rope border on "
            "the drawer below."
        ),
        piece="Wall cupboard",
        about={"material": "tannin-rich", "finish": "waxed", "made_in": 1935, "use": "everyday"},
        first=("dewax", "seal"),
        asked=-20,
        accepted=-13,
        wanted=57,
        surfaces=(
            SurfacePlan(
                "Left door",
                "front",
                420,
                900,
                removable=True,
                panels=(
                    PanelPlan(
                        "Left plait",
                        "rectangle",
                        250,
                        250,
                        "plait",
                        3,
                        OIL_INTERLACE,
                        UMBER,
                        (85, 120),
                    ),
                    PanelPlan(
                        "Left roundel",
                        "circle",
                        180,
                        180,
                        "knot",
                        4,
                        OIL_INTERLACE,
                        UMBER,
                        (120, 560),
                    ),
                ),
            ),
            SurfacePlan(
                "Right door", "front", 420, 900, (440, 0), removable=True, mirrors="Left door"
            ),
            SurfacePlan(
                "Drawer front",
                "front",
                860,
                180,
                (0, 920),
                removable=True,
                panels=(
                    PanelPlan("Rope border", "rectangle", 700, 90, "rope", 2, ONE_COLOUR, UMBER),
                ),
            ),
        ),
    ),
    CommissionPlan(
        title="Toy box",
        client="Tomasz Łęgowski",
        brief="A heron by the river on the lid and his daughter's name, Żaneta, in front.",
        piece="Toy box",
        about={"material": "board", "finish": "bare", "made_in": 2024, "use": "child"},
        asked=-3,
        wanted=110,
        arrives=9,
        surfaces=(
            SurfacePlan(
                "Lid",
                "top",
                700,
                400,
                panels=(
                    PanelPlan(
                        "Heron", "arch", 300, 320, "heron by the river", 4, ACRYLIC, agreed=15
                    ),
                ),
            ),
            SurfacePlan(
                "Front",
                "front",
                700,
                380,
                panels=(PanelPlan("Name", "rectangle", 420, 140, "Żaneta", 2, ONE_COLOUR, CREAM),),
            ),
        ),
    ),
)
