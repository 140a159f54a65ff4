"""Questions that several tests ask."""

COOLING = dict(
    units="IP",
    stage="high",
    match="indoor A",
    outdoor_dry_bulb=91.0,
    entering_dry_bulb=80.0,
    entering_wet_bulb=67.0,
    airflow=1000.0,
    airflow_basis="standard",
    elevation=0.0,
    line_set="reference",
    boundary="coil",
)
READINGS = dict(
    units="IP",
    return_dry_bulb=76.0,
    return_wet_bulb=63.0,
    supply_dry_bulb=57.0,
    supply_wet_bulb=55.0,
    airflow=1000.0,
    airflow_basis="standard",
    elevation=0.0,
)
