// offnominal in browsers and in Node: a thin layer over its C interface, which module.js has as WebAssembly. What each call means stands in
// include/offnominal/offnominal.h; what goes in and comes out are plain objects, with the names and words of the C interface.
import offnominalModule from "./module.js";
import { ENUMERATIONS, STRUCTS, TOLD } from "./quantities.js";

/** A call that gave nothing: in words as `message`, and as data. */
export class OffnominalError extends Error {
  constructor(told) {
    super(told.message);
    Object.assign(this, told, { name: new.target.name });
  }
}
/** There is no answer: `reason` says why. */
export class Refused extends OffnominalError {}
/** A text is not what it should be: `file`, `line`, `column`, `text`, `accepted`. */
export class InputError extends OffnominalError {}
const KINDS = [, Refused, InputError, InputError];

/** Loads the library: once for a program. */
export async function load() {
  return new Offnominal(await offnominalModule());
}

class Offnominal {
  #c;

  constructor(module) {
    this.#c = new Calls(module);
  }

  /** "0.2.0" */
  get version() {
    const number = this.#c.of("version")();
    return [number / 10000, (number / 100) % 100, number % 100].map(Math.trunc).join(".");
  }
  /** Lines to be shown with every answer. */
  get cautions() {
    const [, ...lines] = this.#c.text(this.#c.of("cautions")()).trimEnd().split("\n");
    return lines.map((line) => line.trim());
  }
  /** What each note says, by its word. */
  get notes() {
    const texts = Object.entries(this.#c.words.note).map(([word, number]) => [word, this.#c.text(this.#c.of("note_text")(number))]);
    return Object.fromEntries(texts);
  }
  /** The words that a member takes: words("line_set"). */
  words(enumeration) {
    return Object.keys(this.#c.words[enumeration]);
  }

  /** A system, of the texts of its files by their names: first the system file, then the tables that it names. What is not among them comes out
   *  of `beside`, a function of the name. */
  system(files, beside) {
    return new System(this.#c, files, beside);
  }
  /** What a machine delivers. */
  deliver(units, readings) {
    return this.#c.inside((place) => {
      const asked = [this.#c.units(units), place.struct("readings", readings)];
      return JSON.parse(place.told("deliver_json", ...asked));
    });
  }
  /** Many readings at once, each with the bits of `deliver`: those of `readings`, but for the numbers that have a column. */
  deliverBatch(units, readings, columns, told = names(TOLD.delivered)) {
    return this.#c.inside((place) => {
      const shared = [this.#c.units(units), place.struct("readings", readings)];
      return place.batch("deliver_batch", shared, "reading_columns", columns, "delivered_columns", told);
    });
  }
  /** Every combination of systems, matches and airflows or blower settings against design loads, those that fit first. */
  choose(units, systems, design) {
    return this.#c.inside((place) => {
      const handles = place.numbers(Uint32Array, systems.map(System.handle));
      const { airflows } = design; // a list, which C takes as where it is and how long
      if (airflows && airflows.length === undefined)
        throw new TypeError(`airflows: ${JSON.stringify(airflows)}; accepted: a list of numbers`);
      const flows = airflows ? { airflows: place.numbers(Float64Array, airflows), airflow_count: airflows.length } : {};
      const asked = place.struct("design", { ...design, ...flows });
      return JSON.parse(place.told("choose", handles, systems.length, this.#c.units(units), asked));
    });
  }
}

class System {
  #c;
  #handle;

  constructor(calls, files, beside) {
    this.#c = calls;
    this.#handle = calls.inside((place) => place.parsed("system", files, beside));
  }

  static handle(system) {
    return system.#handle;
  }

