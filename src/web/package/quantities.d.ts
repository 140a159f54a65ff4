// Written from the one description of every quantity in the library: not to be edited. DEVELOPERS.md ("The C interface")
// says how it is made.

export type Units =
  | "IP"
  | "SI";

export type Mode =
  | "cooling"
  | "heating";

export type Boundary =
  | "coil"
  | "coil+fan";

export type Outside =
  | "refuse"
  | "hold"
  | "extend";

export type Frost =
  | "unknown"
  | "instantaneous"
  | "integrated";

export type Airflow =
  | "standard"
  | "actual"
  | "dry_mass";

export type Place =
  | "return"
  | "supply"
  | "fan";

export type LineSet =
  | "reference"
  | "given"
  | "modelled";

export type Fan =
  | "unknown"
  | "draw-through"
  | "blow-through";

export type Split =
  | "enthalpy"
  | "ashrae37";

export type PowerBasis =
  | "unknown"
  | "compressor"
  | "outdoor unit"
  | "system";

export type Why =
  | "none"
  | "not_finite"
  | "outside"
  | "blank"
  | "beyond_limit"
  | "no_wet_line"
  | "no_knee"
  | "supersaturated"
  | "boiling"
  | "unknown_stage"
  | "unknown_match"
  | "unknown_line"
  | "no_line_table"
  | "not_given"
  | "contradictory"
  | "no_output"
  | "no_coil_state"
  | "no_flow"
  | "wrong_mode"
  | "small_difference"
  | "not_steady"
  | "basis_unknown"
  | "no_sensitivity"
  | "no_expected"
  | "off_path"
  | "not_continuous"
  | "speed_not_held"
  | "unlike_basis"
  | "not_inferred"
  | "unknown_choice"
  | "no_line_model"
  | "unknown_tap"
  | "implausible"
  | "defrosting";

export type About =
  | "nothing"
  | "axis"
  | "outdoor_dry_bulb"
  | "dry_bulb"
  | "wet_bulb"
  | "relative_humidity"
  | "humidity_ratio"
  | "dew_point"
  | "enthalpy"
  | "entering_dry_bulb"
  | "entering_wet_bulb"
  | "entering_relative_humidity"
  | "entering_humidity_ratio"
  | "entering_dew_point"
  | "entering_enthalpy"
  | "return_dry_bulb"
  | "return_wet_bulb"
  | "return_relative_humidity"
  | "return_humidity_ratio"
  | "return_dew_point"
  | "return_enthalpy"
  | "supply_dry_bulb"
  | "supply_wet_bulb"
  | "supply_relative_humidity"
  | "supply_humidity_ratio"
  | "supply_dew_point"
  | "supply_enthalpy"
  | "pressure"
  | "elevation"
  | "airflow"
  | "standard_airflow"
  | "line_set"
  | "line_length"
  | "lift"
  | "suction_size"
  | "liquid_size"
  | "suction_loss"
  | "fan_power"
  | "fan_position"
  | "boundary"
  | "stage"
  | "match"
  | "total_capacity"
  | "sensible_capacity"
  | "power"
  | "bypass"
  | "leaving_air"
  | "site"
  | "limit"
  | "external_static"
  | "speed"
  | "indoor_pair"
  | "efficiency"
  | "outdoor_relative_humidity"
  | "heating_capacity"
  | "frost"
  | "auxiliary_heat"
  | "mode"
  | "outside"
  | "humidity"
  | "split"
  | "dry_bulb_split"
  | "airflow_per_ton"
  | "rise"
  | "defrost"
  | "held_outdoor"
  | "held_line"
  | "extended_wet_bulb";

export type Footing =
  | "inside"
  | "held"
  | "extended"
  | "inferred"
  | "dry"
  | "wet line"
  | "modelled";

