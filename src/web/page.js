// The page: a system and its conditions in, the target with its ledger out; a visit in, its proof out. The library does all the arithmetic and
// most of the wording.
import { load, Refused, OffnominalError } from "./offnominal.js";
import { ASKED, TOLD } from "./quantities.js";

const DEMO = @DEMO@;

/** The questions in the order in which one walks the job. A number that is in none of these stands in the last. */
const GROUPS = [
  ["Units and operation", ["units", "mode", "stage", "match"]],
  ["Outdoors", ["outdoor_dry_bulb", "outdoor_relative_humidity", "frost", "elevation", "pressure"]],
  ["Air entering", ["boundary", "entering_dry_bulb", "measure", "humidity", "airflow", "airflow_is", "airflow_at", "fan_power", "auxiliary_heat"]],
  ["Line set", ["line_set", "length", "suction", "lift", "liquid"]],
  ["Special cases", ["outside", "infer", "airflow_effect"]],
];
/** What a choice is about, where its word alone does not say. */
const CHOICES = {
  units: "units",
  mode: "operation",
  stage: "stage",
  match: "indoor unit",
  frost: "a heating page is to count defrost as",
  boundary: "capacity is meant at",
  measure: "humidity is read as",
  airflow_is: "that airflow is",
  airflow_at: "actual where",
  line_set: "line set",
  outside: "past the edge of the page",
};
const SWITCHES = { infer: "allow inferred values", airflow_effect: "allow another airflow than the page's only one" };
const LINE = ["length", "suction", "lift", "liquid"];
/** Decimals of a unit; 1 otherwise: those of python/offnominal/_display.py. */
const DECIMALS = @DECIMALS@;

const offnominal = await load();
const numbers = Object.fromEntries(ASKED.conditions.map(([name, modes, units, meaning]) => [name, { modes, units, meaning }]));
const measures = Object.keys(numbers).filter((name) => /^entering_(?!dry_bulb)/.test(name));
let system = null;
let coverage = null;
let was_asked = false;

// Small things.

const byId = (id) => document.getElementById(id);
const words = (name) => name.replaceAll("_", " ");
function make(tag, attributes = {}, ...inside) {
  const out = document.createElementNS(SVG.has(tag) ? "http://www.w3.org/2000/svg" : "http://www.w3.org/1999/xhtml", tag);
  for (const [name, value] of Object.entries(attributes)) if (value !== null) out.setAttribute(name, value);
  out.append(...inside.flat().filter((one) => one !== null));
  return out;
}
const SVG = new Set(["svg", "rect", "line", "text", "circle"]);
const list = (items) => make("ul", {}, items.map((item) => make("li", {}, item)));
const titled = (title, ...inside) => (inside.length > 0 ? [make("h3", {}, title), ...inside] : []);
const plain = (value) => String(Number(value.toPrecision(6)));
const lines = (text) => text.trimEnd().split("\n").slice(1).map((line) => line.trim());

