"""The compiled core: one generic loop over hours for any life cycle.

Imported only when a simulation is asked for, because it needs the just-in-time compiler. It knows
stages by place and position, hazards by channel; no organism, agent or action by name.
"""