export type Note =
  | "pound_unknown"
  | "power_basis_unknown"
  | "elevation_unknown"
  | "altitude_assumed"
  | "sensible_scaled"
  | "dryness_unknown"
  | "tolerance_unknown"
  | "match_factor"
  | "saturated_entering"
  | "power_of_dry_coil"
  | "leaving_impossible"
  | "interpolation_unknown"
  | "fan_position_unknown"
  | "negative_capacity"
  | "negative_latent"
  | "sensible_above_total"
  | "near_saturation"
  | "small_split"
  | "one_sided"
  | "capacity_basis_unknown"
  | "airflow_basis_unknown"
  | "line_set_unknown"
  | "steadiness_unknown"
  | "uncertainty_missing"
  | "short_run"
  | "pressure_unchecked"
  | "saturated_probe"
  | "airflow_multiplier"
  | "dry_bulb_multiplier"
  | "reference_line_unknown"
  | "inferred_dry_bulb"
  | "sensible_lower_bound"
  | "along_pairs"
  | "between_speeds"
  | "frost_in_page"
  | "frost_unknown"
  | "outdoor_humidity_unknown"
  | "speed_unknown"
  | "no_heating_factors"
  | "other_stage"
  | "weather_in_pressure"
  | "tolerance_assumed"
  | "curvature_assumed"
  | "multiplier_assumed"
  | "one_instrument"
  | "condensate_taken"
  | "probes_astride_fan"
  | "sea_level_unchecked"
  | "saturated_supply"
  | "barometer_far"
  | "wet_supply"
  | "airflow_suspect"
  | "reading_suspect"
  | "joined"
  | "bypass_inferred"
  | "airflow_effect"
  | "frost_taken_out"
  | "frost_on_coil"
  | "auxiliary_unknown"
  | "humidity_assumed"
  | "line_modelled"
  | "lift_unknown"
  | "subcooling_lost"
  | "blower_law_assumed"
  | "static_boundary_assumed"
  | "airflows_disagree"
  | "beside_pairs"
  | "preheat_assumed"
  | "calibration_expired"
  | "outdoor_held"
  | "line_held"
  | "fittings_counted"
  | "fittings_uncounted"
  | "capacities_disagree"
  | "wick_suspect";

export type Step =
  | "page"
  | "net to gross"
  | "wet line"
  | "fan preheat"
  | "match"
  | "line set"
  | "line model"
  | "station pressure"
  | "altitude"
  | "altitude model"
  | "airflow"
  | "coil"
  | "entering dry bulb"
  | "dry coil"
  | "fan heat"
  | "speed"
  | "frost";

export type StepOf =
  | "total"
  | "sensible"
  | "power"
  | "pressure"
  | "dry bulb"
  | "wet bulb";

export type Outcome =
  | "meets"
  | "falls_short"
  | "undecided"
  | "implausible"
  | "not_comparable";

export type Judge =
  | "total"
  | "sensible"
  | "both";

export type Yardstick =
  | "make"
  | "page";

export type Method =
  | "first_order"
  | "draws";

export type Acceptance =
  | "guarded"
  | "simple";

export type Fitting =
  | "elbow"
  | "long_elbow"
  | "elbow_45"
  | "return_bend"
  | "tee_run"
  | "tee_branch";

export type Remedy =
  | "dry_bulbs"
  | "humidities"
  | "side_by_side"
  | "better_airflow"
  | "second_airflow"
  | "outdoor"
  | "barometer"
  | "fan_meter"
  | "auxiliary_off"
  | "longer_window"
  | "everything";