function shown(value, unit) {
  if (value === null || value === undefined) return "–";
  const plain = unit === "1" ? "" : unit.replace("delta_", "");
  let digits = DECIMALS[plain || "1"] ?? 1;
  if (digits === 0 && Math.abs(value) < 100) digits = 1;
  const [whole, ...rest] = value.toFixed(digits).split(".");
  return [whole.replace(/\B(?=(\d{3})+$)/g, "\u202f"), ...rest].join(".") + (plain ? ` ${plain}` : "");
}
function table(caption, headings, rows) {
  const head = make("thead", {}, make("tr", {}, headings.map((one) => make("th", { scope: "col" }, one))));
  const body = rows.map(([first, ...rest]) => make("tr", {}, make("th", { scope: "row" }, first), rest.map((cell) => make("td", {}, cell))));
  const label = { class: "wide", tabindex: "0", role: "region", "aria-label": caption };
  return make("div", label, make("table", {}, make("caption", {}, caption), head, make("tbody", {}, body)));
}
function facts(told, fields, names) {
  const rows = names.filter((name) => told[name] !== null && told[name] !== undefined);
  return make("dl", {}, rows.flatMap((name) => [make("dt", {}, words(name)), make("dd", {}, shown(told[name], fields[name]))]));
}
/** The steps from the printed page, a row each. */
function ledger(steps, unit) {
  const columns = ["total", "sensible", "power"];
  const rows = [];
  let last = null;
  for (const step of steps) {
    const at = columns.indexOf(step.of) + 2;
    if (at < 2) continue;
    if (step.step !== last || rows.at(-1)[at]) rows.push([words(step.step), "", "", "", ""]);
    last = step.step;
    rows.at(-1)[at] = shown(step.after, "W").replace(" W", "");
    if (step.factor !== 1 && step.of === "total") rows.at(-1)[1] = step.factor.toFixed(4);
  }
  return table("Every step from the printed page", ["step", "factor", `total, ${unit}`, `sensible, ${unit}`, "power, W"], rows);
}
const DELIVERED = ["total_capacity", "sensible_capacity", "latent_capacity", "split", "rise", "standard_airflow", "mass_flow"];
/** The unit of each number that is told of a side. */
const units_of = (side) => Object.fromEntries(TOLD[side].map(([name, units]) => [name, units[kept.units]]));
/** Everything that a proof compares. */
function evidence(proof, mode) {
  const rows = [
    ["total", "ratio"],
    ["sensible", "sensible_ratio"],
    [`${mode === "heating" ? "rise" : "split"}, over the airflow's uncertainty`, "split_ratio"],
    ["power", "power_ratio"],
    ["efficiency", "efficiency_ratio"],
  ].filter(([, name]) => proof[name] !== null);
  const cells = rows.map(([what, name]) => [what, proof[name].toFixed(3), (2 * proof[`${name}_u`]).toFixed(3)]);
  return table("Measured over expected; ± is coverage factor 2", ["of", "ratio", "±"], cells);
}
/** What a ratio's uncertainty is made of, largest first, from half a percent up. */
function shares(proof) {
  const rows = proof.budget.map((line) => [words(line.input), line.ratio, line.share]);
  rows.push(["page, factors, altitude, tolerance", proof.expected_u, proof.expected_share]);
  const cells = rows
    .filter(([, , share]) => share >= 0.005)
    .sort(([, , one], [, , other]) => other - one)
    .map(([what, moves, share]) => [what, `${(100 * moves).toFixed(2)} %`, `${(100 * share).toFixed(0)} %`]);
  return table("By one standard uncertainty of each; shares of the ratio's variance", ["from", "moves the ratio", "share"], cells);
}
/** The target card: a table of each number, in which what leans on more than is printed there is marked. */
function card(asked) {
  let told;
  try {
    told = system.card(kept.units, asked);
  } catch (error) {
    return [make("p", {}, problem(error))];
  }
  const along = (axis) => [...new Set(told.cells.map((cell) => cell[axis]))];
  const axes = ["outdoor_dry_bulb", "entering_wet_bulb"];
  const [rows, columns] = axes.map(along);
  const leans = (cell) => cell.footing !== "inside";
  const tables = Object.entries(told.fields)
    .filter(([name]) => !axes.includes(name) && told.cells.some((cell) => cell[name] !== null))
    .map(([name, unit]) => {
      const of = unit.replace("delta_", "");
      const cell = (one) => shown(one[name], unit).replace(` ${of}`, "") + (one[name] !== null && leans(one) ? "*" : "");
      const row = (outdoor) => [plain(outdoor), ...told.cells.filter((one) => one.outdoor_dry_bulb === outdoor).map(cell)];
      return table(`${words(name)}, ${of}`, [`outdoor, wet bulb ${told.fields.entering_wet_bulb}`, ...columns.map(plain)], rows.map(row));
    });
  const listed = (of) => [...new Set(of)].sort().map(words).join(", ");
  const on = listed(told.cells.flatMap((one) => one.footing.split(", ")).filter((word) => word !== "inside"));
  const none = listed(told.cells.map((one) => one.reason).filter((why) => why !== "none"));
  return [
    ...tables,
    on ? make("p", { class: "small" }, `* leans on more than what is printed there: ${on}`) : null,
    none ? make("p", { class: "small" }, `– no answer: ${none}`) : null,
    told.notes.length > 0 ? list(told.notes) : null,
  ];
}
function target(told, fields) {
  const names = ["sensible_capacity", "latent_capacity", "power", "leaving_dry_bulb", "leaving_wet_bulb", "split", "rise", "cop"];
  return [
    make(
      "div",
      { class: "verdict target" },
      make("strong", {}, shown(told.total_capacity, fields.total_capacity)),
      make("p", {}, `total capacity at ${told.boundary}, ${told.mode}; it stands on: ${told.footing}`),
    ),
    facts(told, fields, names),
    ledger(told.ledger, fields.total_capacity),
  ];
}
/** What went wrong, in the library's words. */
function problem(error) {
  if (!(error instanceof OffnominalError)) throw error;
  return error.message;
}

