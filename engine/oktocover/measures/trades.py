"""Imports every trade's measures, so that the registry is whole. One line a module."""

from oktocover.measures import air_supply as air_supply
from oktocover.measures import ampacity as ampacity
from oktocover.measures import boring as boring
from oktocover.measures import box_fill as box_fill
from oktocover.measures import box_setting as box_setting
from oktocover.measures import branch_circuits as branch_circuits
from oktocover.measures import cable_routes as cable_routes
from oktocover.measures import combustion_air as combustion_air
from oktocover.measures import counters as counters
from oktocover.measures import gas as gas
from oktocover.measures import gas_network as gas_network
from oktocover.measures import gas_sizing as gas_sizing
from oktocover.measures import grounding as grounding
from oktocover.measures import lighting as lighting
from oktocover.measures import loads as loads
from oktocover.measures import membrane_boxes as membrane_boxes
from oktocover.measures import panels as panels
from oktocover.measures import penetrations as penetrations
from oktocover.measures import protection as protection
from oktocover.measures import raceways as raceways
from oktocover.measures import receptacles as receptacles
from oktocover.measures import spaces as spaces
from oktocover.measures import supply as supply
from oktocover.measures import venting as venting
from oktocover.measures import view as view
from oktocover.measures import voltage_drop as voltage_drop
from oktocover.measures import wall_spaces as wall_spaces
from oktocover.measures import wiring as wiring
from oktocover.measures import working_space as working_space

# Facts are told in the order in which their modules stand here: what is added comes last.
# isort: split
from oktocover.measures import appliance_places as appliance_places
from oktocover.measures import gas_vents as gas_vents
