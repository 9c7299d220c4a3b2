"""The twelve invented gardens, as a survey would write them down."""

from dataclasses import dataclass

from plants.enums import AgeKnown

KNOWN, ABOUT, UNKNOWN = AgeKnown.KNOWN, AgeKnown.ABOUT, AgeKnown.UNKNOWN
CUTS = ("prune", "thin", "shear", "cut down", "renovate")


@dataclass(frozen=True, kw_only=True)
class BedOf:
    """A bed: one size is a circle, two a rectangle, more are rectangles in pairs."""

    name: str
    sizes: tuple[str, ...]
    depth: str = ""
    facing: str = "open"
    light: str = ""
    latest_sun: int = 0
    texture: str = "loam"
    ph: str = ""
    moisture: str = "average"
    is_irrigated: bool = False
    notes: str = ""
    shades: tuple[tuple[str, str, str, str], ...] = ()


@dataclass(frozen=True, kw_only=True)
class GrowsOf:
    """Something that was there already; no plant: nobody knows what it is."""

    called: str
    plant: str = ""
    count: int = 1
    bed: str = ""
    place: str = ""
    looks: str = ""
    age_known: str = UNKNOWN
    years: int = 0
    state: str = ""
    notes: str = ""


@dataclass(frozen=True, kw_only=True)
class GardenOf:
    """A garden; INSISTS: words, forbidden tasks, what it is about, who said so."""

    key: str
    client: str
    name: str
    address: str
    north: str
    east: str
    way_in: str
    gate_code: str = ""
    beds: tuple[BedOf, ...] = ()
    grows: tuple[GrowsOf, ...] = ()
    insists: tuple[tuple[str, tuple[str, ...], str, str], ...] = ()