// The machine.

function take(files) {
  byId("system-problem").textContent = "";
  try {
    const read = offnominal.system(files);
    system?.free();
    system = read;
  } catch (error) {
    byId("system-problem").textContent = problem(error);
    return;
  }
  was_asked = false;
  byId("system-name").replaceChildren("Read: ", make("strong", {}, system.name), ".");
  byId("status").textContent = `${system.name} is read. Next: the conditions.`;
  for (const id of ["conditions-section", "visit-section"]) byId(id).hidden = false;
  for (const id of ["target", "proof"]) byId(id).hidden = true;
  ask();
  byId("conditions-title").tabIndex = -1;
  byId("conditions-title").focus();
}
async function texts(input) {
  const files = [...input.files];
  const tables_last = files.sort((one, other) => one.name.endsWith(".csv") - other.name.endsWith(".csv"));
  return Object.fromEntries(await Promise.all(tables_last.map(async (file) => [file.name, await file.text()])));
}

// The conditions.

const kept = { units: "IP", mode: "cooling", measure: "entering_wet_bulb", outside: "refuse" }; // what was entered, by the name of its field

function choices(name) {
  if (name === "units") return offnominal.words("units");
  if (name === "mode") return offnominal.words("mode").filter((mode) => system.stages(mode).length > 0);
  if (name === "stage") return system.stages(kept.mode);
  if (name === "match") return system.matches;
  if (name === "measure") return measures;
  return offnominal.words({ airflow_is: "airflow", airflow_at: "place" }[name] ?? name);
}
/** Whether a question bears on what is asked. */
function applies(name) {
  const { modes } = numbers[name] ?? { modes: name === "frost" ? "heating" : "both" };
  if (modes !== "both" && modes !== kept.mode) return false;
  if (name === "match") return system.matches.length > 0;
  if (name === "airflow_at") return kept.airflow_is === "actual";
  return !LINE.includes(name) || ["given", "modelled"].includes(kept.line_set);
}
/** A control with its label, what would be accepted, and what is wrong with it. */
function field(name) {
  const id = `field-${name}`;
  const described = { id, name, "aria-describedby": `hint-${name} problem-${name}` };
  const marks = [make("span", { id: `hint-${name}`, class: "hint small" }), make("span", { id: `problem-${name}`, class: "problem" })];
  if (name in SWITCHES) {
    const box = make("input", { ...described, type: "checkbox", checked: kept[name] ? "" : null });
    return make("div", {}, make("label", { for: id }, box, SWITCHES[name]), marks);
  }
  if (name in CHOICES) {
    const options = choices(name);
    if (!options.includes(kept[name])) kept[name] = options.length === 1 || name === "mode" ? options[0] : "";
    const shown_as = (word) => (name === "measure" ? words(word).replace("entering ", "") : words(word));
    const chosen = (word) => (kept[name] === word ? "" : null);
    const none = kept[name] === "" || !["units", "mode", "measure", "outside"].includes(name) ? [make("option", { value: "", selected: chosen("") }, "choose")] : [];
    const select = make("select", described, none, options.map((word) => make("option", { value: word, selected: chosen(word) }, shown_as(word))));
    return make("div", {}, make("label", { for: id }, CHOICES[name]), select, marks);
  }
  const asked = numbers[name === "humidity" ? kept.measure : name];
  const unit = unit_of(name);
  const label = name === "humidity" ? words(kept.measure) : words(name);
  const title = { title: asked.meaning, type: "text", inputmode: "decimal", autocomplete: "off", value: kept[name] ?? "" };
  return make("div", {}, make("label", { for: id }, label + (unit === "1" ? "" : `, ${unit}`)), make("input", { ...described, ...title }), marks);
}
/** The unit in which a number is typed. */
function unit_of(name) {
  const asked = name === "humidity" ? kept.measure : name;
  return asked.endsWith("relative_humidity") ? "%" : numbers[asked].units[kept.units].replace("delta_", "");
}
/** A number as it is typed, "3/4" too; NaN for what is none. */
function typed(name) {
  const text = (kept[name] ?? "").trim().replace(",", ".");
  if (text === "") return undefined;
  const [, whole = "0", over, under] = text.match(/^(?:(\d+)[ -])?(\d+)\/(\d+)$/) ?? [];
  const value = over === undefined ? Number(text) : Number(whole) + Number(over) / Number(under);
  return unit_of(name) === "%" ? value / 100 : value;
}
function ask() {
  coverage = system.coverage(kept.units);
  const named = GROUPS.flatMap(([, names]) => names);
  const more = Object.keys(numbers).filter((name) => !named.includes(name) && !measures.includes(name));
  const groups = GROUPS.map(([title, names], k) => {
    const all = k === GROUPS.length - 1 ? [...names, ...more] : names;
    return make("fieldset", {}, make("legend", {}, title), all.filter(applies).map(field));
  });
  byId("fields").replaceChildren(...groups);
  hint();
}
function question() {
  const out = {};
  for (const input of byId("fields").querySelectorAll("[name]")) {
    const { name } = input;
    if (["units", "measure"].includes(name) || kept[name] === undefined || kept[name] === "") continue;
    if (name in CHOICES || name in SWITCHES) out[name] = kept[name];
    else out[name === "humidity" ? kept.measure : name] = typed(name);
  }
  return out;
}
/** Which field a reason is about. */
function field_about(about) {
  const names = { line_length: "length", suction_size: "suction", liquid_size: "liquid", held_outdoor: "outdoor_dry_bulb", standard_airflow: "airflow" };
  const name = measures.includes(about) || about === "humidity" ? "humidity" : (names[about] ?? about);
  return byId(`field-${name}`);
}
/** Beside each number what the page covers. */
function hint() {
  const { stage, mode } = kept;
  const pages = coverage.pages.filter((page) => page.mode === mode && (!stage || page.stage === stage));
  const ranges = {};
  for (const page of pages)
    for (const [about, points] of Object.entries(page.axes)) {
      const [least, greatest] = ranges[about] ?? [Infinity, -Infinity];
      ranges[about] = [Math.min(least, points[0]), Math.max(greatest, points.at(-1))];
    }
  if (coverage.elevation) ranges.elevation = coverage.elevation;
  const suctions = coverage.lines.filter((line) => line.mode === mode).map((line) => line.suction);
  for (const [about, [least, greatest]] of Object.entries(ranges)) {
    const input = field_about(about);
    if (input === null || (input.name === "humidity" && about !== kept.measure)) continue;
    byId(`hint-${input.name}`).textContent = `printed: ${plain(least)} to ${plain(greatest)}`;
  }
  if (byId("hint-suction")) byId("hint-suction").textContent = suctions.length > 0 ? `printed: ${[...new Set(suctions)].map(plain).join(", ")}` : "";
}
/** Marks what keeps the question from an answer. */
function mark(lacking) {
  for (const one of byId("fields").querySelectorAll(".problem")) one.textContent = "";
  for (const one of byId("fields").querySelectorAll("[aria-invalid]")) one.removeAttribute("aria-invalid");
  const rest = [];
  for (const { about, why, lower, upper, unit, text } of lacking) {
    const inputs = [field_about(about)];
    if (about === "airflow" && why === "not_given" && !kept.airflow_is) inputs.push(byId("field-airflow_is")); // a number and what it means
    if (inputs[1] && kept.airflow) inputs.shift();
    for (const input of inputs) {
      if (input === null) {
        rest.push(text);
        continue;
      }
      input.setAttribute("aria-invalid", "true");
      const bounds = lower !== null && upper !== null && input.tagName === "INPUT" && !byId(`hint-${input.name}`).textContent ? `: ${plain(lower)} to ${plain(upper)} ${unit}` : "";
      byId(`problem-${input.name}`).textContent = why === "not_given" ? `needed${bounds}` : text;
    }
  }
  const first = byId("fields").querySelector("[aria-invalid]");
  const marked = byId("fields").querySelectorAll("[aria-invalid]").length;
  byId("lacking").replaceChildren(
    ...(marked > 0 ? [make("p", {}, `${marked} ${marked === 1 ? "entry is" : "entries are"} still to be made or mended, marked above.`)] : []),
    ...rest.map((text) => make("p", {}, text)),
  );
  return first;
}
/** @return the first field that lacks something, or null */
function work_out() {
  const asked = question();
  const strange = Object.entries(asked).filter(([, value]) => Number.isNaN(value));
  if (strange.length > 0) {
    byId("target").hidden = true;
    return mark(strange.map(([about]) => ({ about, why: "not_finite", lower: null, upper: null, unit: "1", text: "not a number" })));
  }
  const lacking = system.missing(kept.units, asked);
  const first = mark(lacking);
  byId("target").hidden = lacking.length > 0;
  if (lacking.length > 0) return first ?? byId("lacking");
  let told;
  try {
    told = system.expect(kept.units, asked);
  } catch (error) {
    byId("lacking").textContent = problem(error);
    byId("target").hidden = true;
    return byId("lacking");
  }
  byId("target").replaceChildren(
    make("h2", { id: "target-title", tabindex: "-1" }, "What it should deliver"),
    ...target(told, told.fields),
    ...(told.notes.length > 0 ? titled("Notes", list(told.notes)) : []),
    ...(told.mode === "cooling" ? [make("details", { class: "card" }, make("summary", {}, "Target card, to take along"), card(asked))] : []),
    make("details", {}, make("summary", {}, "All of it as a text"), make("pre", {}, system.report(kept.units, asked))),
  );
  byId("status").textContent = `Target: ${shown(told.total_capacity, told.fields.total_capacity)} total.`;
  return null;
}

