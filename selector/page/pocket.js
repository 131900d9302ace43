// What a person sees and taps. All text goes in as text, never as markup; the drawings are those that the page was made with.
const ratio = (t) => { const [a, b] = t.split("/"); return fraction(BigInt(a), BigInt(b || 1)); };
globalThis.pocket = { Engine, TooMuch, decimal, energised, find, figure, isNo, possible, possibleWords, ratio };

const WORDS = ["does not run", "refused", "outside the page", "not known"];
const STORE = "selector pocket page";
const SHOWN = 20;

function el(tag, props = {}, ...children) {
  const out = document.createElement(tag);
  for (const [name, value] of Object.entries(props)) {
    if (name.startsWith("on")) out.addEventListener(name.slice(2), value);
    else if (value === true) out.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) out.setAttribute(name, value);
  }
  out.append(...children.flat(Infinity).filter((c) => c !== null && c !== undefined && c !== ""));
  return out;
}
const list = (items, kind = "ul", props = {}) => el(kind, props, items.map((x) => (x instanceof Node && x.tagName === "LI" ? x : el("li", {}, x))));
const section = (id, title, where, ...children) => el("section", { id, class: where, "aria-labelledby": `${id}-head` }, el("h2", { id: `${id}-head` }, title), ...children);

const store = {
  get() { try { return JSON.parse(localStorage.getItem(STORE)); } catch { return null; } },
  set(value) { try { localStorage.setItem(STORE, JSON.stringify(value)); } catch { /* works without */ } },
  clear() { try { localStorage.removeItem(STORE); } catch { /* works without */ } },
};