/** A question to `expect`. What is left out is not given. */
export interface Conditions {
  /** enum offnominal_mode */
  mode?: Mode;
  /** enum offnominal_boundary; there is no default */
  boundary?: Boundary;
  /** enum offnominal_outside: what to do past the edge of a page */
  outside?: Outside;
  /** heating: enum offnominal_frost; there is no default */
  frost?: Frost;
  /** enum offnominal_airflow: what the airflow means; there is no default */
  airflow_is?: Airflow;
  /** enum offnominal_place, of an actual airflow; -1: not given */
  airflow_at?: Place;
  /** enum offnominal_line_set; with GIVEN and MODELLED its length, suction, lift and liquid count */
  line_set?: LineSet;
  /** 0 or 1: allow inferred values */
  infer?: boolean;
  /** 0 or 1: allow another airflow than the page's only one */
  airflow_effect?: boolean;
  /** 0: length has its fittings in it; 1: it is the tubing's, and they are counted below; 2: nobody counted them */
  fittings_are?: number;
  /** of each enum offnominal_fitting */
  fittings?: Partial<Record<Fitting, number>>;
  /** NULL: not given */
  stage?: string;
  /** NULL: not given */
  match?: string;
  /** how far past a page its outdoor edge is held, whatever `outside` says; 0: it is not; delta_degF or delta_degC */
  hold_outdoor_dry_bulb?: number;
  /** how far past the line-set table its last length is held; ft or m */
  hold_line_length?: number;
  /** outdoor dry bulb; degF or degC */
  outdoor_dry_bulb?: number;
  /** dry bulb entering at the boundary; degF or degC */
  entering_dry_bulb?: number;
  /** wet bulb entering at the boundary; degF or degC */
  entering_wet_bulb?: number;
  /** fraction */
  entering_relative_humidity?: number;
  /** vapour per dry air; lb/lb or kg/kg */
  entering_humidity_ratio?: number;
  /** dew point; degF or degC */
  entering_dew_point?: number;
  /** airflow, with what it means; as dry_mass a mass flow; cfm or m3/s */
  airflow?: number;
  /** elevation of the site; ft or m */
  elevation?: number;
  /** station pressure; psia or Pa */
  pressure?: number;
  /** indoor fan; W */
  fan_power?: number;
  /** equivalent length of the line set; its tubing's beside fittings; ft or m */
  length?: number;
  /** size of its suction line; in or m */
  suction?: number;
  /** how far the outdoor unit stands above the indoor one; ft or m */
  lift?: number;
  /** size of its liquid line; in or m */
  liquid?: number;
  /** cooling: compressor speed, instead of a stage; in the system's own unit */
  speed?: number;
  /** heating: fraction, for a defrost table */
  outdoor_relative_humidity?: number;
  /** heating: heat beside the machine, 0 if off; W */
  auxiliary_heat?: number;
  /** how far past the page's wet bulbs its edge cell is continued; delta_degF or delta_degC, 3 K at most */
  extend_entering_wet_bulb?: number;
}

/** What the probes read. What is left out is not given. */
export interface Readings {
  /** enum offnominal_mode */
  mode?: Mode;
  /** enum offnominal_airflow: what the airflow means; there is no default */
  airflow_is?: Airflow;
  /** enum offnominal_place, of an actual airflow; -1: not given */
  airflow_at?: Place;
  /** enum offnominal_fan: where it stands, for an airflow read at the fan */
  fan?: Fan;
  /** cooling: enum offnominal_split: how sensible and latent are told apart */
  split?: Split;
  /** 0 or 1; cooling: subtract the condensate's heat */
  condensate?: boolean;
  /** dry bulb in the return; degF or degC */
  return_dry_bulb?: number;
  /** wet bulb in the return; degF or degC */
  return_wet_bulb?: number;
  /** fraction */
  return_relative_humidity?: number;
  /** vapour per dry air; lb/lb or kg/kg */
  return_humidity_ratio?: number;
  /** dew point in the return; degF or degC */
  return_dew_point?: number;
  /** dry bulb in the supply; degF or degC */
  supply_dry_bulb?: number;
  /** cooling: wet bulb in the supply; degF or degC */
  supply_wet_bulb?: number;
  /** cooling: fraction */
  supply_relative_humidity?: number;
  /** cooling: vapour per dry air; lb/lb or kg/kg */
  supply_humidity_ratio?: number;
  /** cooling: dew point in the supply; degF or degC */
  supply_dew_point?: number;
  /** airflow, with what it means; as dry_mass a mass flow; cfm or m3/s */
  airflow?: number;
  /** elevation of the site; ft or m */
  elevation?: number;
  /** station pressure; psia or Pa */
  pressure?: number;
  /** indoor fan; W */
  fan_power?: number;
  /** heating: heat beside the machine, between the probes; 0 if off; W */
  auxiliary_heat?: number;
}

