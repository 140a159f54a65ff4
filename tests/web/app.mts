// An app in TypeScript: what it may write, and (marked) what the types refuse.
import { InputError, load, Refused } from "offnominal";
import type { Choice, Conditions, Coverage, Delivered, Expected, Missing, Proof, Readings, Revised, Seasons, SizingLimits, Solution, TargetCard, Why } from "offnominal";

const offnominal = await load();
const alder = offnominal.system({ "alder.yaml": "name: Alder", "alder-low.csv": new Uint8Array(3) });
const asked: Conditions = {
  outdoor_dry_bulb: 91, entering_dry_bulb: 76, entering_wet_bulb: 65, airflow: 1100, airflow_is: "standard", elevation: 0, boundary: "coil",
  stage: "high", match: alder.matches[0], line_set: "given", length: 46, suction: 0.875, lift: 0, fittings: { elbow: 4 }, infer: true,
};
const birch = offnominal.system({ "birch.yaml": "name: Birch" }, (name) => (name === "page.csv" ? "odb" : undefined));
const expected: Expected = alder.expect("IP", asked);
const capacity: number = (expected.total_capacity ?? 0) + (expected.uncertainty_parts.tolerance ?? 0) + expected.ledger[0].after;
const rows = alder.expectBatch("SI", asked, { airflow: [0.5, 0.6], outdoor_dry_bulb: new Float64Array(2) }, ["power", "cop"]);
const power: Float64Array = rows.power;
const why: Why | undefined = rows.reasons[0]?.why;
const backwards: Solution = alder.solve("IP", asked, { vary: "airflow", between: [900, 1300], of: "sensible_capacity", over: "total_capacity", equals: 0.75 });
const readings: Readings = { return_dry_bulb: 76, return_wet_bulb: 63, supply_dry_bulb: 57, supply_wet_bulb: 55, airflow: 1100, fan: "draw-through" };
const delivered: Delivered = offnominal.deliver("IP", readings);
const many: Float64Array = offnominal.deliverBatch("IP", readings, { supply_dry_bulb: [56, 57] }).total_capacity;
const proof: Proof = birch.prove("IP", { "visit.yaml": "offnominal: visit/1", "run.csv": new Uint8Array(3) }, () => null);
const proved = alder.proveBatch("IP", "offnominal: visit/1", { supply_dry_bulb: [56, 57] }, ["ratio", "share_of_airflow"]);
const share: Float64Array = proved.share_of_airflow;
const seasons: Seasons = alder.seasons(["offnominal: visit/1", { "visit.yaml": "offnominal: visit/1" }], () => null);
const revised: Revised = alder.revised(birch, "IP", "offnominal: visit/1", { supply_dry_bulb: [56, 57] });
console.log(seasons.seasons[0].since_last?.ratio, revised.flips[0].after);
const words: string[] = proved.outcome.map((outcome) => outcome ?? "refused");
const card: TargetCard = alder.card("IP", asked, { entering_wet_bulb: [63, 67], forecast: "offnominal: visit/1" });
const target: number | null = alder.card("IP", asked).cells[0].total_capacity;
const lacking: Missing[] = alder.missing("IP", {});
const covered: Coverage = alder.coverage("SI");
const choices: Choice[] = offnominal.choose("IP", [alder], { total_load: 30000, sensible_load: 23000, limits: "manual_s_2014" });
const own: SizingLimits = { source: "ours, edition 3", total: [0.9, 1.2], sensible: 0.9, latent: 1 };
offnominal.choose("IP", [alder], { limits: own, line_set: "given", length: 60, suction: 0.75, spare_latent: false, airflows: [900, 1000] });
try {
  alder.report("IP", asked);
} catch (error) {
  if (error instanceof Refused) console.log(error.reason.lower?.toFixed(1), error.message, error.status);
  else if (error instanceof InputError) console.log(`${error.file}:${error.line}`, error.accepted);
}
console.log(capacity, power, why, backwards.places, delivered.split, many, proof.outcome, proof.budget[0].share, share, words, lacking[0].about);
console.log(covered.pages[0].axes.outdoor_dry_bulb, choices[0].fits, alder.audit()[0].text, offnominal.cautions, proof.texts.settling);
console.log(card.bring, card.cells[0].footing, target);
alder.free();

// @ts-expect-error a word that is none
alder.expect("IP", { ...asked, boundary: "fan" });
// @ts-expect-error a text that comes later
offnominal.system({}, async (name: string) => name);
// @ts-expect-error units that are none
alder.expect("metric", asked);
// @ts-expect-error a member that is none
alder.expect("IP", { ...asked, boundry: "coil" });
// @ts-expect-error a number as a text
alder.expect("IP", { ...asked, airflow: "1100" });
// @ts-expect-error a number of the other side
alder.expectBatch("IP", asked, {}, ["ratio"]);
// @ts-expect-error a column that a question has not
alder.expectBatch("IP", asked, { stage: [1] });
// @ts-expect-error a number that was not asked for
rows.total_capacity;
// @ts-expect-error a question backwards along a word
alder.solve("IP", asked, { vary: "stage", between: [0, 1], of: "power", equals: 1 });
// @ts-expect-error a number that no card tells
card.cells[0].cop;
// @ts-expect-error what may be null is looked at first
const unlooked: number = expected.total_capacity;
