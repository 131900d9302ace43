// What the page hands on: the record as a job file, the code of a card read back.
const SIGNS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
const quoted = (text) => (/^[A-Za-z0-9][\w .%/+-]*$/.test(text) ? text : JSON.stringify(text));
const mapped = (pairs) => `{${pairs.map(([k, v]) => `${k}: ${quoted(v)}`).join(", ")}}`;
const SITE = ["static pressure", "firing rate"];

function jobText(page, readings) {
  // a job file that verify reads; figures as they were typed
  const { table, typed } = page,
    model = page.engine.model.model,
    lines = ["format: selector job 1", `table: ${quoted(table.name)}`];
  const unit = (f) => (f.u && !/[a-z]$/i.test(typed.get(f.n)) ? ` ${f.u}` : "");
  if (model) lines.push(`model: ${quoted(model)}`);
  const facts = table.facts.filter((f) => typed.has(f.n)),
    of = (names) => facts.filter((f) => names(f.n)).map((f) => [f.n, typed.get(f.n) + unit(f)]);
  const site = of((n) => SITE.includes(n)),
    tons = facts.find((f) => f.n === "outdoor tons"),
    volts = facts.find((f) => f.n === "supply voltage"),
    rest = of((n) => !SITE.includes(n) && n !== "outdoor tons" && n !== "supply voltage");
  if (site.length) lines.push(`site: ${mapped(site)}`);
  if (tons) lines.push(`outdoor unit: {capacity: ${typed.get(tons.n)} tons}`);
  if (volts) lines.push(`heat: {supply voltage: ${typed.get(volts.n)} V}`);
  if (rest.length) lines.push(`facts: ${mapped(rest)}`);
  lines.push("as left:", ...table.selectors.map((s) => `  ${quoted(s.n)}: ${quoted(marksOf(page, s))}`));
  const seen = table.measure.seen.filter(([what]) => page.measure.seen.has(what)).map(([, words]) => `  ${words}`);
  if (seen.length) lines.push("seen: |", ...seen);
  if (readings.length) lines.push("measurements:", ...readings.flatMap((r) => readingLines(page, r)));
  return `${lines.join("\n")}\n`;
}
function marksOf(page, s) {
  const at = (l) => page.setting[l.p] ?? (l.spare ? page.engine.model.delivered[l.p] : null),
    half = (l) => (page.half.get(l.p) || []).map((i) => word(page.table, l.p, i)).join(" or "),
    said = (l) => (at(l) === null ? half(l) || "?" : word(page.table, l.p, at(l)));
  if (s.lines.length === 1) return at(s.lines[0]) === null ? half(s.lines[0]) || "unread" : said(s.lines[0]);
  if (s.bank && s.digits) return s.lines.map((l) => at(l) ?? "?").join("");
  return s.lines.map((l) => (s.bank ? said(l) : `${l.label}=${said(l)}`)).join(" ");
}
function readingLines(page, r) {
  const call = titled(r.title),
    { text } = r,
    head = [["call", call], ...(text.minutes ? [["minutes", text.minutes]] : [])],
    out = [];
  const rise = text.supply
    ? [
        ["return air", text.back],
        ["supply air", text.supply],
      ]
    : text.figure && r.kind === "rise"
      ? [["rise", text.figure]]
      : [];
  if (r.clock) {
    const { volume, time, gas } = text.clock;
    const meter = [
      ["volume", `${volume} ft3`],
      ["time", `${time} s`],
      ["heat of gas", `${gas} Btu/ft3`],
    ];
    out.push([...head, ["method", "clocked gas"], ...meter, ...rise]);
  } else if (rise.length) out.push([...head, ["method", "rise"], ...rise]);
  if (text.figure && r.kind !== "rise") out.push([...head, ["method", r.kind], ["airflow", text.figure]]);
  if (text.static) out.push([...head, ["method", "static"], ["static pressure", text.static]]);
  return out.map((pairs) => `  - ${mapped(pairs)}`);
}
function checkOf(said) {
  // FNV-1a, 32 bits, without case, quotation marks, hyphens and spaces
  let n = 2166136261;
  for (const b of new TextEncoder().encode(said.replace(/["'\s-]/g, "").toLowerCase()))
    n = Math.imul(n ^ b, 16777619) >>> 0;
  let out = "";
  for (let i = 0; i < 3; i++) {
    out += SIGNS[n % 32];
    n = Math.floor(n / 32);
  }
  return out;
}
function readCode(page, code) {
  // what a card's code puts on the board, or why it doesn't
  const m = /^\s*table\s+([^;]+?)\s*;\s*edition\s+(\d+)\s*;([^]*?);?\s*check\s+(\w+)\W*$/i.exec(code);
  if (!m) return "That is not the code of a card. Paste it whole, from `table` to the letters after `check`.";
  if (m[4].toUpperCase() !== checkOf(code.slice(0, code.toLowerCase().lastIndexOf("check ")).trim().replace(/;$/, "")))
    return "Something in this code is mistyped: the check doesn't agree. Compare it with the card.";
  const have = page.tables.map((t) => `${t.name} ${t.measure.edition}`);
  const name = m[1].replace(/\s+/g, " ").toLowerCase(),
    number = page.tables.findIndex((t) => t.name.toLowerCase() === name && t.measure.edition === m[2]);
  if (number < 0) return `This card is of ${m[1]}, edition ${m[2]}. This page has ${have.join(", ")}.`;
  const table = page.tables[number],
    setting = table.parts.map(() => null),
    facts = [],
    other = [];
  let model = 0;
  for (const piece of m[3].split(";").map((x) => x.trim().replace(/\s+/g, " "))) {
    const fact = /^(plate model|model|motor|altitude|derate|heat input|tons) ([^=]*)$/i.exec(piece);
    if (!fact) {
      const wrong = putMarks(table, piece, setting);
      if (wrong) return wrong;
      continue;
    }
    const key = fact[1].toLowerCase(),
      at = table.models.findIndex((x) => x.model !== null && x.model.toLowerCase() === fact[2].toLowerCase());
    if (key === "model" && at >= 0) model = at;
    else if (key === "tons" && table.facts.some((f) => f.n === "outdoor tons"))
      facts.push(["outdoor tons", fact[2].replace(/[^\d.].*$/, "")]);
    else other.push(piece);
  }
  return { number, kept: { model, facts, setting, unit: page.unit }, other };
}
function putMarks(table, text, setting) {
  // `SW1=1001 J1="off pins" M1-Y1=2` into a setting
  const names = [...table.selectors.map((s) => s.n), ...table.parts.map((p) => p.n)].sort(
    (a, b) => b.length - a.length,
  );
  const pattern = new RegExp(
      `(?:^|\\s)(${names.map((n) => n.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")).join("|")})=`,
      "gi",
    ),
    cuts = [...text.matchAll(pattern)];
  for (const [n, cut] of cuts.entries()) {
    const marks = text
        .slice(cut.index + cut[0].length, cuts[n + 1]?.index)
        .trim()
        .replace(/^["']|["']$/g, ""),
      key = cut[1].toLowerCase();
    const s = table.selectors.find((x) => x.n.toLowerCase() === key),
      parts = s ? s.lines.map((l) => l.p) : [table.parts.findIndex((p) => p.n.toLowerCase() === key)];
    const split =
      parts.length > 1 && !marks.includes(" ") ? [...marks] : parts.length > 1 ? marks.split(/\s+/) : [marks];
    if (split.length !== parts.length) return `${cut[1]}: these marks are not of this board.`;
    for (const [i, p] of parts.entries()) {
      const part = table.parts[p],
        line = table.selectors.flatMap((x) => x.lines).find((l) => l.p === p),
        mark = split[i].replace(/.*=/, "").toLowerCase();
      const at = line.marks.findIndex((x) => x.toLowerCase() === mark);
      if (mark === "?" || mark === "unread") continue;
      if (part.absent && part.absent.toLowerCase() === mark) setting[p] = -1;
      else if (at >= 0) setting[p] = at;
      else if (/^[01]$/.test(mark) && line.marks.length === 2) setting[p] = +mark;
      else return `${part.n}: ${split[i]} is not a mark of this board.`;
    }
  }
  return cuts.length ? "" : `${text}: no marks of this board.`;
}