GARDENS = (
    GardenOf(
        key="lantern-front",
        client="marchbank",
        name="Lantern House, front",
        address="12 Weir Lane\nFernhollow",
        north="0.011",
        east="0.008",
        way_in="Through the white gate on Weir Lane; park in the lay-by.",
        gate_code="4471",
        beds=(
            BedOf(
                name="Bed A",
                sizes=("30 ft", "8 ft"),
                depth="8 in",
                facing="SE",
                light="part sun",
                latest_sun=15,
                texture="clay loam",
                ph="6.2",
                moisture="moist",
                shades=(("house", "NW", "24 ft", "6 ft"),),
            ),
            BedOf(
                name="Bed B",
                sizes=("12 ft",),
                depth="8 in",
                facing="open",
                light="full sun",
                latest_sun=19,
                ph="6.5",
                notes="Round bed in the drive.",
            ),
        ),
        grows=(
            GrowsOf(
                called="red maple",
                plant="acer-rubrum-october-glory",
                place="lawn, west of the drive",
                age_known=ABOUT,
                years=25,
            ),
            GrowsOf(
                called="door hedge",
                plant="buxus-green-velvet",
                count=14,
                place="both sides of the front door",
                age_known=KNOWN,
                years=9,
            ),
        ),
        insists=(
            (
                "Ring before you come in: the cats go out by the front door.",
                (),
                "",
                "Odile Marchbank",
            ),
        ),
    ),
    GardenOf(
        key="lantern-court",
        client="marchbank",
        name="Lantern House, back court",
        address="12 Weir Lane, rear\nFernhollow",
        north="0.0112",
        east="0.0083",
        way_in="By the passage at the left of the house; 32 in wide.",
        gate_code="4471",
        beds=(
            BedOf(
                name="Wall bed",
                sizes=("22 ft 6 in", "3 ft 4 in"),
                depth="10 in",
                facing="E",
                light="part shade",
                latest_sun=13,
                ph="5.8",
                moisture="moist",
                is_irrigated=True,
                shades=(("wall", "W", "9 ft", "2 ft"),),
            ),
        ),
        grows=(
            GrowsOf(
                called="wall hydrangea",
                plant="hydrangea-petiolaris",
                bed="Wall bed",
                age_known=ABOUT,
                years=8,
            ),
            GrowsOf(
                called="hostas",
                plant="hosta-halcyon",
                count=9,
                bed="Wall bed",
                age_known=KNOWN,
                years=4,
            ),
            GrowsOf(
                called="laceleaf maple",
                plant="acer-palmatum-crimson-queen",
                place="by the pump",
                age_known=UNKNOWN,
            ),
        ),
    ),
    GardenOf(
        key="tolliver-town",
        client="tolliver",
        name="Mill Row",
        address="3 Mill Row\nFernhollow",
        north="-0.006",
        east="0.004",
        way_in="Side gate; keep it shut, the dog runs.",
        gate_code="0218",
        beds=(
            BedOf(
                name="Long border",
                sizes=("34 ft", "6 ft 6 in"),
                depth="8 in",
                facing="S",
                light="full sun",
                latest_sun=18,
                ph="6.4",
            ),
            BedOf(
                name="North bed",
                sizes=("18 ft", "4 ft", "9 ft", "5 ft"),
                facing="N",
                light="shade",
                latest_sun=10,
                ph="5.4",
                moisture="moist",
                shades=(
                    ("house", "S", "26 ft", "3 ft"),
                    ("evergreen hedge", "E", "7 ft", "8 ft"),
                ),
            ),
        ),
        grows=(
            GrowsOf(
                called="azaleas",
                plant="rhododendron-girards-crimson",
                count=5,
                bed="North bed",
                age_known=ABOUT,
                years=10,
            ),
            GrowsOf(
                called="ferns",
                plant="polystichum-acrostichoides",
                count=12,
                bed="North bed",
                age_known=UNKNOWN,
            ),
            GrowsOf(
                called="yews",
                plant="taxus-media-hicksii",
                count=7,
                place="along the lane, behind the swings",
                age_known=ABOUT,
                years=15,
            ),
            GrowsOf(
                called="shrub roses",
                plant="rosa-radrazz",
                count=6,
                bed="Long border",
                age_known=KNOWN,
                years=5,
            ),
        ),
        insists=(
            (
                "Pick up every yew clipping: children and the dog play there.",
                (),
                "yews",
                "Ruth Tolliver",
            ),
            ("No sprays or baits anywhere in this garden.", (), "", "Ruth Tolliver"),
        ),
    ),
    GardenOf(
        key="tolliver-cottage",
        client="tolliver",
        name="Upper Cottage",
        address="Upper Cottage, Sheep Track\nUpper Fernhollow",
        north="0.031",
        east="-0.022",
        way_in="Up the track; four-wheel drive when it is wet.",
        beds=(
            BedOf(
                name="Rose bed",
                sizes=("16 ft", "7 ft"),
                facing="SW",
                light="full sun",
                latest_sun=19,
                texture="sandy loam",
                ph="6.6",
            ),
        ),
        grows=(
            GrowsOf(
                called="bush roses",
                plant="rosa-iceberg",
                count=11,
                bed="Rose bed",
                age_known=KNOWN,
                years=7,
            ),
            GrowsOf(
                called="lavender edge",
                plant="lavandula-angustifolia-hidcote",
                count=24,
                bed="Rose bed",
                age_known=KNOWN,
                years=3,
            ),
            GrowsOf(
                called="porch clematis",
                plant="clematis-jackmanii",
                count=2,
                place="porch, both posts",
                age_known=ABOUT,
                years=6,
            ),
        ),
    ),
    GardenOf(
        key="wynn",
        client="wynn",
        name="Orchard Bank",
        address="Orchard Bank, Hill Road\nFernhollow",
        north="0.018",
        east="0.015",
        way_in="Drive in and turn at the barn.",
        beds=(
            BedOf(
                name="Bank",
                sizes=("40 ft", "9 ft"),
                facing="W",
                light="full sun",
                latest_sun=20,
                texture="clay",
                ph="7.1",
                notes="Steep: about 1 in 3.",
            ),
        ),
        grows=(
            GrowsOf(
                called="bedroom screen",
                plant="forsythia-x-intermedia-spring-glory",
                count=3,
                place="under the bedroom window, south-west corner",
                age_known=ABOUT,
                years=18,
            ),
            GrowsOf(
                called="old lilac",
                plant="syringa-vulgaris",
                place="by the barn",
                age_known=ABOUT,
                years=40,
            ),
            GrowsOf(
                called="bridal spirea",
                plant="spiraea-vanhouttei",
                count=4,
                bed="Bank",
                age_known=UNKNOWN,
            ),
            GrowsOf(
                called="rose of Sharon",
                plant="hibiscus-syriacus-diana",
                count=2,
                bed="Bank",
                age_known=KNOWN,
                years=6,
            ),
            GrowsOf(
                called="stranger",
                count=1,
                bed="Bank",
                looks="shrub of 5 ft, small leathery leaves, black berries in October",
            ),
        ),
        insists=(
            (
                "Never cut: screens the bedroom window.",
                CUTS,
                "bedroom screen",
                "Perpetua Wynn",
            ),
        ),
    ),
    GardenOf(
        key="crake",
        client="crake",
        name="Station Villa",
        address="40 Depot Street\nFernhollow",
        north="-0.014",
        east="-0.009",
        way_in="Tradesmen's entrance on Coal Yard; ask for Dorcas Pim.",
        gate_code="7305",
        beds=(
            BedOf(
                name="Parterre",
                sizes=("24 ft", "24 ft"),
                facing="open",
                light="full sun",
                latest_sun=19,
                ph="6.8",
                is_irrigated=True,
            ),
            BedOf(
                name="Grass bed",
                sizes=("28 ft", "10 ft"),
                facing="S",
                light="full sun",
                latest_sun=19,
                texture="sandy loam",
                ph="6.3",
                moisture="dry",
            ),
        ),
        grows=(
            GrowsOf(
                called="parterre box",
                plant="buxus-sempervirens-suffruticosa",
                count=36,
                bed="Parterre",
                age_known=KNOWN,
                years=12,
            ),
            GrowsOf(
                called="maiden grass",
                plant="miscanthus-sinensis-morning-light",
                count=7,
                bed="Grass bed",
                age_known=ABOUT,
                years=6,
            ),
            GrowsOf(
                called="fescue",
                plant="festuca-glauca-elijah-blue",
                count=18,
                bed="Grass bed",
                age_known=KNOWN,
                years=3,
            ),
            GrowsOf(
                called="screen",
                plant="thuja-green-giant",
                count=16,
                place="along the railway",
                age_known=KNOWN,
                years=8,
            ),
        ),
        insists=(
            (
                "Sheets under the box when it is clipped; nothing on the gravel.",
                (),
                "parterre box",
                "Dorcas Pim",
            ),
        ),
    ),
    GardenOf(
        key="farrow",
        client="farrow",
        name="The Glebe",
        address="The Glebe\nUpper Fernhollow",
        north="0.027",
        east="0.019",
        way_in="Field gate, then on foot; wheelbarrows are in the shed.",
        beds=(
            BedOf(
                name="Hydrangea walk",
                sizes=("36 ft", "7 ft"),
                depth="9 in",
                facing="E",
                light="part shade",
                latest_sun=13,
                ph="5.5",
                moisture="moist",
                is_irrigated=True,
                shades=(("tree", "W", "35 ft", "15 ft"),),
            ),
            BedOf(
                name="Sunny end",
                sizes=("20 ft", "8 ft"),
                facing="S",
                light="full sun",
                latest_sun=18,
                ph="6.2",
            ),
        ),
        grows=(
            GrowsOf(
                called="bigleaf walk",
                plant="hydrangea-macrophylla-nikko-blue",
                count=8,
                bed="Hydrangea walk",
                age_known=KNOWN,
                years=7,
            ),
            GrowsOf(
                called="oakleaf",
                plant="hydrangea-quercifolia-snow-queen",
                count=3,
                bed="Hydrangea walk",
                age_known=ABOUT,
                years=9,
            ),
            GrowsOf(
                called="smooth",
                plant="hydrangea-arborescens-annabelle",
                count=5,
                bed="Sunny end",
                age_known=KNOWN,
                years=6,
            ),
            GrowsOf(
                called="panicle",
                plant="hydrangea-paniculata-limelight",
                count=3,
                bed="Sunny end",
                age_known=KNOWN,
                years=5,
            ),
            GrowsOf(
                called="butterfly bush",
                plant="buddleja-davidii-black-knight",
                count=2,
                bed="Sunny end",
                age_known=UNKNOWN,
                state="struggling",
                notes="Half dead after the winter; watch it.",
            ),
        ),
    ),
    GardenOf(
        key="hall",
        client="hall",
        name="Village Hall green",
        address="1 Green Street\nFernhollow",
        north="0.002",
        east="0.001",
        way_in="Open ground; the key of the tap is with Wilma Trask.",
        beds=(
            BedOf(
                name="Hall front",
                sizes=("50 ft", "4 ft"),
                facing="W",
                light="full sun",
                latest_sun=19,
                texture="clay loam",
                ph="6.9",
            ),
        ),
        grows=(
            GrowsOf(
                called="daylilies",
                plant="hemerocallis-stella-de-oro",
                count=40,
                bed="Hall front",
                age_known=ABOUT,
                years=5,
            ),
            GrowsOf(
                called="coneflowers",
                plant="rudbeckia-fulgida-goldsturm",
                count=25,
                bed="Hall front",
                age_known=ABOUT,
                years=5,
            ),
            GrowsOf(
                called="peonies",
                plant="paeonia-sarah-bernhardt",
                count=6,
                place="round the flagpole",
                age_known=UNKNOWN,
            ),
        ),
        insists=(
            (
                "Nothing loud on Thursdays before noon: the playgroup sleeps.",
                (),
                "",
                "Wilma Trask",
            ),
        ),
    ),
    GardenOf(
        key="moyle",
        client="moyle",
        name="Ridge Cottage",
        address="Ridge Cottage\nUpper Fernhollow",
        north="0.036",
        east="0.006",
        way_in="Steep drive, no turning for the trailer.",
        beds=(
            BedOf(
                name="Under the trees",
                sizes=("26 ft", "11 ft"),
                depth="8 in",
                facing="N",
                light="shade",
                latest_sun=11,
                ph="5.2",
                moisture="moist",
                shades=(("tree", "S", "45 ft", "12 ft"),),
            ),
        ),
        grows=(
            GrowsOf(
                called="rhododendrons",
                plant="rhododendron-pjm",
                count=4,
                place="along the drive",
                age_known=ABOUT,
                years=14,
            ),
        ),
    ),
    GardenOf(
        key="ashgrove",
        client="ashgrove",
        name="Long Meadow",
        address="Long Meadow, River Road\nFernhollow",
        north="-0.021",
        east="0.017",
        way_in="Second gate on River Road; key under the third pot.",
        gate_code="1960",
        beds=(
            BedOf(
                name="River border",
                sizes=("32 ft", "10 ft"),
                depth="8 in",
                facing="SW",
                light="full sun",
                latest_sun=20,
                texture="sandy loam",
                ph="6.4",
            ),
        ),
        grows=(
            GrowsOf(
                called="summer spirea",
                plant="spiraea-japonica-anthony-waterer",
                count=5,
                place="at the steps",
                age_known=ABOUT,
                years=7,
            ),
        ),
    ),
    GardenOf(
        key="canal",
        client="stroud",
        name="Canal Walk",
        address="9 Canal Walk\nFernhollow",
        north="-0.003",
        east="-0.012",
        way_in="From the towpath, opposite the lock.",
        beds=(
            BedOf(
                name="Front strip",
                sizes=("14 ft", "5 ft"),
                depth="8 in",
                facing="SE",
                light="part sun",
                latest_sun=15,
                ph="6.3",
            ),
        ),
        grows=(
            GrowsOf(
                called="mugo pines",
                plant="pinus-mugo-mops",
                count=3,
                bed="Front strip",
                age_known=KNOWN,
                years=5,
            ),
            GrowsOf(
                called="mountain hydrangea",
                plant="hydrangea-serrata-bluebird",
                count=2,
                place="by the back door",
                age_known=KNOWN,
                years=3,
            ),
        ),
    ),
    GardenOf(
        key="yard-house",
        client="stroud",
        name="Yard House",
        address="11 Canal Walk\nFernhollow",
        north="-0.0032",
        east="-0.0123",
        way_in="Let to tenants: ring first.",
        beds=(
            BedOf(
                name="Court",
                sizes=("12 ft 6 in", "9 ft"),
                facing="W",
                light="part sun",
                latest_sun=18,
                ph="6.7",
            ),
        ),
        grows=(
            GrowsOf(
                called="repeat hydrangea",
                plant="hydrangea-macrophylla-bailmer",
                count=2,
                bed="Court",
                age_known=KNOWN,
                years=2,
            ),
            GrowsOf(
                called="wall clematis",
                plant="clematis-nelly-moser",
                bed="Court",
                age_known=UNKNOWN,
                looks="",
            ),
        ),
    ),
)