// The visit.

/** The ratio, its interval and the limit along a line, as on a record. */
function picture(proof) {
  if (proof.ratio === null) return null;
  const limit = proof.judge === "sensible" ? proof.sensible_limit : proof.limit;
  const seen = [proof.ratio_low, proof.ratio_high, limit, 1];
  const least = Math.min(0.7, Math.floor(Math.min(...seen) * 10) / 10);
  const greatest = Math.max(1.2, Math.floor(Math.max(...seen) * 10) / 10 + 0.1);
  const x = (ratio) => 20 + (600 * (ratio - least)) / (greatest - least);
  const ink = { stroke: "#1a1a1a" };
  const tenths = Array.from({ length: Math.round(10 * (greatest - least)) + 1 }, (_, k) => Math.round(10 * least + k) / 10);
  const every = Math.max(1, Math.round(tenths.length / 8));
  const said =
    `Delivered over expected: ${proof.ratio.toFixed(3)}. The bar, from ${proof.ratio_low.toFixed(3)} to ${proof.ratio_high.toFixed(3)}, ` +
    `holds the true ratio with a chance of 95 %. The limit is ${limit}.`;
  const drawing = make(
    "svg",
    { viewBox: "0 0 640 96", role: "img", "aria-label": said },
    make("rect", { x: x(proof.ratio_low), y: 30, width: x(proof.ratio_high) - x(proof.ratio_low), height: 16, fill: "#cfcfcf", ...ink }),
    make("line", { x1: 20, y1: 60, x2: 620, y2: 60, ...ink }),
    tenths.flatMap((tenth, k) => [
      make("line", { x1: x(tenth), y1: 56, x2: x(tenth), y2: 64, ...ink }),
      k % every === 0 ? make("text", { x: x(tenth), y: 82, "font-size": 18, "text-anchor": "middle" }, tenth.toFixed(1)) : null,
    ]),
    make("line", { x1: x(limit), y1: 16, x2: x(limit), y2: 64, "stroke-width": 2, "stroke-dasharray": "5 3", ...ink }),
    make("text", { x: x(limit), y: 13, "font-size": 18, "text-anchor": "middle" }, "limit"),
    make("circle", { cx: x(proof.ratio), cy: 38, r: 6, fill: "#1a1a1a" }),
  );
  return make("figure", { style: "margin: 0" }, drawing, make("figcaption", { class: "small", "aria-hidden": "true" }, said));
}
function prove(files) {
  byId("visit-problem").textContent = "";
  byId("proof").hidden = true;
  let proof;
  try {
    proof = system.prove(kept.units, files);
  } catch (error) {
    byId("visit-problem").textContent = problem(error);
    return;
  }
  const { texts: told, expected, delivered } = proof;
  byId("proof").replaceChildren(
    ...[
      make("h2", { id: "proof-title", tabindex: "-1" }, "The proof"),
      make("div", { class: "verdict" }, make("strong", {}, words(proof.outcome)), lines(told.verdict).map((line) => make("p", {}, line))),
      picture(proof),
      ...(expected === null ? [] : titled("What it should deliver, step by step", ledger(expected.ledger, units_of("expected").total_capacity))),
      ...titled("What it delivers", facts(delivered, units_of("delivered"), DELIVERED)),
      ...(proof.ratio === null ? [] : titled("Evidence", evidence(proof, delivered.mode))),
      ...(proof.ratio === null ? [] : titled("What the uncertainty is made of", shares(proof))),
      ...(told.settling.length > 0 ? titled("What would settle it, best first", list(told.settling)) : []),
      ...(told.causes ? titled("Likely causes: hypotheses, no verdict", list(lines(told.causes))) : []),
      ...(told.notes.length > 0 ? titled("Notes", list(told.notes)) : []),
      make("details", {}, make("summary", {}, "All of it as a text"), make("pre", {}, proof.report)),
    ].filter((one) => one !== null),
  );
  byId("proof").hidden = false;
  byId("status").textContent = `Proof: ${words(proof.outcome)}.`;
  byId("proof-title").focus();
}