  get name() {
    return this.#c.text(this.#c.of("system_name")(this.#handle));
  }
  /** The names of the stages with a page of a mode. */
  stages(mode) {
    const number = this.#c.words.mode[mode];
    return this.#c.list((k) => this.#c.of("stage_name")(this.#handle, number, k));
  }
  /** The names of the indoor matches. */
  get matches() {
    return this.#c.list((k) => this.#c.of("match_name")(this.#handle, k));
  }
  /** All that it covers, for forms. */
  coverage(units) {
    return this.#c.inside((place) => JSON.parse(place.told("coverage", this.#handle, this.#c.units(units))));
  }
  /** All that keeps a question from an answer. */
  missing(units, conditions) {
    return JSON.parse(this.#ask("missing", units, conditions));
  }
  /** What the machine should deliver, with its ledger. */
  expect(units, conditions) {
    return JSON.parse(this.#ask("expect_json", units, conditions));
  }
  /** Many questions at once, each with the bits of `expect`: those of `conditions`, but for the numbers that have a column. */
  expectBatch(units, conditions, columns, told = names(TOLD.expected)) {
    return this.#c.inside((place) => {
      const shared = [this.#handle, this.#c.units(units), place.struct("conditions", conditions)];
      return place.batch("expect_batch", shared, "condition_columns", columns, "expected_columns", told);
    });
  }
  /** A question backwards: where along `vary`, `between` two numbers, something told, `of` (`over` another one), has the value `equals`. */
  solve(units, conditions, { vary, between, of, over = null, equals }) {
    const number = this.#c.units(units);
    return this.#c.inside((place) => {
      const names = [of, over].map((name) => (name === null ? 0 : place.text(String(name))));
      const asked = [this.#handle, number, place.struct("conditions", conditions), place.text(vary), ...between, ...names, equals];
      const solution = place.struct("solution", {});
      const told = (name) => this.#c.view.getFloat64(solution + LAYOUTS.solution.members[name].at, true);
      for (let room = 16; ; ) {
        const places = place.room(room * 8);
        place.call("solve", ...asked, places, room, solution);
        const count = this.#c.view.getUint32(solution + LAYOUTS.solution.members.count.at, true);
        if (count <= room)
          return { places: [...place.read(places, count)], best: told("best"), reached: told("reached"), off: told("off") };
        room = count;
      }
    });
  }
  /** The same as a text that can be followed with a finger on the page. */
  report(units, conditions) {
    return this.#ask("expect_report", units, conditions);
  }
  /** The proof of a visit, of the text of its file or, as a system's, of the texts of its files: first the visit file, then the logs that it takes
   *  readings from; with its sentences as `texts`, and all of it as a text, `report`. */
  prove(units, visit, beside) {
    const number = this.#c.units(units);
    return this.#c.inside((place) => {
      const proof = place.proof(this.#handle, visit, beside);
      const told = JSON.parse(place.told("proof_json", proof, number));
      const texts = JSON.parse(place.told("proof_texts", proof, number));
      return { ...told, texts, report: place.told("proof_report", proof, number) };
    });
  }
  /** Many visits at once, each with the bits of `prove`: that of the file, but for the numbers that have a column. */
  proveBatch(units, visit, columns, told = ["ratio", "ratio_u", "probability"], beside) {
    return this.#c.inside((place) => {
      const shared = [this.#handle, this.#c.units(units), place.visit(visit, beside)];
      const words = { outcome: "outcome", suspect: "about", method: "method", next: "remedy" };
      return place.batch("prove_batch", shared, "visit_columns", columns, "verdict_columns", told, words);
    });
  }
  /** Visits to this machine, each as `prove` takes one, season to season: cooling first, by date, with what changed since. */
  seasons(visits, beside) {
    return this.#c.inside((place) => {
      const proofs = visits.map((visit) => place.proof(this.#handle, visit, beside));
      return JSON.parse(place.told("seasons", place.numbers(Uint32Array, proofs), proofs.length));
    });
  }
  /** Which decisions flip where this system takes the place of `before`, a transcription that was revised: visits as of `proveBatch`. */
  revised(before, units, visit, columns, beside) {
    return this.#c.inside((place) => {
      const asked = [before.#handle, this.#handle, this.#c.units(units), place.visit(visit, beside)];
      const { given, rows } = place.columns("visit_columns", columns);
      return JSON.parse(place.told("revised", ...asked, given, rows));
    });
  }
  /** The target card of a test day: what the machine should deliver over outdoor dry bulb and entering wet bulb, lists; left out: what the page
   *  prints. With `forecast`, a visit as `prove` takes one, also what such a visit would decide. */
  card(units, conditions, { outdoor_dry_bulb = null, entering_wet_bulb = null, forecast = null } = {}, beside) {
    const number = this.#c.units(units);
    return this.#c.inside((place) => {
      const axes = Object.entries({ outdoor_dry_bulb, entering_wet_bulb }).flatMap(([name, list]) => {
        if (list === null) return [0, 0];
        if (list.length === 0) throw new RangeError(`${name}: an empty list; accepted: one number or more`);
        return [place.numbers(Float64Array, list), list.length];
      });
      const visit = forecast === null ? 0 : place.visit(forecast, beside);
      return JSON.parse(place.told("card", this.#handle, number, place.struct("conditions", conditions), ...axes, visit));
    });
  }
  /** What a typist may have got wrong, page by page. */
  audit() {
    return this.#c.inside((place) => JSON.parse(place.told("audit", this.#handle)));
  }
  /** Gives its memory back; it answers no more. */
  free() {
    this.#c.of("system_free")(this.#handle);
    this.#handle = 0;
  }

  #ask(what, units, conditions) {
    return this.#c.inside((place) =>
      place.told(what, this.#handle, this.#c.units(units), place.struct("conditions", conditions)),
    );
  }
}

