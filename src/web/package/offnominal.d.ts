// What offnominal.js does, for TypeScript. The names of numbers and words are in quantities.d.ts, which is made.
import type {
  About, Acceptance, Boundary, Conditions, DeliveredNumbers, ExpectedNumbers, Frost, Judge, Method, Mode, Outcome, PowerBasis, ProofNumbers,
  Readings, Remedy, Step, StepOf, UncertaintyParts, Units, VisitColumns, Why, Yardstick,
} from "./quantities.js";
export * from "./quantities.js";

/** Why there is no answer. Numbers are in the units of the call; null: none. */
export interface Reason {
  why: Why;
  about: About;
  value: number | null;
  lower: number | null;
  upper: number | null;
}
/** A call that gave nothing. `status` is enum offnominal_status. */
export class OffnominalError extends Error {
  readonly status: number;
}
/** There is no answer. */
export class Refused extends OffnominalError {
  readonly reason: Reason;
}
/** A text is not what it should be: where, what, and what would be right. */
export class InputError extends OffnominalError {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly text: string;
  readonly accepted: string;
}

/** One step of the ledger. */
export interface LedgerStep {
  step: Step;
  of: StepOf;
  factor: number;
  before: number;
  after: number;
}
/** What `told` is, its units, and the unit of each of its numbers. */
export interface Heading {
  told: string;
  units: Units;
  fields: Record<string, string>;
}
export interface ExpectedPart extends ExpectedNumbers {
  mode: Mode;
  boundary: Boundary;
  frost: Frost | null;
  power_basis: PowerBasis;
  footing: string;
  notes: string[];
  uncertainty_parts: UncertaintyParts;
  extras: Record<string, { value: number | null; unit: string; reason: Why }>;
  ledger: LedgerStep[];
}
export interface DeliveredPart extends DeliveredNumbers {
  mode: Mode;
  notes: string[];
}
export type Expected = Heading & ExpectedPart;
export type Delivered = Heading & DeliveredPart;
export interface Proof extends Heading, ProofNumbers {
  outcome: Outcome;
  reason: Why;
  about: About;
  suspect: About;
  uncapped: Outcome | null;
  other_outcome: Outcome;
  method: Method;
  judge: Judge;
  yardstick: Yardstick;
  acceptance: Acceptance;
  no_power: Why;
  /** Beside the air's total; null of a visit without one, and without a ratio. */
  second_capacity: { agreement: "agrees" | "unclear" | "contradicts"; difference: number; difference_u: number; probability: number } | null;
  notes: string[];
  nearest: { stage: string; ratio: number | null; power_ratio: number | null; reason: Why }[];
  budget: {
    input: string;
    standard_uncertainty_si: number;
    delivered: number;
    expected: number;
    ratio: number;
    sensible: number;
    power_ratio: number;
    share: number;
  }[];
  expected: ExpectedPart | null;
  delivered: DeliveredPart;
  /** What it says in sentences; `verdict`, `causes` and `cautions` have a heading as their first line. */
  texts: { verdict: string; settling: string[]; causes: string; notes: string[]; cautions: string };
  /** All of it as a text. */
  report: string;
}
/** One thing that keeps a question from an answer, and what would be accepted. */
export interface Missing {
  about: About;
  why: Why;
  value: number | null;
  lower: number | null;
  upper: number | null;
  unit: string;
  words: string[];
  text: string;
}
/** All that a system covers. */
export interface Coverage {
  units: Units;
  pages: {
    mode: Mode;
    frost: Frost | null;
    stage: string;
    match: string;
    nodes: number;
    axes: Partial<Record<About, number[]>>;
    blank_at: number[][];
  }[];
  lines: { mode: Mode; suction: number; lengths: number[] }[];
  lift: [number | null, number | null];
  airflow: { match: string; least: number; greatest: number }[];
  elevation: [number, number] | null;
}

/** The numbers that a question asks for. */
export type ConditionNumber = Exclude<
  { [Name in keyof Conditions]-?: NonNullable<Conditions[Name]> extends number ? Name : never }[keyof Conditions],
  "hold_outdoor_dry_bulb" | "hold_line_length" | "extend_entering_wet_bulb" | "fittings_are"
>;
/** The numbers of a question that differ from row to row. */
export type ConditionColumns = Partial<Record<ConditionNumber, ArrayLike<number>>>;
/** A number for each row of each column that was wanted, NaN where there is none; and why, or null where there is an answer. */
export type ExpectedColumns<Told extends keyof ExpectedNumbers> = Record<Told, Float64Array> & { reasons: (Reason | null)[] };
/** The numbers of readings that differ from row to row. */
export type ReadingColumns = Partial<
  Record<{ [Name in keyof Readings]-?: NonNullable<Readings[Name]> extends number ? Name : never }[keyof Readings], ArrayLike<number>>
