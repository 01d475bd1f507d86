"""The whole site file."""

from functools import lru_cache
from typing import Any, ClassVar, Literal, cast, get_args

from pydantic import Field, create_model

from oktocover.site.appliance_setting import AccessWay, CarbonMonoxideAlarm, CondensateDrain, HeatClearance
from oktocover.site.appliances import Appliance
from oktocover.site.base import Element, HowKnown, Length, Node, YesNo, means
from oktocover.site.building import (
    ApprovedAlternate,
    Building,
    Described,
    Level,
    Looked,
    Opening,
    Permit,
    Project,
    Record,
    Space,
    StillToCome,
    Wall,
    described_field,
)
from oktocover.site.combustion import AirOpening
from oktocover.site.declared import NOTHING, ROOTS, Declared, element_class, in_force, with_facts
from oktocover.site.electrical import Basin, Circuit, Counter, Panel, Receptacle
from oktocover.site.equipment import Disconnect, Equipment
from oktocover.site.gas import (
    GasFitting,
    GasMeter,
    GasOutlet,
    GasPipe,
    GasRegulator,
    GasSystem,
    GasTank,
    GasTest,
    GasValve,
)
from oktocover.site.loads import LoadCalculation
from oktocover.site.paperwork import ApprovedPlans, Correction, Difference, NotHeld, WorkBy
from oktocover.site.penetrations import Chimney, ConcealedSpace, Fireblock, GarageCeiling, MembraneBox, Penetration
from oktocover.site.supply import Electrode, Feeder, MetalPiping, ParallelSet, Service, Tap
from oktocover.site.venting import OutsideThing, Vent, VentConnector, VentTerminal
from oktocover.site.wiring import Box, Cable, Hole, Light, Raceway, Switch, Trench


class DescribedSystems(Node):
    """Which systems the building has. A system left out is one that nobody has spoken of."""

    electrical: Described | None = described_field("any new wiring")
    fuel_gas: Described | None = described_field("gas piping, natural or propane")
    fuel_burning_appliances: Described | None = described_field("anything that burns gas, oil or wood, with its vent")
    rated_walls: Described | None = described_field("walls with a fire rating, or between garage and rooms")
    fire_sprinklers: Described | None = described_field("fire sprinklers throughout the building (P2904 or NFPA 13D)")
    floor_heat: Described | None = described_field("tubing for heating water")
    compressed_air: Described | None = described_field("shop air piping")
    plumbing: Described | None = described_field("drains and water")
    ductwork: Described | None = described_field("ducts")
    fireplaces: Described | None = described_field("fireplaces")
    exhaust_fans: Described | None = described_field("fans that blow air out of the building")
    spray_finishing: Described | None = described_field("spraying of glazes, paints or finishes")