class Page {
  constructor(tables) {
    this.tables = tables;
    this.app = document.getElementById("app");
    this.show(0);
  }
  show(number, kept = null) {
    this.number = number; this.table = this.tables[number]; this.last = kept ? null : store.get();
    this.model = kept ? kept.model : 0; this.typed = new Map(kept ? kept.facts : []); this.targets = new Map();
    this.setting = kept ? kept.setting : this.table.parts.map(() => null);
    this.unit = this.table.units[0];
    this.tables.forEach((_, n) => { document.getElementById(`paper${n}`).hidden = n !== number; });
    this.calls = el("div"); this.answers = el("div"); this.hint = el("div");
    this.status = el("p", { class: "hush", role: "status" });
    this.pads = el("div"); this.pressed = [];
    this.app.replaceChildren(
      el("nav", { "aria-label": "parts of the page" }, [["board", "Board"], ["calls", "Calls"], ["find", "Find"], [`paper${number}`, "Charts"]].map(([id, word]) => el("a", { href: `#${id}` }, word))),
      el("div", { class: "top" }, this.head(), this.offer()),
      section("board", "The board as it stands", "left", el("p", { class: "small" }, "Tap each selector as it stands; tap again to take it back. What is not tapped counts as not readable."),
        el("div", { class: "row" }, this.table.models.some((m) => m.delivered.some((at) => at !== null)) ? el("button", { type: "button", onclick: () => this.put(this.engine.model.delivered) }, "As delivered") : null,
          el("button", { type: "button", onclick: () => this.put(this.table.parts.map(() => null)) }, "Nothing tapped")), this.pads),
      section("calls", "What every call does", "right", this.calls),
      section("find", "Find a setting", "right", this.form(), el("div", { "aria-live": "polite" }, this.answers)),
      this.status);
    this.learn();
  }
  head() {
    const t = this.table, choose = (label, options, at, change) => el("label", {}, label,
      el("select", { onchange: (e) => change(e.target.selectedIndex) }, options.map((o, n) => el("option", { selected: n === at }, o))));
    const fields = [];
    if (this.tables.length > 1) fields.push(choose("table", this.tables.map((x) => x.title), this.number, (n) => this.show(n)));
    if (t.models.length > 1) fields.push(choose("model", t.models.map((m) => m.model ?? "not known"), this.model, (n) => { this.model = n; this.learn(); }));
    for (const f of t.facts) {
      const was = this.typed.get(f.n), set = (v) => { if (v) this.typed.set(f.n, v); else this.typed.delete(f.n); this.learn(); };
      if (f.w.length) fields.push(choose(f.n, ["not known", ...f.w], f.w.indexOf(was) + 1, (n) => set(f.w[n - 1])));
      else fields.push(el("label", {}, `${f.n}${f.u && !f.n.endsWith(f.u) ? `, ${f.u}` : ""}`, el("input", { inputmode: "decimal", autocomplete: "off", value: was, onchange: (e) => set(e.target.value.trim()) })));
    }
    fields.push(choose("airflow in", Object.keys(t.airflow), Object.keys(t.airflow).indexOf(this.unit), (n) => { this.unit = Object.keys(t.airflow)[n]; this.relabel(); this.answer(); }));
    return [el("p", { class: "small" }, [this.tables.length > 1 ? t.title : "", t.manual ? `manual ${t.manual}` : "", ...t.given.map(([n, v]) => `${n} ${v} (given when this page was made)`)].filter((x) => x).join(", ")),
      el("div", { class: "fields" }, fields), this.hint];
  }
  offer() {
    const k = this.last, number = k ? this.tables.findIndex((t) => t.name === k.table && t.check === k.check) : -1;
    const fits = number >= 0 && Array.isArray(k.setting) && Array.isArray(k.facts) && k.setting.length === this.tables[number].parts.length && this.tables[number].models[k.model]
      && k.setting.every((at, p) => at === null || (Number.isInteger(at) && at >= (this.tables[number].parts[p].absent ? -1 : 0) && at < this.tables[number].parts[p].p.length))
      && k.facts.every((f) => Array.isArray(f) && f.every((x) => typeof x === "string"));
    if (!fits) return null;
    const box = el("div", { class: "told" }, el("p", {}, `Last board here: ${this.tables[number].title}, ${String(k.date)}.`),
      el("div", { class: "row" }, el("button", { type: "button", onclick: () => this.show(number, k) }, "Take it up again"),
        el("button", { type: "button", onclick: () => { store.clear(); box.remove(); } }, "Clear it")));
    return box;
  }
  learn() { // facts may have changed
    const known = new Map(), wrong = [];
    for (const f of this.table.facts) {
      const typed = this.typed.get(f.n);
      if (!typed) continue;
      const x = f.w.length ? typed : decimal(typed);
      if (x === null || (!f.w.length && compare(x, ZERO) <= 0)) wrong.push(`${f.n}: \`${typed}\` is not a number above 0; type it like 0.5`); else known.set(f.n, x);
    }
    this.hint.replaceChildren(...wrong.map((w) => el("p", { class: "told", role: "alert" }, w)));
    this.engine = new Engine(this.table, this.model, known);
    this.answer();
  }
  put(setting) { this.setting = setting.slice(); this.save(); this.answer(); }
  tap(p, at) {
    this.setting[p] = this.setting[p] === at ? null : at;
    this.save();
    this.answer();
  }
  save() {
    store.set({ table: this.table.name, check: this.table.check, model: this.model, facts: [...this.typed], setting: this.setting, date: new Date().toLocaleString() });
  }
  answer() {
    this.drawPads();
    this.drawCalls();
    this.seek();
  }
  // -- the board
  drawPads() { // made once for a table; then only what is pressed changes
    if (!this.pads.firstChild) this.pads.append(...this.table.selectors.map((s) => {
      const bank = s.form === "bank", long = s.lines.some((l) => l.marks.some((m) => m.length > 4));
      return el("div", { class: `part ${bank ? "bank" : ""} ${bank && long ? "long" : ""}` }, el("h3", {}, s.n, el("span", { class: "small" }, s.head, s.note ? `; ${s.note}` : "")),
        el("div", { class: `pads ${s.form === "leads" ? "leads" : ""}` }, s.lines.map((l) => this.pad(s, l, bank))));
    }));
    this.pressed.forEach((press) => press());
  }
  pad(s, l, bank) {
    const part = this.table.parts[l.p], name = l.label ? `${s.n}-${l.label}` : s.n;
    const marks = l.marks.map((m, i) => [m, i]);
    if (part.absent) marks.push([part.absent, -1]);
    const spare = l.spare ? ", not used" : "";
    if (marks.length > 12 && !bank) {
      const select = el("select", { "aria-label": name, onchange: () => { this.setting[l.p] = select.value === "" ? null : Number(select.value); this.save(); this.answer(); } },
        el("option", { value: "" }, "not read"), marks.map(([m, i]) => el("option", { value: i }, m)));
      this.pressed.push(() => { select.value = this.setting[l.p] ?? ""; });
      return select;
    }
    const buttons = (bank ? marks.reverse() : marks).map(([m, i]) => {
      const button = el("button", { type: "button", "aria-label": `${name} ${m}${spare}`, onclick: () => this.tap(l.p, i) }, m);
      this.pressed.push(() => button.setAttribute("aria-pressed", String(this.setting[l.p] === i)));
      return button;
    });
    return el("div", { class: `pad ${l.spare ? "spare" : ""}`, role: "group", "aria-label": name + spare }, !bank && l.label ? el("span", {}, l.label) : null, buttons, bank ? el("span", {}, l.label) : null);
  }
  drawn(setting, before) {
    return el("div", { class: "board" }, this.table.selectors.map((s) => {
      const words = s.lines.map((l) => this.word(l.p, setting[l.p]));
      const changed = s.lines.filter((l) => before && before[l.p] !== null && before[l.p] !== setting[l.p]);
      const caption = el("figcaption", {}, el("b", {}, s.n), " ", s.digits && !words.includes("?") ? s.lines.map((l) => setting[l.p]).join("") : words.join(" "),
        ...changed.map((l) => el("span", { class: "small" }, `change ${l.label ? `${s.n}-${l.label}` : s.n} from ${this.word(l.p, before[l.p])} to ${this.word(l.p, setting[l.p])}`)));
      const figure = el("figure", {}, caption);
      if (s.svg) figure.append(filled(s.svg, `${s.n}: ${s.lines.map((l, n) => `${l.label} ${words[n]}`.trim()).join(", ")}`, setting, before));
      return figure;
    }));
  }
  word(p, at) {
    if (at === null) return "?";
    if (at < 0) return this.table.parts[p].absent;
    return this.table.selectors.flatMap((s) => s.lines).find((l) => l.p === p).marks[at];
  }
  // -- figures as people read them
  air(x) { return `${figure(times(x, this.engine.value(this.table.airflow[this.unit])))} ${this.unit}`; }
  airOrNo(x) { return isNo(x) ? `${WORDS[x.k]}: ${x.w}` : this.air(x); }
  degrees(x) { return `${figure(x)} ${this.table.units[1]}`; }
  limit(j) {
    const show = (x) => (j.quantity === "airflow" ? this.air(x) : j.quantity === "airflow per ton" ? `${this.air(x)} per ton` : this.degrees(x));
    const allowed = j.low && j.high ? `${show(j.low)} to ${show(j.high)}` : j.low ? `at least ${show(j.low)}` : j.high ? `at most ${show(j.high)}` : "as the page says";
    return `${j.quantity} ${j.value ? `${show(j.value)}${j.rate ? ` at ${figure(j.rate)} % fire` : ""}, ` : ""}allowed ${allowed} (${j.source})`;
  }
  beside(s) {
    return [s.rate ? `at ${figure(s.rate)} % fire` : "", s.rise ? `rise ${this.degrees(s.rise)}` : "", s.perTon ? `${this.air(s.perTon)} per ton` : ""].filter((x) => x).join(", ");
  }
  which(pairs) { return pairs ? ` (${pairs.map(([p, i]) => `${this.table.parts[p].n} ${this.word(p, i)}`).join(" or ")})` : ""; }
  said(x) { return isNo(x) ? `${WORDS[x.k]}: ${x.w}` : x.s !== undefined ? `${x.s}${Object.hasOwn(this.table.ramps, x.s) ? ` (${this.table.ramps[x.s]})` : ""}` : `${figure(x)} s`; }
  title(s) { return `${s.call} ${s.stage}`.trim(); }
  pages(stages) {
    const pages = [...new Set(stages.flatMap((s) => s.pages))], notes = [...new Set(stages.flatMap((s) => s.notes))];
    return [pages.length ? el("p", {}, `Page of the manual: ${pages.join(", ")}`) : null, notes.map((n) => el("p", {}, `Note: ${n}`))];
  }
  unjudged(items) { // one line for each reason
    const by = new Map();
    for (const [s, limit, why] of items) { if (!by.has(why)) by.set(why, new Set()); by.get(why).add(this.title(s) + (limit ? `, ${limit}` : "")); }
    return by.size ? [el("h3", {}, "Not judged"), list([...by].map(([why, names]) => `${[...names].join("; ")}: ${why}`))] : [];
  }
  warned() { return this.engine.beyond.map((w) => el("p", { class: "told" }, w)); }
  // -- every call of the board as tapped
  drawCalls() {
    const { engine, setting, table } = this;
    if (setting.every((at) => at === null)) {
      this.calls.replaceChildren(el("p", {}, "Nothing is tapped yet."));
      this.status.textContent = "";
      return;
    }
    const calls = engine.evaluate(setting), all = calls.flat(), rows = [], short = [];
    const different = table.parts.flatMap((part, p) => {
      const d = engine.model.declared[p];
      if (!d || setting[p] === null) return [];
      const [fact, positions, own] = d, known = fact === "model" ? engine.model.model : engine.known.get(fact);
      const at = positions ? positions[known] ?? null : own;
      return known === undefined || known === null || at === setting[p] ? [] : [`${part.n} tells the board ${fact} ${this.word(p, setting[p])}, but ${known} is what is there.`];
    });
    calls.forEach((call, c) => call.forEach((s, i) => {
      let sum = this.airOrNo(s.air), words = this.beside(s);
      if (setting.includes(null)) {
        let open = null;
        try { open = possible(engine, c, i, setting); } catch (error) { if (!(error instanceof TooMuch)) throw error; }
        if (open) {
          const { airflows: a, noes } = open, certain = a.length + noes.length === 1;
          const flows = a.length > SHOWN ? `one of ${a.length} airflows from ${this.air(a[0])} to ${this.air(a[a.length - 1])}` : a.map((x) => this.air(x) + this.which(open.which.get(text(x)))).join(" or ");
          sum = [flows, ...noes.map((x) => this.airOrNo(x))].filter((x) => x).join("; or ");
          if (certain && !isNo(s.air)) open = null;
          else if (certain) words = "certain, whatever the unread positions are";
          else if (isNo(s.air)) words = "";
        }
      }
      const told = engine.stages[c][i].told.map((t, n) => {
        const open = possibleWords(engine, t, setting), said = open ? open.map((x) => this.said(x)).join(" or ") : s.told[n] === null ? "" : this.said(s.told[n]);
        return said ? `${["comes up", "waits", "runs on"][n]}: ${said}` : "";
      }).filter((x) => x);
      const broken = s.judged.filter((j) => j.ok === false), big = sum.length > 22;
      short.push(`${this.title(s)} ${sum}`);
      rows.push(el("li", {}, big ? null : el("span", { class: "sum" }, sum), el("b", {}, this.title(s)), table.calls[c].terminals[i] ? ` (${table.calls[c].terminals[i]})` : "",
        big ? el("div", {}, sum) : null, words ? el("small", {}, words) : null, told.map((x) => el("small", {}, x)),
        table.calls[c].note ? el("small", {}, table.calls[c].note) : null, broken.map((j) => el("small", { class: "broken" }, `outside its limits: ${this.limit(j)}`))));
    }));
    const unsaid = all.flatMap((s) => s.judged.filter((j) => j.ok === null).map((j) => [s, j.source, j.why]));
    this.calls.replaceChildren(...[...different.map((d) => el("p", { class: "told" }, `First: ${d}`)), ...this.warned(), el("ul", { class: "calls" }, rows), this.unjudged(unsaid), this.pages(all),
      el("h3", {}, "As tapped"), this.drawn(setting, null)].flat(Infinity).filter((x) => x));
    this.status.textContent = short.join("; ");
  }
  // -- targets
  form() {
    this.labels = [];
    const rows = this.table.calls.flatMap((call, c) => call.stages.map((stage, s) => {
      const name = this.title({ call: call.n, stage }), key = `${c} ${s}`, row = { from: "", to: "", kind: "airflow" };
      this.targets.set(key, row);
      const input = (field, label) => el("input", { inputmode: "decimal", autocomplete: "off", placeholder: label, "aria-label": `${name}, ${label}`, oninput: (e) => { row[field] = e.target.value; row[`${field}Input`] = e.target; this.later(); } });
      const kinds = ["airflow", ...(call.heats ? ["temperature rise"] : []), ...(call.compressor ? ["airflow per ton", "tons"] : [])];
      const select = el("select", { "aria-label": `${name}, what the figure is`, onchange: (e) => { row.kind = kinds[e.target.selectedIndex]; this.seek(); } }, kinds.map((k) => el("option", {}, k)));
      this.labels.push([select, kinds]);
      return el("fieldset", { class: "target" }, el("legend", {}, name), input("from", "target"), input("to", "up to"), select);
    }));
    this.relabel();
    return [el("p", { class: "small" }, "Type what you want of one call or several; leave the others empty. Moves are counted from the board as tapped, where nothing is tapped from the board as delivered."), rows];
  }
  relabel() {
    for (const [select, kinds] of this.labels || []) kinds.forEach((k, n) => {
      select.options[n].textContent = { airflow: this.unit, "temperature rise": `${this.table.units[1]} rise`, "airflow per ton": `${this.unit} per ton`, tons: `tons at ${this.air1(this.table.usual)}` }[k];
    });
  }
  air1(x) { const e = this.engine || new Engine(this.table, 0, new Map()); return `${figure(times(e.value(x), e.value(this.table.airflow[this.unit])))}`; }
  later() { clearTimeout(this.timer); this.timer = setTimeout(() => this.seek(), 150); }
  asked() {
    const out = [], wrong = [], scale = this.engine.value(this.table.airflow[this.unit]);
    for (const [key, row] of this.targets) {
      const [call, stage] = key.split(" ").map(Number), from = row.from.trim(), to = row.to.trim(), name = this.title({ call: this.table.calls[call].n, stage: this.table.calls[call].stages[stage] });
      row.fromInput?.removeAttribute("aria-invalid");
      if (!from && !to) continue;
      let low = decimal(from), high = to ? decimal(to) : low;
      if (low === null || high === null || compare(low, ZERO) <= 0) { wrong.push(`${name}: type a figure above 0`); row.fromInput?.setAttribute("aria-invalid", "true"); continue; }
      if (compare(low, high) > 0) { wrong.push(`${name}: type the lower figure first`); continue; }
      const text = `${figure(low, 1)}${to ? ` to ${figure(high, 1)}` : ""} ${row.kind === "airflow" ? this.unit : row.kind === "tons" ? "tons" : row.kind === "temperature rise" ? `${this.table.units[1]} rise` : `${this.unit} per ton`}`;
      const change = row.kind === "tons" ? (x) => times(x, this.engine.value(this.table.usual)) : row.kind === "temperature rise" ? (x) => x : (x) => over(x, scale);
      [low, high] = [change(low), change(high)];
      out.push({ call, stage, quantity: row.kind === "tons" ? "airflow" : row.kind, low, high, weight: ONE, of: null, text });
    }
    return [out, wrong];
  }
  seek() {
    clearTimeout(this.timer);
    const [targets, wrong] = this.asked();
    if (wrong.length || !targets.length) { this.answers.replaceChildren(...wrong.map((w) => el("p", { class: "told" }, w))); return; }
    const found = this.setting.some((at) => at !== null) ? this.setting : null;
    let r;
    try { r = find(this.engine, targets, found); } catch (error) {
      if (!(error instanceof TooMuch)) throw error;
      this.answers.replaceChildren(el("p", { class: "told" }, "Too many outcomes to work out exactly here. Ask for fewer calls at once."));
      return;
    }
    const out = r.ranked.length ? [el("ol", { class: "found" }, r.ranked.map((x, n) => this.setting1(x, n, targets, r.space, found)))] : this.miss(r, targets);
    if (r.nearer) {
      const broken = this.engine.evaluate(r.nearer.setting).flat().flatMap((s) => s.judged.filter((j) => j.ok === false).map((j) => `${this.title(s)}: ${this.limit(j)}`));
      out.push(el("h3", {}, `Nearer (deviation ${figure(times(r.nearer.deviation, HUNDRED), 2)} %), but forbidden`), list(broken));
    }
    out.push(this.warned(), this.unjudged(r.notJudged));
    const facts = [...r.space.fixed].filter(([, [, why]]) => why === "fact").map(([p, [at]]) => `${this.table.parts[p].n} on ${this.word(p, at)}`);
    if (facts.length) out.push(el("p", {}, `Set from the equipment, not searched: ${facts.join(", ")}`));
    if (r.space.unsaid.length) out.push(el("p", {}, `The equipment that ${r.space.unsaid.join(", ")} tells the board is not given: left as it stands.`));
    if (r.ranked.length) out.push(el("h3", {}, "Before setting it"), list(this.warn(r), "ul", { class: "cautions" }));
    this.answers.replaceChildren(...out.flat(Infinity).filter((x) => x));
  }
  warn(r) {
    const before = this.engine.evaluate(r.space.baseline), after = this.engine.evaluate(r.ranked[0].setting);
    const moved = this.table.calls.filter((_, c) => after[c].some((s, i) => text(s.air) !== text(before[c][i].air)));
    return this.table.cautions[(moved.some((c) => c.heats) ? 2 : 0) + (moved.some((c) => c.compressor) ? 1 : 0)];
  }
  setting1(x, n, targets, space, found) {
    const stages = this.engine.evaluate(x.setting).flat(), start = found ? "as found" : "as delivered";
    const rows = stages.map((s) => {
      const t = targets.find((t) => this.table.calls[t.call].n === s.call && this.table.calls[t.call].stages[t.stage] === s.stage), words = this.beside(s), sum = this.airOrNo(s.air);
      return el("li", {}, isNo(s.air) ? null : el("span", { class: "sum" }, sum), el(t ? "b" : "span", {}, this.title(s)), isNo(s.air) ? el("small", {}, sum) : null,
        words ? el("small", {}, words) : null, t ? el("small", {}, this.aim(t, s)) : null);
    });
    const moves = x.moved.map((p) => `${this.table.parts[p].n} ${this.word(p, space.baseline[p])} to ${this.word(p, x.setting[p])}`);
    const unsaid = space.searched.filter((p) => space.baseline[p] === null).map((p) => this.table.parts[p].n);
    const told = unsaid.length ? `The table doesn't say how ${unsaid.join(", ")} ${unsaid.length === 1 ? "is" : "are"} delivered: ${moves.length ? `moves elsewhere: ${moves.join(", ")}` : "no moves are counted"}`
      : moves.length ? `${moves.length} move${moves.length > 1 ? "s" : ""} from ${start}: ${moves.join(", ")}` : `No moves: this is the board ${start}`;
    return el("li", {}, el("h3", {}, `Setting ${n + 1}: deviation ${figure(times(x.deviation, HUNDRED), 2)} %`), this.drawn(x.setting, space.baseline), el("p", {}, told),
      el("ul", { class: "calls" }, rows), this.pages(stages));
  }
  aim(t, s) {
    const value = isNo(s.air) ? null : t.quantity === "airflow" ? s.air : t.quantity === "temperature rise" ? s.rise : s.perTon;
    if (!value) return `asked ${t.text}`;
    const off = compare(value, t.low) < 0 ? over(minus(value, t.low), t.low) : compare(value, t.high) > 0 ? over(minus(value, t.high), t.high) : ZERO;
    return `asked ${t.text}: ${off.n ? `${off.n > 0 ? "+" : ""}${figure(times(off, HUNDRED))} %` : "met"}`;
  }
  miss(r, targets) {
    const out = [el("p", { class: "told" }, el("b", {}, "Nothing fits, so no setting is shown."))];
    const lines = [...r.miss.refused.map((s) => `${this.title(s)}: ${this.airOrNo(s.air)}`),
      ...r.miss.broken.map(([s, j]) => `the nearest would break a limit of ${this.title(s)}: ${this.limit(j)}, ${figure(times(j.miss || ZERO, HUNDRED))} % outside`)];
    out.push(list(lines.length ? lines : [`Every setting is refused by a row of the page, or a fact is missing. Asked: ${targets.map((t) => t.text).join(", ")}`]));
    return out;
  }
}
const SVG = "http://www.w3.org/2000/svg", frames = new Map();
function filled(svg, said, setting, before) { // the frame with its holes filled: taken, taken before, not readable
  if (!frames.has(svg)) frames.set(svg, document.importNode(new DOMParser().parseFromString(svg, "image/svg+xml").documentElement, true));
  const out = frames.get(svg).cloneNode(true);
  out.setAttribute("aria-label", said);
  for (const hole of out.querySelectorAll("[data-part]")) {
    const p = Number(hole.dataset.part), i = Number(hole.dataset.position), [x, y, w] = ["x", "y", "width"].map((n) => Number(hole.getAttribute(n)));
    const add = (tag, props, word = "") => { const e = document.createElementNS(SVG, tag); for (const [n, v] of Object.entries(props)) e.setAttribute(n, v); e.textContent = word; hole.after(e); };
    if (setting[p] === i) hole.setAttribute("fill", "currentColor");
    else if (setting[p] === null) add("text", { x: x + w / 2, y: y + w / 2 + 4, "font-size": 11, "font-weight": "bold", "text-anchor": "middle", fill: "currentColor", stroke: "none" }, "?");
    else if (before && before[p] === i) add("path", { d: [4, 8, 12].map((d) => `M${x} ${y + d}L${x + d} ${y}`).join("") + [4, 8, 12].map((d) => `M${x + d} ${y + w}L${x + w} ${y + d}`).join("") + `M${x} ${y + w}L${x + w} ${y}`, "stroke-width": 1.4 });
  }
  return out;
}
globalThis.pocketPage = new Page(JSON.parse(document.getElementById("data").textContent));