/** The numbers told of what a machine should deliver. null: there is none. */
export interface ExpectedNumbers {
  /** total capacity at the boundary; in heating all of it is sensible; Btu/h or W */
  total_capacity: number | null;
  /** cooling: sensible capacity at the boundary; Btu/h or W */
  sensible_capacity?: number | null;
  /** cooling: total less sensible; Btu/h or W */
  latent_capacity?: number | null;
  /** electric power as the page prints it (power_basis); W */
  power: number | null;
  /** outdoor unit and indoor fan; W */
  system_power: number | null;
  /** heating: capacity over power, where both stand at one boundary */
  cop?: number | null;
  /** dry bulb leaving the boundary; degF or degC */
  leaving_dry_bulb: number | null;
  /** wet bulb leaving the boundary; degF or degC */
  leaving_wet_bulb: number | null;
  /** fraction */
  leaving_relative_humidity: number | null;
  /** cooling: entering less leaving dry bulb; delta_degF or delta_degC */
  split?: number | null;
  /** heating: leaving less entering dry bulb; delta_degF or delta_degC */
  rise?: number | null;
  /** total capacity at the coil; Btu/h or W */
  gross_total: number | null;
  /** standard uncertainty of the total by page and factors alone; Btu/h or W */
  uncertainty: number | null;
  /** by the page's own pound; cfm or m3/s */
  standard_airflow: number | null;
  /** dry air; lb/h or kg/s */
  mass_flow: number | null;
  /** cooling: bypass factor of the matched coil */
  bypass?: number | null;
  /** cooling: on a dry coil: the wet bulb at which it would turn wet; degF or degC */
  knee?: number | null;
  /** heating: share of the time spent defrosting, by the defrost table */
  defrost_time_fraction?: number | null;
  /** heating: as given; never part of the capacity; W */
  auxiliary_heat?: number | null;
}

/** What the uncertainty of an expected capacity is made of. null: there is none. */
export interface UncertaintyParts {
  /** last printed place; Btu/h or W */
  resolution: number | null;
  /** the page's curvature between nodes; Btu/h or W */
  interpolation: number | null;
  /** held or extended past an edge; Btu/h or W */
  outside: number | null;
  /** next to dry nodes; in heating by the frost taken out of an integrated page; Btu/h or W */
  inferred: number | null;
  /** a match factor used across the map; Btu/h or W */
  match: number | null;
  /** a modelled line set, an unknown lift, liquid that may not reach the valve; Btu/h or W */
  line: number | null;
  /** no published altitude factor; Btu/h or W */
  altitude: number | null;
  /** another airflow than the one the page is printed at; Btu/h or W */
  airflow: number | null;
  /** the maker's tolerance; Btu/h or W */
  tolerance: number | null;
  /** a row of multipliers used across the page; Btu/h or W */
  multiplier: number | null;
}

/** The numbers told of what a machine delivers. null: there is none. */
export interface DeliveredNumbers {
  /** mass flow times enthalpy difference; in heating less any auxiliary heat; Btu/h or W */
  total_capacity: number | null;
  /** cooling: of the dry-bulb difference; Btu/h or W */
  sensible_capacity?: number | null;
  /** cooling: of the humidity difference; Btu/h or W */
  latent_capacity?: number | null;
  /** dry air; lb/h or kg/s */
  mass_flow: number | null;
  /** at 0.075 lb of dry air per cubic foot; cfm or m3/s */
  standard_airflow: number | null;
  /** cooling: return less supply dry bulb; delta_degF or delta_degC */
  split?: number | null;
  /** heating: supply less return dry bulb, auxiliary heat's part included; delta_degF or delta_degC */
  rise?: number | null;
  /** cooling: sensible over total; none where total is too small for a ratio */
  sensible_ratio?: number | null;
  /** cooling: water leaving the air; lb/h or kg/s */
  condensate_flow?: number | null;
  /** of the return air; degF or degC */
  return_wet_bulb: number | null;
  /** of the supply air; degF or degC */
  supply_wet_bulb: number | null;
  /** heating: as given; not in the capacity; W */
  auxiliary_heat?: number | null;
}