// What a person does.

byId("cautions").replaceChildren(...list(offnominal.cautions).children);
byId("system-files").addEventListener("change", async ({ target: input }) => input.files.length > 0 && take(await texts(input)));
byId("system-paste").addEventListener("click", () => take({ "pasted text": byId("system-text").value }));
byId("system-demo").addEventListener("click", () => take(DEMO.system));
byId("visit-files").addEventListener("change", async ({ target: input }) => input.files.length > 0 && prove(await texts(input)));
byId("visit-paste").addEventListener("click", () => prove({ "pasted text": byId("visit-text").value }));
byId("visit-demo").addEventListener("click", () => prove(DEMO.visit));
byId("conditions").addEventListener("change", ({ target: input }) => {
  kept[input.name] = input.type === "checkbox" ? input.checked : input.value;
  if (input.name === "units") for (const name of [...Object.keys(numbers), "humidity"]) delete kept[name]; // what was typed was in others
  if (input.name in CHOICES) {
    ask();
    byId(input.id).focus(); // the form is laid anew around it
  }
  if (was_asked) work_out();
});
byId("conditions").addEventListener("submit", (event) => {
  event.preventDefault();
  for (const input of byId("fields").querySelectorAll("input[type=text]")) kept[input.name] = input.value;
  was_asked = true;
  const lacking = work_out();
  (lacking ?? byId("target-title")).focus();
});
byId("status").textContent = "Ready. Begin with the machine.";
