// What a person sees and taps: the unit, the board, what every call does.
const ratio = (t) => {
  const [a, b] = t.split("/");
  return fraction(BigInt(a), BigInt(b || 1));
};
globalThis.pocket = { Engine, TooMuch, decimal, energised, find, figure, isNo, possible, possibleWords, ratio };

const WORDS = ["does not run", "not usable", "outside the chart", "unreadable", "not known"];
const STORE = "selector pocket page";
const SHOWN = 4,
  RING = 16;
const plain = (words) => words.replace(/`/g, "").replace(/\bthe page\b/g, "the manual");
const natural = new Intl.Collator(undefined, { numeric: true }).compare;

const store = {
  get() {
    try {
      return JSON.parse(localStorage.getItem(STORE));
    } catch {
      return null;
    }
  },
  set(value) {
    try {
      localStorage.setItem(STORE, JSON.stringify(value));
    } catch {
      /* works without */
    }
  },
  clear() {
    try {
      localStorage.removeItem(STORE);
    } catch {
      /* works without */
    }
  },
};

class Page {
  constructor(tables) {
    this.tables = tables;
    this.app = document.getElementById("app");
    this.nav = el("nav", { "aria-label": "parts of the page" });
    this.app.before(this.nav);
    addEventListener("resize", () => this.fit());
    try {
      history.scrollRestoration = "manual";
    } catch {
      /* the last board is offered at the top all the same */
    }
    this.show(0);
  }
  show(number, kept = null) {
    const table = this.tables[number];
    Object.assign(this, {
      number,
      table,
      last: kept ? null : store.get(),
      model: kept ? kept.model : 0,
      before: null,
      pressed: [],
      rows: [],
      on: new Set(),
    });
    this.typed = new Map(kept ? kept.facts : []);
    this.setting = kept ? kept.setting : table.parts.map(() => null);
    this.unit = kept && Object.hasOwn(table.airflow, kept.unit) ? kept.unit : table.units[0];
    this.tables.forEach((_, n) => {
      document.getElementById(`paper${n}`).hidden = n !== number;
    });
    Object.assign(this, {
      first: el("div"),
      calls: el("ul", { class: "calls" }),
      after: el("div"),
      running: el("div"),
      hint: el("div"),
      pads: el("div"),
    });
    this.status = el("p", { class: "hush", role: "status" });
    this.drawing = new Drawing(table);
    this.ask = new Ask(this);
    this.back = el("button", { type: "button", hidden: true, onclick: () => this.put(this.before) }, "Undo");
    const places = [
      ["unit", "Unit"],
      ["board", "Board"],
      ["calls", "Calls"],
      ["find", "Find"],
      [`paper${number}`, "Charts"],
    ];
    this.nav.replaceChildren(...places.map(([id, name]) => el("a", { href: `#${id}` }, name)));
    this.tapped = el(
      "div",
      { hidden: true },
      el("h3", {}, "As tapped"),
      el("p", { class: "small" }, table.key),
      this.drawing.node,
    );
    this.app.replaceChildren(
      el("div", { class: "top", id: "unit" }, this.head(), this.offer()),
      section(
        "board",
        "The board as it stands",
        "left",
        el(
          "p",
          { class: "small" },
          "Tap each selector as it stands; tap again to take it back. What is not tapped counts as not readable.",
        ),
        el(
          "div",
          { class: "row" },
          this.delivered(),
          el("button", { type: "button", onclick: () => this.put(table.parts.map(() => null)) }, "Clear all"),
          this.back,
        ),
        this.pads,
      ),
      section(
        "calls",
        "What every call does",
        "right",
        this.first,
        this.calls,
        this.terminals(),
        this.after,
        this.tapped,
      ),
      section("find", "Find a setting", "right", this.ask.form, el("div", { "aria-live": "polite" }, this.ask.answers)),
      this.status,
    );
    this.learn();
    this.fit();
  }
  fit() {
    // a board that fits the window stays beside the calls where there is room for two columns
    const board = document.getElementById("board");
    board.classList.toggle("short", board.offsetHeight < innerHeight - 70);
  }
  delivered() {
    const told = this.table.models.some((m) => m.delivered.some((at) => at !== null));
    return told
      ? el("button", { type: "button", onclick: () => this.put(this.engine.model.delivered) }, "As delivered")
      : null;
  }
  head() {
    const t = this.table,
      choose = (label, options, at, change, wide = "") =>
        el(
          "label",
          { class: wide },
          label,
          el(
            "select",
            { onchange: (e) => change(e.target.selectedIndex) },
            options.map((o, n) => el("option", { selected: n === at }, o)),
          ),
        );
    const fields = [];
    if (this.tables.length > 1)
      fields.push(
        choose(
          "table",
          this.tables.map((x) => x.title),
          this.number,
          (n) => this.show(n),
          "whole",
        ),
      );
    if (t.models.length > 1)
      fields.push(
        choose(
          "model",
          t.models.map((m) => m.model ?? "not known"),
          this.model,
          (n) => {
            this.model = n;
            this.learn();
          },
        ),
      );
    this.inputs = new Map();
    for (const f of t.facts) {
      const was = this.typed.get(f.n),
        set = (v) => {
          if (v) this.typed.set(f.n, v);
          else this.typed.delete(f.n);
          this.learn();
        };
      if (f.w.length) fields.push(choose(f.n, ["not known", ...f.w], f.w.indexOf(was) + 1, (n) => set(f.w[n - 1])));
      else {
        const input = el("input", {
          inputmode: "decimal",
          autocomplete: "off",
          value: was,
          onchange: (e) => set(e.target.value.trim()),
        });
        this.inputs.set(f.n, input);
        fields.push(el("label", {}, `${f.n}${f.u && !f.n.endsWith(f.u) ? `, ${f.u}` : ""}`, input));
      }
    }
    const units = Object.keys(t.airflow);
    fields.push(
      choose("airflow in", units, units.indexOf(this.unit), (n) => {
        this.unit = units[n];
        this.ask.relabel();
        this.save();
        this.answer();
      }),
    );
    const given = t.given.map(([n, v]) => `${n} ${v} (given when this page was made)`);
    return [
      el(
        "p",
        { class: "small" },
        [this.tables.length > 1 ? t.title : "", t.manual ? `manual ${t.manual}` : "", ...given]
          .filter((x) => x)
          .join(", "),
      ),
      el("div", { class: "fields" }, fields),
      this.hint,
    ];
  }
  offer() {
    const k = this.last,
      number = k ? this.tables.findIndex((t) => t.name === k.table && t.check === k.check) : -1,
      t = this.tables[number];
    const stands = (at, p) =>
      at === null || (Number.isInteger(at) && at >= (t.parts[p].absent ? -1 : 0) && at < t.parts[p].p.length);
    const fits =
      t &&
      Array.isArray(k.setting) &&
      Array.isArray(k.facts) &&
      k.setting.length === t.parts.length &&
      t.models[k.model] &&
      k.setting.every(stands) &&
      k.facts.every((f) => Array.isArray(f) && f.every((x) => typeof x === "string"));
    if (!fits) return null;
    const box = el(
      "div",
      { class: "told" },
      el("p", {}, `Last board here: ${t.title}, ${String(k.date)}.`),
      el(
        "div",
        { class: "row" },
        el("button", { type: "button", onclick: () => this.show(number, k) }, "Take it up again"),
        el(
          "button",
          {
            type: "button",
            onclick: () => {
              store.clear();
              box.remove();
            },
          },
          "Clear it",
        ),
      ),
    );
    return box;
  }
  learn() {
    // facts may have changed
    const known = new Map();
    this.wrong = [];
    for (const f of this.table.facts) {
      const typed = this.typed.get(f.n),
        x = !typed || f.w.length ? typed : decimal(typed),
        bad = typed && !f.w.length && (x === null || compare(x, ZERO) <= 0);
      this.inputs.get(f.n)?.setAttribute("aria-invalid", String(Boolean(bad)));
      if (bad)
        this.wrong.push(`${f.n}: ${typed} is not a number above 0; type it like 0.5${f.u ? ` (in ${f.u})` : ""}`);
      else if (typed) known.set(f.n, x);
    }
    this.hint.replaceChildren(...this.wrong.map((w) => el("p", { class: "told", role: "alert" }, w)));
    this.engine = new Engine(this.table, this.model, known);
    this.save();
    this.answer();
  }
  put(setting) {
    this.before = this.setting;
    this.back.hidden = false;
    this.setting = setting.slice();
    this.save();
    this.answer();
  }
  set(p, at) {
    this.setting[p] = at;
    this.save();
    this.answer();
  }
  save() {
    this.kept = true;
  }
  settle() {
    // what may wait until the calls are on the screen
    clearTimeout(this.timer);
    if (this.kept && this.setting.some((at) => at !== null)) {
      const { table, model, setting, unit } = this;
      store.set({
        table: table.name,
        check: table.check,
        model,
        facts: [...this.typed],
        setting,
        unit,
        date: new Date().toLocaleString(),
      });
    }
    this.kept = false;
    this.ask.seek();
  }
  answer() {
    this.drawPads();
    this.drawCalls();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), 0);
  }
  // -- the board
  drawPads() {
    // made once for a table; then only what is pressed changes
    if (!this.pads.firstChild)
      this.pads.append(
        ...this.table.selectors.map((s) => {
          const bank = s.form === "bank",
            long = s.lines.some((l) => l.marks.some((m) => m.length > 4));
          return el(
            "div",
            { class: `part ${bank ? "bank" : ""} ${bank && long ? "long" : ""}` },
            el("h3", {}, s.n, el("span", { class: "small" }, s.head, s.note ? `; ${s.note}` : "")),
            el(
              "div",
              { class: `pads ${s.form === "leads" ? "leads" : ""}` },
              s.lines.map((l) => this.pad(s, l, bank)),
            ),
          );
        }),
      );
    for (const one of this.pressed) if (one.at !== this.setting[one.p]) one.press((one.at = this.setting[one.p]));
  }
  pad(s, l, bank) {
    const part = this.table.parts[l.p],
      name = l.label ? `${s.n}-${l.label}` : s.n,
      spare = l.spare ? ", not used" : "";
    const marks = l.marks.map((m, i) => [m, i]);
    if (part.absent) marks.push([part.absent, -1]);
    if (marks.length > RING + 1 && !bank) {
      const select = el(
        "select",
        { "aria-label": name, onchange: () => this.set(l.p, select.value === "" ? null : Number(select.value)) },
        el("option", { value: "" }, "not read"),
        marks.map(([m, i]) => el("option", { value: i }, m)),
      );
      this.pressed.push({
        p: l.p,
        press: (at) => {
          select.value = at ?? "";
        },
      });
      return select;
    }
    const buttons = new Map(
      (bank ? marks.reverse() : marks).map(([m, i]) => [
        i,
        el(
          "button",
          {
            type: "button",
            "aria-label": `${name} ${m}${spare}`,
            "aria-pressed": "false",
            onclick: () => this.set(l.p, this.setting[l.p] === i ? null : i),
          },
          m,
        ),
      ]),
    );
    let was = null;
    this.pressed.push({
      p: l.p,
      at: null,
      press: (at) => {
        buttons.get(was)?.setAttribute("aria-pressed", "false");
        buttons.get((was = at))?.setAttribute("aria-pressed", "true");
      },
    });
    const label = l.label ? el("span", {}, l.label, bank && l.spare ? el("small", {}, "not used") : null) : null;
    return el(
      "div",
      { class: `pad ${l.spare ? "spare" : ""}`, role: "group", "aria-label": name + spare },
      bank ? null : label,
      ...buttons.values(),
      bank ? label : null,
    );
  }
  // -- figures as people read them
  air(x) {
    return `${figure(times(x, this.engine.value(this.table.airflow[this.unit])))} ${this.unit}`;
  }
  no(x) {
    return `${WORDS[x.k]}: ${plain(x.w)}`;
  }
  airOrNo(x) {
    return isNo(x) ? this.no(x) : this.air(x);
  }
  degrees(x) {
    return `${figure(x)} ${this.table.units[1]}`;
  }
  limit(j) {
    const show = (x) =>
      j.quantity === "airflow"
        ? this.air(x)
        : j.quantity === "airflow per ton"
          ? `${this.air(x)} per ton`
          : this.degrees(x);
    const allowed =
      j.low && j.high
        ? `${show(j.low)} to ${show(j.high)}`
        : j.low
          ? `at least ${show(j.low)}`
          : j.high
            ? `at most ${show(j.high)}`
            : "as the manual says";
    const got = j.value ? `${show(j.value)}${j.rate ? ` at ${figure(j.rate)} % fire` : ""}, ` : "";
    return `${j.quantity} ${got}allowed ${allowed} (${j.source})`;
  }
  beside(s) {
    const fire = s.rate ? `at ${figure(s.rate)} % fire` : "",
      rise = s.rise ? `rise ${this.degrees(s.rise)}` : "";
    return [fire, rise, s.perTon ? `${this.air(s.perTon)} per ton` : ""].filter((x) => x).join(", ");
  }
  name(p, at) {
    return `${this.table.parts[p].n} ${word(this.table, p, at)}`;
  }
  which(pairs) {
    return pairs && pairs.length
      ? ` (${this.table.parts[pairs[0][0]].n} ${pairs.map(([p, i]) => word(this.table, p, i)).join(" or ")})`
      : "";
  }
  said(x) {
    if (isNo(x)) return this.no(x);
    return x.s !== undefined
      ? `${x.s}${Object.hasOwn(this.table.ramps, x.s) ? ` (${this.table.ramps[x.s]})` : ""}`
      : `${figure(x)} s`;
  }
  pages(stages) {
    const pages = [...new Set(stages.flatMap((s) => s.pages))].sort(natural),
      notes = [...new Set(stages.flatMap((s) => s.notes))];
    return [
      pages.length ? el("p", {}, `Page${pages.length > 1 ? "s" : ""} of the manual: ${pages.join(", ")}`) : null,
      notes.map((n) => el("p", {}, `Note: ${plain(n)}`)),
    ];
  }
  unjudged(items) {
    // one line for each reason
    const by = new Map();
    for (const [s, limit, why] of items)
      (by.get(why) || by.set(why, new Set()).get(why)).add(titled(s) + (limit ? ` (${limit})` : ""));
    return by.size
      ? [el("h3", {}, "Not judged"), list([...by].map(([why, names]) => `${[...names].join("; ")}: ${plain(why)}`))]
      : [];
  }
  warned() {
    return [...this.wrong, ...this.engine.beyond].map((w) => el("p", { class: "told" }, plain(w)));
  }
  // -- every call of the board as tapped
  terminals() {
    const words = [
      ...new Set(this.table.calls.flatMap((c) => c.terminals.flatMap((t) => t.split(" ")).filter((w) => w))),
    ];
    if (!words.length) return null;
    const press = (e, w) => {
      if (!this.on.delete(w)) this.on.add(w);
      e.target.setAttribute("aria-pressed", String(this.on.has(w)));
      this.answer();
    };
    return folded(
      "What runs when terminals are on",
      el("p", { class: "small" }, "Tap the terminals that are energised."),
      el(
        "div",
        { class: "row" },
        words.map((w) =>
          el(
            "button",
            { type: "button", "aria-pressed": "false", "aria-label": `terminal ${w}`, onclick: (e) => press(e, w) },
            w,
          ),
        ),
      ),
      this.running,
    );
  }
  together(calls) {
    const { stages, air } = energised(this.table, calls, new Set([...this.on].map((w) => w.toLowerCase())));
    if (!stages.length) return el("p", {}, plain(air.w));
    return [
      list(stages.map((s) => `${titled(s)}: ${this.airOrNo(s.air)}`)),
      stages.length > 1 ? el("p", {}, el("b", {}, `Together: ${this.airOrNo(air)}`)) : null,
    ];
  }
  drawCalls() {
    const { engine, setting, table } = this,
      calls = engine.evaluate(setting),
      all = calls.flat(),
      nothing = setting.every((at) => at === null);
    this.calls.hidden = this.after.hidden = this.tapped.hidden = nothing;
    const first = nothing ? [] : this.different();
    fill(this.first, JSON.stringify([first, this.wrong, engine.beyond, nothing]), () => [
      first.map((d) => el("p", { class: "told" }, `First: ${d}`)),
      this.warned(),
      nothing ? el("p", {}, "Nothing is tapped yet.") : null,
    ]);
    fill(this.running, JSON.stringify([[...this.on], this.on.size ? calls : 0, this.unit]), () =>
      this.on.size ? this.together(calls) : "",
    );
    if (nothing) {
      this.status.textContent = "";
      return;
    }
    const rows = calls.flatMap((call, c) => call.map((s, i) => this.row(s, c, i)));
    if (this.rows.length !== rows.length) this.calls.replaceChildren(...(this.rows = rows.map(() => el("li"))));
    rows.forEach((r, n) => fill(this.rows[n], JSON.stringify(r), () => this.rowShown(r)));
    const open = all.flatMap((s) => s.judged.filter((j) => j.ok === null).map((j) => [s, j.source, j.why]));
    fill(
      this.after,
      JSON.stringify([open.map(([s, ...x]) => [titled(s), x]), all.map((s) => [s.pages, s.notes])]),
      () => [this.unjudged(open), this.pages(all)],
    );
    this.drawing.show(setting);
    const short = rows.map((r) => `${r.title} ${r.sum}`).join("; ");
    if (this.status.textContent !== short) this.status.textContent = short;
  }
  different() {
    // selectors that tell the board other equipment than is there
    const { engine, setting } = this;
    return this.table.parts.flatMap((part, p) => {
      const d = engine.model.declared[p];
      if (!d || setting[p] === null) return [];
      const [fact, positions, own] = d,
        known = fact === "model" ? engine.model.model : engine.known.get(fact),
        at = positions ? (positions[known] ?? null) : own;
      return known === undefined || known === null || at === setting[p]
        ? []
        : [`${part.n} tells the board ${fact} ${word(this.table, p, setting[p])}, but ${known} is what is there.`];
    });
  }
  row(s, c, i) {
    // what is said of a call's stage
    const { engine, setting, table } = this,
      out = {
        title: titled(s),
        terminals: table.calls[c].terminals[i],
        sum: this.airOrNo(s.air),
        firm: !isNo(s.air),
        words: [this.beside(s)],
      };
    let open = null;
    if (setting.includes(null))
      try {
        open = possible(engine, c, i, setting);
      } catch (error) {
        if (!(error instanceof TooMuch)) throw error;
      }
    if (open) {
      const { airflows: a, noes } = open,
        unread = open.needed.map((p) => table.parts[p].n).join(", ");
      const each = (x) => this.air(x) + this.which(open.which.get(text(x)));
      const flows =
        a.length > SHOWN && open.needed.length > 1
          ? `one of ${a.length} airflows from ${this.air(a[0])} to ${this.air(a[a.length - 1])}`
          : a.map(each).join(" or ");
      out.sum = [flows, ...noes.map((x) => this.no(x))].filter((x) => x).join("; or ");
      out.firm = a.length === 1 && !noes.length;
      const off = [...new Set(open.needed.map((p) => table.parts[p].absent).filter((x) => x))]
        .map((x) => `, unless ${x}`)
        .join("");
      out.words = [
        out.firm
          ? `whatever ${unread} stand${open.needed.length > 1 ? "" : "s"} on${off}`
          : a.length + noes.length > 1
            ? `not tapped: ${unread}`
            : "",
      ];
    }
    engine.stages[c][i].told.forEach((t, n) => {
      const may = possibleWords(engine, t, setting),
        said = may ? may.map((x) => this.said(x)).join(" or ") : s.told[n] === null ? "" : this.said(s.told[n]);
      if (said && said !== "0 s") out.words.push(`${["comes up", "waits", "runs on"][n]}: ${said}`);
    });
    out.words.push(table.calls[c].note);
    out.broken = s.judged.filter((j) => j.ok === false).map((j) => `outside its limits: ${this.limit(j)}`);
    return out;
  }
  rowShown(r) {
    const long = !r.firm || r.sum.length > 22;
    return [
      el("span", {}, el("b", {}, r.title), r.terminals ? ` (${r.terminals})` : ""),
      long ? el("div", {}, r.sum) : el("span", { class: "sum" }, r.sum),
      r.words.filter((x) => x).map((x) => el("small", {}, x)),
      r.broken.map((x) => el("small", { class: "broken" }, x)),
    ];
  }
}
globalThis.pocketPage = new Page(JSON.parse(document.getElementById("data").textContent));