>;
export type DeliveredColumns<Told extends keyof DeliveredNumbers> = Record<Told, Float64Array> & { reasons: (Reason | null)[] };
/** The numbers that a batch of proofs tells: `share_of_...` is what an input has of the ratio's variance. */
export type VerdictNumber = keyof ProofNumbers | `share_of_${string}`;
/** Where a visit is refused its outcome is null too; `next` is what is most likely to settle an undecided proof. */
export type VerdictColumns<Told extends VerdictNumber> = Record<Told, Float64Array> & {
  reasons: (Reason | null)[];
  outcome: (Outcome | null)[];
  suspect: (About | null)[];
  method: (Method | null)[];
  next: (Remedy | null)[];
};
/** A question backwards. */
export interface Solve {
  /** A number of the question, which counts for nothing there. */
  vary: ConditionNumber;
  between: [number, number];
  of: keyof ExpectedNumbers;
  /** Over another one: a ratio. */
  over?: keyof ExpectedNumbers | null;
  equals: number;
}
/** Every place, rising; the one that comes nearest, what is told there, and by how much that is more than `equals`. */
export interface Solution {
  places: number[];
  best: number;
  reached: number;
  off: number;
}
/** The axes of a target card, those that the page prints where they are left out, and a visit with the instruments that will be brought. */
export interface CardAxes {
  outdoor_dry_bulb?: ArrayLike<number> | null;
  entering_wet_bulb?: ArrayLike<number> | null;
  forecast?: string | Uint8Array | Files | null;
}
/** One cell of a target card. null: there is no answer, and `reason` says why. */
export interface CardCell
  extends Pick<ExpectedNumbers, "total_capacity" | "sensible_capacity" | "split" | "leaving_wet_bulb" | "power"> {
  outdoor_dry_bulb: number;
  entering_wet_bulb: number;
  /** What it leans on: "inside" where on what is printed alone. */
  footing: string;
  reason: Why;
}
/** What a machine should deliver on a test day, outdoor dry bulb by entering wet bulb. */
export interface TargetCard extends Heading {
  cells: CardCell[];
  notes: string[];
  /** With a forecast: what such a visit would decide, and what would make it surer, best first. */
  decides: string[];
  bring: string[];
}
/** Design loads and the conditions they are for, as offnominal_design of the C interface. What is left out is not given. */
export interface Design {
  limits?: "manual_s_2014" | "manual_s_2014_condition_b" | "manual_s_2004" | "energy_star_v3" | SizingLimits;
  total_load?: number;
  sensible_load?: number;
  latent_load?: number;
  outdoor_dry_bulb?: number;
  entering_dry_bulb?: number;
  entering_wet_bulb?: number;
  entering_dew_point?: number;
  entering_relative_humidity?: number;
  heating_load?: number;
  heating_outdoor_dry_bulb?: number;
  heating_entering_dry_bulb?: number;
  no_heating_load?: number;
  elevation?: number;
  pressure?: number;
  external_static?: number;
  /** Of the line set of the site, where line_set is "given" or "modelled". */
  length?: number;
  suction?: number;
  lift?: number;
  liquid?: number;
  line_set?: "reference" | "given" | "modelled";
  spare_latent?: boolean;
  entering_humidity_ratio?: number;
  /** To try, of standard air; left out, or none: seven across what page and match allow, and the middle of those that fit. */
  airflows?: ArrayLike<number>;
  /** Of the heating capacity that counts; left out: integrated where the page has it, else instantaneous. */
  frost?: "instantaneous" | "integrated";
}
/** Limits of size of one's own: of capacity over load the least, or the least and the most. heat_pump: as total where left out. */
export interface SizingLimits {
  source: string;
  total: number | [number, number];
  heat_pump?: number | [number, number];
  sensible: number | [number, number];
  latent: number | [number, number];
}
/** One combination held against design loads. null: there is none. */
export interface Choice {
  system: string;
  match: string;
  stage: string;
  tap: string;
  airflow: number | null;
  fan_power: number | null;
  misfit: string;
  why: string;
  total: number | null;
  sensible: number | null;
  latent: number | null;
  credited: number | null;
  total_u: number | null;
  total_over: number | null;
  sensible_over: number | null;
  latent_over: number | null;
  /** The chance that it meets the limits of size. */
  fits: number | null;
  heating: number | null;
  balance_point: number | null;
  auxiliary: number | null;
  /** Relative standard uncertainties, as total_u. */
  sensible_u: number | null;
  latent_u: number | null;
  /** What the capacities lean on; "inside" where on what is printed alone. */
  footing: string;
  /** The airflows between which this system and match fit. */
  airflow_from: number | null;
  airflow_to: number | null;
  /** The kind of heating, balance_point and auxiliary; empty where there is none. */
  frost: string;
  /** Whether it is integrated by the frost model of the US regulation. */
  frost_by_model: boolean;
  /** Why there is no heating, or no balance point. */
  no_heating: string;
}

