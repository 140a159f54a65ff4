// The package for browsers, as the runner of tests/conformance asks it: `node ours.mjs FOLDER-OF-THE-PACKAGE`, a question a line on its input, an
// answer a line on its output.
import { readFileSync } from "node:fs";
import { dirname, join, relative } from "node:path";
import { pathToFileURL } from "node:url";

const { load, Refused } = await import(pathToFileURL(join(process.argv[2], "offnominal.js")));
const offnominal = await load();
const words = Object.fromEntries(Object.entries(offnominal.notes).map(([word, text]) => [text, word]));
const systems = {};

/** A system file and the tables beside it that it names. */
function filesOf(path) {
  const text = readFileSync(path, "utf8");
  const folder = dirname(path);
  const named = [...text.matchAll(/[\w./-]+\.csv/g)].map(([name]) => join(folder, name));
  return Object.fromEntries([path, ...named].map((file) => [relative(folder, file), readFileSync(file, "utf8")]));
}

/** A question to the Python package, as the C interface has it. */
function asked({ line_set: line, airflow_basis: basis, airflow_at: at, outside, ...rest }) {
  const out = { ...rest };
  if (line === "reference") out.line_set = line;
  else if (line !== undefined) {
    const { beyond, tubing, fittings = "unknown", ...given } = line;
    Object.assign(out, given, { line_set: beyond === "model" ? "modelled" : "given" });
    if (tubing !== undefined) {
      out.length = tubing;
      if (fittings === "unknown") out.fittings_are = 2;
      else out.fittings = fittings;
    }
  }
  if (basis !== undefined) out.airflow_is = basis;
  if (at !== undefined) Object.assign(out, { airflow_is: "actual", airflow_at: at });
  if (typeof outside === "string") out.outside = outside;
  else for (const [axis, [, far]] of Object.entries(outside ?? {})) out[(axis === "entering_wet_bulb" ? "extend_" : "hold_") + axis] = far;
  return out;
}

function answer({ ask, system, units, visit, ...question }) {
  if (ask === "air") return null;
  if (system !== undefined) systems[system] ??= offnominal.system(filesOf(system));
  try {
    const told =
      ask === "prove"
        ? systems[system].prove(units, JSON.stringify(visit))
        : ask === "expect"
          ? systems[system].expect(units, asked(question))
          : offnominal.deliver(units, asked(question));
    told.notes = told.notes.map((text) => words[text]).join(", ");
    return told;
  } catch (refused) {
    if (!(refused instanceof Refused)) throw refused;
    const { why, ...numbers } = refused.reason;
    return { reason: why, notes: "", ...numbers };
  }
}

function told(name, value) {
  return value === null || value === "none" || value === "nothing" ? undefined : value;
}
for (const line of readFileSync(0, "utf8").trimEnd().split("\n")) {
  const one = answer(JSON.parse(line));
  console.log(one === null ? "null" : JSON.stringify(one, told));
}