/** The numbers told of a proof. null: there is none. */
export interface ProofNumbers {
  /** delivered total over expected total, at the visit's boundary */
  ratio: number | null;
  /** its standard uncertainty */
  ratio_u: number | null;
  /** expanded, coverage factor 2 (about 95 %) */
  ratio_u95: number | null;
  /** interval that holds the true ratio with 95 %, from */
  ratio_low: number | null;
  /** interval that holds the true ratio with 95 %, to */
  ratio_high: number | null;
  /** the ratio by total and sensible together, where both are used */
  joint_ratio: number | null;
  /** its standard uncertainty */
  joint_u: number | null;
  /** that what is judged reaches its limit; of total and sensible, the lesser */
  probability: number | null;
  /** the same by the other yardstick */
  other_probability: number | null;
  /** least ratio that is accepted */
  limit: number | null;
  /** the same of sensible, where it is judged */
  sensible_limit: number | null;
  /** probability that `meets` asks for */
  confidence: number | null;
  /** relative standard uncertainty of the expected side's own terms */
  expected_u: number | null;
  /** their share of the ratio's variance */
  expected_share: number | null;
  /** delivered over expected sensible */
  sensible_ratio: number | null;
  /** its standard uncertainty */
  sensible_ratio_u: number | null;
  /** expanded, coverage factor 2 */
  sensible_ratio_u95: number | null;
  /** delivered split over the one expected at the airflow that was read; in heating of the rise */
  split_ratio: number | null;
  /** its standard uncertainty, the airflow's included */
  split_ratio_u: number | null;
  /** as measured, where the page's includes the same things; W */
  power: number | null;
  /** the page's; W */
  expected_power: number | null;
  /** measured over expected power */
  power_ratio: number | null;
  /** its standard uncertainty */
  power_ratio_u: number | null;
  /** expanded, coverage factor 2 */
  power_ratio_u95: number | null;
  /** delivered total over measured power; Btu/Wh or W/W */
  efficiency: number | null;
  /** expected total over expected power; Btu/Wh or W/W */
  expected_efficiency: number | null;
  /** delivered over expected efficiency */
  efficiency_ratio: number | null;
  /** its standard uncertainty */
  efficiency_ratio_u: number | null;
  /** expanded, coverage factor 2 */
  efficiency_ratio_u95: number | null;
  /** standard airflow that the ways of a visit find together; none where it was read; cfm or m3/s */
  airflow_found: number | null;
  /** its relative standard uncertainty */
  airflow_found_u: number | null;
  /** how far past its limit the ratio of total must be read, about */
  guard_band: number | null;
  /** specific risk: chance that this verdict is wrong */
  risk: number | null;
  /** global risk: share of all such machines that fall short and are passed */
  consumer_risk: number | null;
  /** global risk: share of all such machines that reach the limit and are failed */
  producer_risk: number | null;
  /** what straight reading between the page's nodes leaves out of expected total, as a share of it */
  bend: number | null;
  /** what frost on the outdoor coil is taken to hold back of expected total, in the mean, as a share of it */
  frost: number | null;
}

/** The columns of a table of visits. NaN: not given. */
export interface VisitColumns {
  /** dry bulb in the return; degF or degC */
  return_dry_bulb?: ArrayLike<number>;
  /** wet bulb in the return; degF or degC */
  return_wet_bulb?: ArrayLike<number>;
  /** fraction */
  return_relative_humidity?: ArrayLike<number>;
  /** vapour per dry air; lb/lb or kg/kg */
  return_humidity_ratio?: ArrayLike<number>;
  /** dew point in the return; degF or degC */
  return_dew_point?: ArrayLike<number>;
  /** dry bulb in the supply; degF or degC */
  supply_dry_bulb?: ArrayLike<number>;
  /** cooling: wet bulb in the supply; degF or degC */
  supply_wet_bulb?: ArrayLike<number>;
  /** cooling: fraction */
  supply_relative_humidity?: ArrayLike<number>;
  /** cooling: vapour per dry air; lb/lb or kg/kg */
  supply_humidity_ratio?: ArrayLike<number>;
  /** cooling: dew point in the supply; degF or degC */
  supply_dew_point?: ArrayLike<number>;
  /** airflow, with what it means; as dry_mass a mass flow; cfm or m3/s */
  airflow?: ArrayLike<number>;
  /** elevation of the site; ft or m */
  elevation?: ArrayLike<number>;
  /** station pressure; psia or Pa */
  pressure?: ArrayLike<number>;
  /** indoor fan; W */
  fan_power?: ArrayLike<number>;
  /** heating: heat beside the machine, between the probes; 0 if off; W */
  auxiliary_heat?: ArrayLike<number>;
  /** outdoor dry bulb; degF or degC */
  outdoor_dry_bulb?: ArrayLike<number>;
  /** of what the visit's meter was around; may be empty: not measured; W */
  power?: ArrayLike<number>;
  /** equivalent length of the line set; its tubing's where the visit tells fittings apart; ft or m */
  line_length?: ArrayLike<number>;
  /** size of its suction line; in or m */
  line_suction?: ArrayLike<number>;
  /** how far the outdoor unit stands above the indoor one; may be empty: unknown; ft or m */
  line_lift?: ArrayLike<number>;
  /** size of its liquid line; may be empty: unknown; in or m */
  line_liquid?: ArrayLike<number>;
  /** of a variable-speed compressor; may be empty; in the system's own unit */
  speed?: ArrayLike<number>;
}