/** The functions of the C interface, and the words of its enumerations. */
class Calls {
  #module;

  constructor(module) {
    this.#module = module;
    /** What gives the text of a name while a text is read that names others; and how C calls it. */
    this.give = null;
    this.giving = module.addFunction((_, name, size) => this.give(this.text(name), size), "iiii");
    this.words = Object.fromEntries(
      ENUMERATIONS.map((name, enumeration) => {
        const word = (value) => this.text(this.of("word")(enumeration, value));
        const rows = Array.from({ length: 256 }, (_, value) => [word(value), value]);
        return [name, Object.fromEntries(rows.filter(([text]) => text))];
      }),
    );
  }

  of(name) {
    return this.#module[`_offnominal_${name}`];
  }
  get memory() {
    return this.#module.HEAPU8; // a new one where the memory has grown
  }
  get view() {
    return new DataView(this.memory.buffer);
  }
  text(pointer) {
    const bytes = this.memory;
    return pointer === 0 ? null : new TextDecoder().decode(bytes.subarray(pointer, bytes.indexOf(0, pointer)));
  }
  word(enumeration, number) {
    return Object.entries(this.words[enumeration]).find(([, value]) => value === number)?.[0] ?? "";
  }
  units(word) {
    return chosen(this.words.units, "units", word);
  }
  /** Texts by their numbers, until there is none. */
  list(one) {
    const out = [];
    for (let k = 0, at; (at = one(k)) !== 0; ++k) out.push(this.text(at));
    return out;
  }
  /** Does a call with places for its arguments, which are given back after it. */
  inside(work) {
    const place = new Place(this, this.#module);
    try {
      return work(place);
    } finally {
      place.end();
    }
  }
}

/** What one call needs of the memory. */
class Place {
  #c;
  #module;
  #ends = [];