/** What changed between two visits to one machine; what is off in both alike is left out. null: there is none to compare. */
export interface Change {
  ratio: number;
  ratio_u: number;
  apart_u: number;
  less: number;
}
/** Visits season to season, cooling first, by date. */
export interface Seasons {
  told: "Seasons";
  seasons: {
    mode: Mode;
    date: string;
    name: string;
    outcome: Outcome;
    ratio: number | null;
    ratio_u: number | null;
    since_last: Change | null;
    since_first: Change | null;
    /** The one that ran; empty where the visit says a speed alone. */
    stage: string;
  }[];
}
/** What a revision of a page makes of decisions. */
export interface Revised {
  told: "Revised";
  visits: number;
  /** How many have another ratio, outcome or reason. */
  moved: number;
  /** Those with another outcome; null: without one, and the reason. `expected`: the revision over the first. */
  flips: {
    row: number;
    before: Outcome | null;
    after: Outcome | null;
    ratio_before: number | null;
    ratio_after: number | null;
    expected: number | null;
    reason_before: string;
    reason_after: string;
  }[];
}

/** Texts of files by their names: first a system or a visit, then what it names. */
export type Files = Record<string, string | Uint8Array>;
/** Gives the text of a file that another one names, by the name as typed; null or undefined: there is none. What it throws comes out of the call. */
export type Beside = (name: string) => string | Uint8Array | null | undefined;
/** A system. Conditions, visits and answers are plain objects; every call says its units. */
export interface System {
  readonly name: string;
  readonly matches: string[];
  stages(mode: Mode): string[];
  coverage(units: Units): Coverage;
  missing(units: Units, conditions: Conditions): Missing[];
  /** @throws Refused */
  expect(units: Units, conditions: Conditions): Expected;
  /** Many questions at once, each with the bits of `expect`. @param told the numbers that are wanted; left out: all */
  expectBatch<Told extends keyof ExpectedNumbers = keyof ExpectedNumbers>(
    units: Units, conditions: Conditions, columns: ConditionColumns, told?: Told[],
  ): ExpectedColumns<Told>;
  /** Where, along one number of a question, something told has a value. @throws Refused where nothing in the range is answered */
  solve(units: Units, conditions: Conditions, backwards: Solve): Solution;
  /** @throws Refused */
  report(units: Units, conditions: Conditions): string;
  /** @param visit the text of a visit file, YAML or JSON; or it and the logs that it names  @param beside gives logs that are not among those
   *  @throws InputError */
  prove(units: Units, visit: string | Uint8Array | Files, beside?: Beside): Proof;
  /** Many visits at once, each with the bits of `prove`. @param told the numbers that are wanted; left out: ratio, ratio_u and
   *  probability */
  proveBatch<Told extends VerdictNumber = "ratio" | "ratio_u" | "probability">(
    units: Units, visit: string | Uint8Array | Files, columns: VisitColumns, told?: Told[], beside?: Beside,
  ): VerdictColumns<Told>;
  /** Visits to this machine season to season. @throws InputError for one without a date */
  seasons(visits: (string | Uint8Array | Files)[], beside?: Beside): Seasons;
  /** Which past decisions flip where this system takes the place of `before`. */
  revised(before: System, units: Units, visit: string | Uint8Array | Files, columns: VisitColumns, beside?: Beside): Revised;
  /** The target card of a test day: 400 cells at most. What `conditions` have for outdoor dry bulb and humidity counts for nothing.
   *  @throws Refused where no cell has an answer */
  card(units: Units, conditions: Conditions, axes?: CardAxes, beside?: Beside): TargetCard;
  /** The audit of each page, as offnominal_audit() of the C interface. */
  audit(): { stage: string; match: string; mode: Mode; frost: string; nodes: number; suspects: object[]; questions: string[]; text: string }[];
  /** Gives its memory back; it answers no more. */
  free(): void;
}
export interface Offnominal {
  readonly version: string;
  /** To be shown with every answer. */
  readonly cautions: string[];
  /** What each note says, by its word. */
  readonly notes: Record<string, string>;
  /** The words of an enumeration. */
  words(enumeration: string): string[];
  /** @param beside gives tables that are not among `files`  @throws InputError */
  system(files: Files, beside?: Beside): System;
  /** @throws Refused */
  deliver(units: Units, readings: Readings): Delivered;
  /** Many readings at once, each with the bits of `deliver`. @param told the numbers that are wanted; left out: all */
  deliverBatch<Told extends keyof DeliveredNumbers = keyof DeliveredNumbers>(
    units: Units, readings: Readings, columns: ReadingColumns, told?: Told[],
  ): DeliveredColumns<Told>;
  /** Every combination of systems, their matches and airflows or blower settings, those that fit first. @throws Refused */
  choose(units: Units, systems: System[], design: Design): Choice[];
}
/** Loads the library: once for a program. */
export function load(): Promise<Offnominal>;