class Site(Node):
    """One building, as written down."""

    declared: ClassVar[Declared] = NOTHING
    """The facts and kinds of the rules in force that may stand in it."""

    site: str | None = Field(default=None, description="what the building is called")
    project: Project = Field(default_factory=Project)
    permit: Permit = Field(default_factory=Permit)
    building: Building = Field(default_factory=Building)
    described: DescribedSystems = Field(default_factory=DescribedSystems)
    known: HowKnown | None = Field(
        default=None,
        description="how facts are known where neither the fact nor its entry says it; measured if left out",
    )
    elevation: Length | None = means("height of the ground above the sea, where the place asks for it", by="map")
    measured_to: Literal["bare framing", "finished face"] | None = Field(
        default=None, description="what the tape was held against"
    )
    still_to_come: StillToCome = Field(default_factory=StillToCome)

    levels: dict[str, Level] = Field(default_factory=dict)
    spaces: dict[str, Space] = Field(default_factory=dict)
    walls: dict[str, Wall] = Field(default_factory=dict)
    openings: dict[str, Opening] = Field(default_factory=dict)
    # trade lists, one line an element class, in walking order of the trades
    panels: dict[str, Panel] = Field(default_factory=dict)
    circuits: dict[str, Circuit] = Field(default_factory=dict)
    receptacles: dict[str, Receptacle] = Field(default_factory=dict)
    counters: dict[str, Counter] = Field(default_factory=dict)
    basins: dict[str, Basin] = Field(default_factory=dict)
    services: dict[str, Service] = Field(default_factory=dict)
    feeders: dict[str, Feeder] = Field(default_factory=dict)
    parallel_conductors: dict[str, ParallelSet] = Field(default_factory=dict)
    taps: dict[str, Tap] = Field(default_factory=dict)
    load_calculations: dict[str, LoadCalculation] = Field(default_factory=dict)
    electrodes: dict[str, Electrode] = Field(default_factory=dict)
    metal_piping: dict[str, MetalPiping] = Field(default_factory=dict)
    switches: dict[str, Switch] = Field(default_factory=dict)
    lights: dict[str, Light] = Field(default_factory=dict)
    equipment: dict[str, Equipment] = Field(default_factory=dict)
    disconnects: dict[str, Disconnect] = Field(default_factory=dict)
    boxes: dict[str, Box] = Field(default_factory=dict)
    cables: dict[str, Cable] = Field(default_factory=dict)
    raceways: dict[str, Raceway] = Field(default_factory=dict)
    trenches: dict[str, Trench] = Field(default_factory=dict)
    holes: dict[str, Hole] = Field(default_factory=dict)
    gas_systems: dict[str, GasSystem] = Field(default_factory=dict)
    gas_meters: dict[str, GasMeter] = Field(default_factory=dict)
    gas_regulators: dict[str, GasRegulator] = Field(default_factory=dict)
    gas_pipes: dict[str, GasPipe] = Field(default_factory=dict)
    gas_fittings: dict[str, GasFitting] = Field(default_factory=dict)
    gas_valves: dict[str, GasValve] = Field(default_factory=dict)
    gas_outlets: dict[str, GasOutlet] = Field(default_factory=dict)
    gas_tanks: dict[str, GasTank] = Field(default_factory=dict)
    gas_tests: dict[str, GasTest] = Field(default_factory=dict)
    air_openings: dict[str, AirOpening] = Field(default_factory=dict)
    appliances: dict[str, Appliance] = Field(default_factory=dict)
    heat_clearances: dict[str, HeatClearance] = Field(default_factory=dict)
    access_ways: dict[str, AccessWay] = Field(default_factory=dict)
    condensate_drains: dict[str, CondensateDrain] = Field(default_factory=dict)
    carbon_monoxide_alarms: dict[str, CarbonMonoxideAlarm] = Field(default_factory=dict)
    vents: dict[str, Vent] = Field(default_factory=dict)
    vent_connectors: dict[str, VentConnector] = Field(default_factory=dict)
    terminals: dict[str, VentTerminal] = Field(default_factory=dict)
    outside_things: dict[str, OutsideThing] = Field(default_factory=dict)
    penetrations: dict[str, Penetration] = Field(default_factory=dict)
    membrane_boxes: dict[str, MembraneBox] = Field(default_factory=dict)
    concealed_spaces: dict[str, ConcealedSpace] = Field(default_factory=dict)
    fireblocks: dict[str, Fireblock] = Field(default_factory=dict)
    garage_ceilings: dict[str, GarageCeiling] = Field(default_factory=dict)
    chimneys: dict[str, Chimney] = Field(default_factory=dict)

    rows: list[Any] = Field(
        default_factory=list,
        description="several equal entries in one line: a list is spread over the ids, a single value is shared",
    )
    tables: dict[str, Any] = Field(
        default_factory=dict,
        description="a list as a table: a .csv file beside the site (first column id, then facts), or a list of mappings",
    )
    framing: dict[str, Any] = Field(
        default_factory=dict,
        description="classes of framing by name, `outside: {framing: 2x6, spacing: 16 in}`, which walls name as `framing:`",
    )
    typicals: Any = Field(
        default=None,
        description="facts that many elements share, by a name they give as `typical:`; or a list of files of them",
    )
    assume: list[str] = Field(
        default_factory=list,
        description="common values that are taken while nobody has found them out, by name; no visit is ready on one",
    )

    looked: list[Looked] = Field(default_factory=list)
    records: list[Record] = Field(default_factory=list)
    alternates: list[ApprovedAlternate] = Field(default_factory=list)

    approved: ApprovedPlans | None = Field(
        default=None, description="the approved plans: {set: A-1 to E-2, date: 2026-04-02}"
    )
    differs_from_plans: list[Difference] = Field(
        default_factory=list,
        description="what was built otherwise than the approved plans show it; where something is listed, it is all of it",
    )
    work_by: dict[str, WorkBy] = Field(
        default_factory=dict, description="who did the work, by trade: {gas: {as: registered, licence: GP-1182}}"
    )
    at_the_visit: dict[str, dict[str, YesNo]] = Field(
        default_factory=dict,
        description="by visit: what the place wants ready for it, by the names `oktocover card` prints: {final: {plans: yes}}",
    )
    not_held: dict[str, NotHeld] = Field(
        default_factory=dict, description="visits that the office has said it does not come for on this job"
    )
    corrections: list[Correction] = Field(default_factory=list, description="the inspector's written corrections")


def site_model() -> type[Site]:
    """The model of a site file, with what is declared where this runs."""
    return model_of(in_force())


@lru_cache(maxsize=64)
def model_of(declared: Declared) -> type[Site]:
    """The model of a site file in which the declared facts and kinds may stand."""
    if declared == NOTHING:
        return Site
    fields: dict[str, Any] = {}
    for name, made in _lists_of(Site).items():
        if made.kind in declared.by_kind:
            fields[name] = _list_field(cast("type[Element]", with_facts(made, declared.by_kind[made.kind])))
    for kind in declared.kinds:
        fields[list_field(kind.plural)] = _list_field(element_class(kind, declared.by_kind.get(kind.name, ())))
    for root, base in zip(ROOTS[1:], (Building, Permit), strict=True):
        if root in declared.by_kind:
            node = with_facts(base, declared.by_kind[root])
            fields[root] = (node, Field(default_factory=node))
    model = create_model("Site", __base__=Site, __module__=__name__, __doc__=Site.__doc__, **fields)
    whole = cast("type[Site]", with_facts(model, declared.by_kind.get("site", ())))
    whole.declared = declared
    return whole


def _list_field(made: type[Element]) -> Any:
    return (dict[str, made], Field(default_factory=dict))  # type: ignore[valid-type]


def list_field(plural: str) -> str:
    """The field of a list by its name in the site file."""
    return plural.replace(" ", "_")


def element_lists(model: type[Site] | None = None) -> dict[str, type[Element]]:
    """The lists of elements a site file has: field name to element class. Left out: of the model in force."""
    return _lists_of(model or site_model())


@lru_cache(maxsize=64)
def _lists_of(model: type[Site]) -> dict[str, type[Element]]:
    lists: dict[str, type[Element]] = {}
    for name, field in model.model_fields.items():
        for part in get_args(field.annotation):
            if isinstance(part, type) and issubclass(part, Element):
                lists[name] = part
    return lists


__all__ = ["DescribedSystems", "Site", "element_lists", "list_field", "model_of", "site_model"]
