// What offnominal.js does, for TypeScript. The names of numbers and words are in quantities.d.ts, which is made.
import type {
  About, Acceptance, Boundary, Conditions, DeliveredNumbers, ExpectedNumbers, Frost, Judge, Method, Mode, Outcome, PowerBasis, ProofNumbers,
  Readings, Step, StepOf, UncertaintyParts, Units, Why, Yardstick,
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

/** A system. Conditions, visits and answers are plain objects; every call says its units. */
export interface System {
  readonly name: string;
  readonly matches: string[];
  stages(mode: Mode): string[];
  coverage(units: Units): Coverage;
  missing(units: Units, conditions: Conditions): Missing[];
  /** @throws Refused */
  expect(units: Units, conditions: Conditions): Expected;
  /** @throws Refused */
  report(units: Units, conditions: Conditions): string;
  /** @param visit the text of a visit file, YAML or JSON  @throws InputError */
  prove(units: Units, visit: string | Uint8Array, name?: string): Proof;
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
  /** Texts of files by their names, first the system file, then the tables that it names. @throws InputError */
  system(files: Record<string, string | Uint8Array>): System;
  /** @throws Refused */
  deliver(units: Units, readings: Readings): Delivered;
}
/** Loads the library: once for a program. */
export function load(): Promise<Offnominal>;