  constructor(calls, module) {
    this.#c = calls;
    this.#module = module;
  }
  end() {
    while (this.#ends.length > 0) this.#ends.pop()();
  }
  atEnd(work) {
    this.#ends.push(work);
  }

  room(size) {
    const at = this.#module._malloc(size);
    if (at === 0) throw new RangeError(`no memory for ${size} bytes`);
    this.atEnd(() => this.#module._free(at));
    this.#c.memory.fill(0, at, at + size);
    return at;
  }
  text(text) {
    return this.bytes(text)[0];
  }
  /** Where the bytes of a text are, and how many: 0 stands after them. */
  bytes(text) {
    const bytes = typeof text === "string" ? new TextEncoder().encode(text) : text;
    if (!ArrayBuffer.isView(bytes)) throw new TypeError(`a text: ${String(bytes)}; accepted: a string or a Uint8Array`);
    const at = this.room(bytes.length + 1);
    this.#c.memory.set(bytes, at);
    return [at, bytes.length];
  }
  /** Where a list of numbers is. */
  numbers(Type, list) {
    const numbers = Type.from(list);
    const at = this.room(numbers.byteLength);
    this.#c.memory.set(new Uint8Array(numbers.buffer), at);
    return at;
  }
  /** Numbers that a call has written. */
  read(at, count) {
    return new Float64Array(this.#c.memory.slice(at, at + 8 * count).buffer);
  }
  /** A struct as a caller of C fills it. */
  struct(name, given) {
    const { members, size } = LAYOUTS[name];
    const at = this.room(size);
    this.#c.view.setUint32(at, size, true);
    this.#c.of(`${name}_init`)?.(at, size);
    const fields = { ...given };
    if (fields.fittings !== undefined && fields.fittings_are === undefined) fields.fittings_are = 1;
    for (const [field, value] of Object.entries(fields)) {
      const member = members[field];
      if (member === undefined || field === "struct_size")
        throw new TypeError(`${name}: ${JSON.stringify(field)}; accepted: ${Object.keys(members).slice(1).join(", ")}`);
      if (value === undefined || value === null) continue;
      this.#put(at + member.at, field, member, value);
    }
    return at;
  }
  #put(at, field, { type, words, count }, value) {
    const numbers = this.#c.words[words];
    if (count > 1) {
      for (const [word, times] of Object.entries(value))
        this.#c.view.setInt32(at + 4 * chosen(numbers, field, word), whole(`${field}: ${word}`, times), true);
    } else if (type === "const char*") {
      const text = this.text(typeof value === "object" ? JSON.stringify(value) : String(value));
      this.#c.view.setUint32(at, text, true);
    } else if (type.endsWith("*")) {
      this.#c.view.setUint32(at, value, true);
    } else if (type === "double") {
      if (typeof value !== "number") throw new TypeError(`${field}: ${JSON.stringify(value)}; accepted: a number`);
      this.#c.view.setFloat64(at, value, true);
    } else {
      this.#c.view.setInt32(at, numbers ? chosen(numbers, field, value) : whole(field, Number(value)), true);
    }
  }

  /** A call that can fail. */
  call(name, ...given) {
    const error = this.room(ERROR.size);
    this.#c.view.setUint32(error, ERROR.size, true);
    const status = this.#c.of(name)(...given, error);
    if (status !== 0) throw this.#failure(error, status);
  }
  /** What a call writes where a pointer is told it. */
  #written(name, given) {
    const to = this.room(4);
    this.call(name, ...given, to);
    return this.#c.view.getUint32(to, true);
  }
  /** A handle that a call makes. */
  made(name, ...given) {
    return this.#written(name, given);
  }
  /** A system or a visit of the texts of its files: of the first, with what it names. */
  parsed(what, files, beside) {
    const [[name, text], ...others] = Object.entries(files);
    const given = new Map(others);
    const outer = this.#c.give; // where `beside` reads another one
    const thrown = [];
    this.#c.give = (asked, size) => {
      try {
        const found = given.get(asked) ?? beside?.(asked) ?? null;
        if (found === null) return 0;
        const [at, length] = this.bytes(found);
        this.#c.view.setUint32(size, length, true);
        return at;
      } catch (error) {
        thrown.push(error); // not through C
        return 0;
      }
    };
    try {
      return this.made(`${what}_parse_beside`, ...this.bytes(text), this.text(name), this.#c.giving, 0);
    } catch (error) {
      throw thrown.length > 0 ? thrown[0] : error;
    } finally {
      this.#c.give = outer;
    }
  }
  /** A visit for the time of a call. */
  visit(visit, beside) {
    const is_text = typeof visit === "string" || ArrayBuffer.isView(visit);
    const read = this.parsed("visit", is_text ? { visit } : visit, beside);
    this.atEnd(() => this.#c.of("visit_free")(read));
    return read;
  }
  /** A proof for the time of a call. */
  proof(system, visit, beside) {
    const proof = this.made("prove", system, this.visit(visit, beside));
    this.atEnd(() => this.#c.of("proof_free")(proof));
    return proof;
  }
  /** A text that a call makes. */
  told(name, ...given) {
    const at = this.#written(name, given);
    this.atEnd(() => this.#c.of("text_free")(at));
    return this.#c.text(at);
  }
  /** Columns of numbers in, and how many rows they have. */
  columns(into, columns) {
    const rows = Math.max(0, ...Object.values(columns).map((column) => column.length));
    const short = Object.keys(columns).find((one) => columns[one].length !== rows);
    if (short !== undefined) throw new RangeError(`columns: ${short} has ${columns[short].length} rows of ${rows}`);
    const places = Object.entries(columns).map(([one, column]) => [one, this.numbers(Float64Array, column)]);
    return { given: this.struct(into, Object.fromEntries(places)), rows };
  }
  /** A batch: columns of numbers in; the columns of numbers that are `told` out, with reasons, and `words`, columns of enumerators by their
   *  enumeration. */
  batch(name, shared, into, columns, outof, told, words = {}) {
    const tellable = Object.entries(LAYOUTS[outof].members).filter(([, { type }]) => type === "double*");
    told.forEach((one) => chosen(Object.fromEntries(tellable), "told", one));
    const { given, rows } = this.columns(into, columns);
    const each = (list, make) => Object.fromEntries(list.map((one) => [one, make(one)]));
    const reasons = this.room(rows * REASON.size);
    const numbers = each(told, () => this.room(rows * 8));
    const codes = each(Object.keys(words), () => this.room(rows * 2));
    this.call(name, ...shared, given, rows, this.struct(outof, { reasons, ...numbers, ...codes }));
    const each_row = (one) => Array.from({ length: rows }, (_, row) => one(row));
    const word = (one) => each_row((row) => this.#c.word(words[one], this.#c.view.getInt16(codes[one] + 2 * row, true)) || null);
    return {
      reasons: each_row((row) => this.reason(reasons + row * REASON.size)),
      ...each(Object.keys(words), word),
      ...each(told, (one) => this.read(numbers[one], rows)),
    };
  }
  /** A reason that a call has written; null where it is none. */
  reason(at) {
    const view = this.#c.view;
    if (view.getUint8(at + REASON.why) === 0) return null;
    const number = (name) => {
      const value = view.getFloat64(at + REASON[name], true);
      return Number.isFinite(value) ? value : null;
    };
    return {
      why: this.#c.word("why", view.getUint8(at + REASON.why)),
      about: this.#c.word("about", view.getUint8(at + REASON.about)),
      value: number("value"),
      lower: number("lower"),
      upper: number("upper"),
    };
  }
  #failure(at, status) {
    const view = this.#c.view;
    const text = (name) => this.#c.text(at + ERROR[name]);
    const told = { status, message: text("message") };
    if (status === 1) told.reason = this.reason(at + ERROR.reason);
    if (status === 2 || status === 3)
      Object.assign(told, {
        file: text("file"),
        line: view.getInt32(at + ERROR.line, true),
        column: view.getInt32(at + ERROR.column, true),
        text: text("text"),
        accepted: text("accepted"),
      });
    return new (KINDS[status] ?? OffnominalError)(told);
  }
}

function chosen(numbers, field, word) {
  if (!Object.hasOwn(numbers, word)) throw new TypeError(`${field}: ${JSON.stringify(word)}; accepted: ${Object.keys(numbers).join(", ")}`);
  return numbers[word];
}
function whole(field, number) {
  if (!Number.isInteger(number)) throw new TypeError(`${field}: ${JSON.stringify(number)}; accepted: a whole number`);
  return number;
}

/** Where the members of a struct stand, by the rules of C on a processor with pointers of 4 bytes. */
function layout(list) {
  const size_of = (type) => (type === "double" ? 8 : 4); // pointers and whole numbers
  const members = {};
  let at = 0;
  const place = (size) => Math.ceil(at / size) * size;
  for (const [declared, type, words] of list) {
    const [, name, count = 1] = declared.match(/^(\w+)(?:\[(\d+)\])?$/);
    at = place(size_of(type));
    members[name] = { at, type, words, count: Number(count) };
    at += size_of(type) * Number(count);
  }
  return { members, size: place(Math.max(...list.map(([, type]) => size_of(type)))) };
}
const SIZE = ["struct_size", "size_t"];
const members = (type, names) => names.map((name) => [name, type]);
const names = (lines) => lines.map(([name]) => name);
/** Those of offnominal.h, which is written by hand, too. */
const LAYOUTS = {
  ...Object.fromEntries(Object.entries(STRUCTS).map(([name, list]) => [name, layout(list)])),
  solution: layout([SIZE, ["count", "size_t"], ...members("double", ["best", "reached", "off"])]),
  design: layout([
    SIZE,
    ["limits", "const char*"],
    ...members("double", [
      "total_load", "sensible_load", "latent_load", "outdoor_dry_bulb", "entering_dry_bulb", "entering_wet_bulb", "entering_dew_point",
      "entering_relative_humidity", "heating_load", "heating_outdoor_dry_bulb", "heating_entering_dry_bulb", "no_heating_load", "elevation",
      "pressure", "external_static", "length", "suction", "lift", "liquid",
    ]),
    ["line_set", "int32_t", "line_set"],
    ["spare_latent", "int32_t"],
    ["entering_humidity_ratio", "double"],
    ["airflows", "const double*"],
    ["airflow_count", "size_t"],
    ["frost", "int32_t", "frost"],
  ]),
};
/** Of offnominal_reason and offnominal_error, likewise. */
const REASON = { why: 0, about: 1, value: 8, lower: 16, upper: 24, size: 32 };
const ERROR = { line: 8, column: 12, reason: 24, message: 56, file: 1080, text: 1336, accepted: 1464, size: 1720 };
