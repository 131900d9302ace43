// What a person sees and touches: the unit, the board, what every call does.
const ratio = (t) => {
  const [a, b] = t.split("/");
  return fraction(BigInt(a), BigInt(b || 1));
};
globalThis.pocket = { Engine, TooMuch, decimal, energised, find, figure, isNo, possible, possibleWords, ratio };

const WORDS = ["does not run", "not usable", "outside the chart", "unreadable", "not known"];
const shortNo = (k) => (k >= UNREADABLE ? "?" : WORDS[k]);
const STORE = "selector pocket page";
const ONE_LINE = 6,
  BUTTONS = 5,
  FACTS = 3;
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
    for (const t of tables) t.cautions = t.cautions.map((some) => some.map((n) => t.said[n]));
    this.app = document.getElementById("app");
    this.tabs = new Map(
      [
        ["read", "Read"],
        ["target", "Target"],
        ["charts", "Charts"],
      ].map(([mode, name]) => [
        mode,
        button(name, () => this.go(mode), { role: "tab", id: `tab-${mode}`, "aria-controls": "app" }),
      ]),
    );
    const move = (e) => {
      const all = [...this.tabs.values()],
        step = { ArrowRight: 1, ArrowLeft: -1 }[e.key];
      if (step) all[(all.indexOf(document.activeElement) + step + all.length) % all.length].focus();
    };
    document.body.append(
      el(
        "nav",
        { "aria-label": "parts of the page" },
        el("div", { class: "tabs", role: "tablist", onkeydown: move }, ...this.tabs.values()),
      ),
    );
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
      rows: [],
      on: new Set(),
      opened: new Set(),
      said: new Map(),
      more: false,
    });
    if (table.models.length > 1 && table.models[0].model === null && kept === null) this.model = 0;
    this.typed = new Map(kept ? kept.facts : []);
    this.setting = kept ? kept.setting : table.parts.map(() => null);
    this.unit = kept && Object.hasOwn(table.airflow, kept.unit) ? kept.unit : table.units[0];
    this.board = table.selectors.map((s) => new Touched(this, s));
    this.ask = new Ask(this);
    Object.assign(this, {
      facts: el("div", { class: "facts" }),
      hint: el("div"),
      calls: el("ul", { class: "calls" }),
      first: el("div"),
      notes: el("div"),
      running: el("div"),
      message: el("div"),
    });
    this.over = el("div", { class: "over" });
    this.status = el("p", { class: "hush", role: "status" });
    this.strip = el(
      "section",
      { id: "calls", class: "left strip", "aria-label": "every call" },
      this.first,
      (this.read = el("div", {}, this.over, this.calls)),
      this.ask.form,
    );
    this.app.replaceChildren(
      el("section", { class: "top", id: "unit", "aria-label": "the unit" }, this.facts, this.hint, this.offer()),
      this.strip,
      el(
        "section",
        { id: "board", class: "right board", "aria-label": "the board" },
        this.board.map((b) => b.node),
      ),
      el(
        "section",
        { class: "left", id: "after", "aria-label": "more" },
        this.message,
        this.ask.answers,
        (this.reading = el("div", {}, this.notes, this.terminals())),
      ),
      this.status,
    );
    this.heads();
    this.learn();
    this.go("read");
  }
  heads() {
    // what acts on the whole board stands beside its first bank, else over it
    const bank = this.table.selectors[0].bank,
      head = bank ? this.board[0].node.firstChild : el("div", { class: "row tools" });
    if (!bank) document.getElementById("board").prepend(head);
    this.delivered = this.table.models.some((m) => m.delivered.some((at) => at !== null))
      ? button("factory", () => this.put(this.engine.model.delivered, "Factory setting."), { class: "plain" })
      : "";
    this.clearing = button(
      "clear",
      () =>
        this.put(
          this.table.parts.map(() => null),
          "Cleared.",
        ),
      { class: "plain" },
    );
    head.append(...shown([this.delivered, this.clearing]));
  }
  go(mode) {
    this.mode = mode;
    for (const [name, tab] of this.tabs) {
      tab.setAttribute("aria-selected", String(name === mode));
      tab.setAttribute("tabindex", name === mode ? "0" : "-1");
      if (name === mode) this.app.setAttribute("aria-labelledby", tab.id);
    }
    this.app.setAttribute("role", "tabpanel");
    this.app.hidden = mode === "charts";
    this.tables.forEach((_, n) => {
      document.getElementById(`paper${n}`).hidden = mode !== "charts" || n !== this.number;
    });
    this.read.hidden = this.reading.hidden = mode !== "read";
    this.ask.form.hidden = this.ask.answers.hidden = mode !== "target";
    document.getElementById("board").classList.toggle("moves", mode === "target");
    this.app.classList.toggle("aiming", mode === "target");
    if (mode === "charts") new Charts(this).mark();
    scrollTo(0, 0);
    this.answer();
    this.fit();
  }
  fit() {
    // calls that would fill the window don't stay in view
    for (const b of this.board) b.fit();
    this.strip.classList.toggle("tall", this.strip.offsetHeight > innerHeight * 0.62);
  }
  // -- facts, where they are typed
  head() {
    const t = this.table,
      cells = [],
      missing = this.missing(),
      opener = (f) => f.classList.contains("missing");
    const choose = (label, options, at, change, wanted = false) =>
      el(
        "div",
        { class: `fact ${wanted ? "missing" : ""}` },
        el("label", { for: `f-${label}` }, label),
        el(
          "select",
          { id: `f-${label}`, onchange: (e) => change(e.target.selectedIndex) },
          options.map((o, n) => el("option", { selected: n === at }, o)),
        ),
        el("i", { "aria-hidden": "true" }, "\u25be"),
      );
    if (this.tables.length > 1) {
      cells.push(
        choose(
          "table",
          this.tables.map((x) => x.title),
          this.number,
          (n) => this.show(n),
        ),
      );
    }
    const names = t.models.map((m) => m.model ?? "?"),
      asked = names.length > 1 && !this.model;
    const pick = (n) => {
      this.model = n;
      this.learn();
    };
    if (asked && names.length <= BUTTONS) {
      return [
        el(
          "div",
          { class: "fact wide missing", role: "group", "aria-label": "model" },
          el("span", { class: "label" }, "model"),
          names.slice(1).map((m, n) => button(m, () => pick(n + 1), { "aria-label": `model ${m}` })),
        ),
      ];
    }
    if (names.length > 1) cells.push(choose("model", names, this.model, pick, missing.has("model")));
    this.inputs = new Map();
    for (const f of t.facts) {
      const was = this.typed.get(f.n),
        wanted = missing.has(f.n) && !was;
      const set = (v) => {
        if (v) this.typed.set(f.n, v);
        else this.typed.delete(f.n);
        this.learn();
      };
      if (f.w.length) {
        cells.push(choose(f.n, ["?", ...f.w], f.w.indexOf(was) + 1, (n) => set(f.w[n - 1]), wanted));
      } else {
        const label = `${f.n.replace("static pressure", "static")}${f.u && !f.n.endsWith(f.u) ? `, ${f.u}` : ""}`;
        const input = el("input", {
          id: `f-${f.n}`,
          inputmode: "decimal",
          autocomplete: "off",
          value: was,
          placeholder: wanted ? "?" : "not typed",
          onchange: (e) => set(e.target.value.trim()),
        });
        this.inputs.set(f.n, input);
        cells.push(
          el("div", { class: `fact ${wanted ? "missing" : ""}` }, el("label", { for: `f-${f.n}` }, label), input),
        );
      }
    }
    const units = Object.keys(t.airflow);
    cells.push(
      choose("airflow in", units, units.indexOf(this.unit), (n) => {
        this.unit = units[n];
        this.ask.relabel();
        this.learn();
      }),
    );
    if (cells.length <= FACTS || this.wide()) return cells;
    const rest = cells.slice(FACTS - 1),
      short = rest.filter(opener).length;
    const show = () => {
      this.more = !this.more;
      this.drawFacts();
    };
    const label = this.more
      ? "fewer facts \u25b4"
      : `${rest.length} more facts${short ? `, ${short} missing` : ""} \u25be`;
    return [
      ...cells.slice(0, FACTS - 1),
      button(label, show, { class: `all ${short ? "link" : ""}`, "aria-expanded": String(this.more) }),
      ...(this.more ? rest : []),
    ];
  }
  wide() {
    return innerWidth >= 700;
  }
  drawFacts() {
    // made again only where it changes, so that the focus stays
    const key = JSON.stringify([this.model, [...this.typed], [...this.missing()], this.more, this.unit, this.wide()]);
    if (this.facts.key === key) return;
    this.facts.key = key;
    const id = document.activeElement && this.facts.contains(document.activeElement) ? document.activeElement.id : "";
    this.facts.replaceChildren(...shown(this.head()));
    if (id) document.getElementById(id)?.focus();
  }
  missing() {
    // facts for want of which something isn't judged
    if (!this.wants) return new Set();
    return this.wants;
  }
  wanted(why) {
    // the fact that a reason asks for
    if (/\bmodel\b/.test(why) && this.table.models.length > 1 && !this.model) return "model";
    const f = this.table.facts.find((x) => why.includes(x.n) && !this.typed.has(x.n));
    return f ? f.n : "";
  }
  jump(name) {
    if (!document.getElementById(`f-${name}`) && !this.more) {
      this.more = true;
      this.drawFacts();
    }
    const field = document.getElementById(`f-${name}`) || this.facts.querySelector("button, select");
    field?.focus();
    field?.scrollIntoView({ block: "nearest" });
  }
  offer() {
    const k = this.last,
      number = k ? this.tables.findIndex((t) => t.name === k.table && t.check === k.check) : -1;
    const t = this.tables[number];
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
      { class: "row pad offer" },
      el("span", { class: "small" }, `Last board: ${t.title}, ${String(k.date)}`),
      button("use it", () => this.show(number, k), { class: "plain", "aria-label": "use the last board" }),
      button(
        "forget",
        () => {
          store.clear();
          box.remove();
        },
        { class: "plain", "aria-label": "forget the last board" },
      ),
    );
    return box;
  }
  learn() {
    // facts may have changed
    const known = new Map(),
      bad = new Set();
    this.wrong = [];
    for (const f of this.table.facts) {
      const typed = this.typed.get(f.n),
        x = !typed || f.w.length ? typed : decimal(typed);
      if (typed && !f.w.length && (x === null || compare(x, ZERO) <= 0)) {
        bad.add(f.n);
        this.wrong.push(`${f.n}: ${typed} is not a number above 0. Type 0.5${f.u ? ` (${f.u})` : ""}.`);
      } else if (typed) known.set(f.n, x);
    }
    this.hint.replaceChildren(...this.wrong.map((w) => el("p", { class: "told", role: "alert" }, w)));
    this.engine = new Engine(this.table, this.model, known);
    this.kept = true;
    this.answer();
    this.drawFacts();
    for (const [name, input] of this.inputs || []) input.setAttribute("aria-invalid", String(bad.has(name)));
  }
  put(setting, said = "") {
    this.before = this.setting;
    this.setting = setting.slice();
    this.kept = true;
    this.say(said, () => {
      this.setting = this.before;
      this.say("");
      this.kept = true;
      this.answer();
    });
    this.answer();
  }
  say(words, undo) {
    this.message.replaceChildren(
      ...(words ? [el("div", { class: "do" }, el("p", {}, words), button("undo", undo, { class: "plain" }))] : []),
    );
  }
  touch(p, at) {
    if (this.mode === "target") {
      this.ask.hold(p, at);
      return;
    }
    this.set(p, this.setting[p] === at ? null : at);
  }
  set(p, at) {
    this.setting[p] = at;
    this.kept = true;
    this.last = null;
    this.tapped = `${this.name(p, at)}. `;
    this.say("");
    this.answer();
  }
  settle() {
    // what may wait until the calls are on the screen
    clearTimeout(this.timer);
    if (this.kept && this.setting.some((at) => at !== null)) {
      const { table, model, setting, unit } = this,
        date = new Date().toLocaleString();
      store.set({ table: table.name, check: table.check, model, facts: [...this.typed], setting, unit, date });
    }
    this.kept = false;
    if (this.mode === "target") this.ask.seek();
    this.drawFacts();
    this.tell();
  }
  answer() {
    const before = this.mode === "target" && this.ask.first ? this.ask.base : null;
    const seen = before ? this.ask.first.setting : this.setting;
    for (const b of this.board) b.show(seen, before, this.mode === "target" ? this.ask.held : null);
    this.drawCalls();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), 0);
  }
  // -- figures as people read them
  scale() {
    return this.engine.value(this.table.airflow[this.unit]);
  }
  whole(x) {
    return figure(times(x, this.scale()), 0);
  }
  air(x, places = 1) {
    return `${figure(times(x, this.scale()), places)} ${this.unit}`;
  }
  no(x) {
    return x.w ? `${WORDS[x.k]}: ${plain(x.w)}` : WORDS[x.k];
  }
  airOrNo(x) {
    return isNo(x) ? this.no(x) : this.air(x, 0);
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
          ? `minimum ${show(j.low)}`
          : j.high
            ? `maximum ${show(j.high)}`
            : "as the manual says";
    const fire = j.rate ? ` at ${figure(j.rate)} % fire` : "";
    return `${j.quantity} ${j.value ? `${show(j.value)}${fire}, ` : ""}allowed ${allowed} (${j.source})`;
  }
  short(j) {
    // "rise 68, limit 65", with the decimals that show it
    const scaled = (x) => (j.quantity === "temperature rise" ? x : times(x, this.scale()));
    const below = j.low && j.value && compare(j.value, j.low) < 0,
      end = below ? j.low : j.high || j.low;
    if (!j.value || !end) return j.quantity;
    let n = 0;
    while (n < 2 && figure(scaled(j.value), n) === figure(scaled(end), n)) n++;
    const [v, e] = [scaled(j.value), scaled(end)].map((x) => figure(x, n)),
      side = below ? "minimum" : "maximum";
    if (j.quantity === "temperature rise") return `rise ${v}, ${below ? "minimum" : "limit"} ${e}`;
    return j.quantity === "airflow" ? `${side} ${e}` : `${v} a ton, ${side} ${e}`;
  }
  beside(s) {
    return [
      s.rate ? `at ${figure(s.rate)} % fire` : "",
      s.rise ? `rise ${figure(s.rise, 0)}` : "",
      s.perTon ? `${this.whole(s.perTon)} a ton` : "",
    ]
      .filter((x) => x)
      .join(", ");
  }
  name(p, at) {
    return `${this.table.parts[p].n} ${at === null ? "not known" : word(this.table, p, at)}`;
  }
  which(pairs) {
    if (!pairs || !pairs.length) return "";
    return ` (${this.table.parts[pairs[0][0]].n} ${pairs.map(([p, i]) => word(this.table, p, i)).join(" or ")})`;
  }
  said1(x) {
    if (isNo(x)) return this.no(x);
    const { ramps } = this.table;
    return x.s !== undefined ? `${x.s}${Object.hasOwn(ramps, x.s) ? ` (${ramps[x.s]})` : ""}` : `${figure(x)} s`;
  }
  warned() {
    return [...this.wrong, ...this.engine.beyond].map((w) => el("p", { class: "told" }, plain(w)));
  }
  // -- every call of the board as tapped
  drawCalls() {
    const { engine, setting } = this,
      calls = engine.evaluate(setting);
    this.evaluated = calls;
    const first = this.different(),
      danger = this.shared();
    fill(this.first, JSON.stringify([first, engine.beyond, danger]), () => [
      ...danger.map((d) => el("p", { class: "verdict reverse" }, el("b", {}, "DANGER"), d)),
      ...[...first, ...engine.beyond].map((d) => el("p", { class: "told" }, plain(d))),
    ]);
    const rows = calls.flatMap((call, c) => call.map((s, i) => this.row(s, c, i)));
    this.wants = new Set(rows.flatMap((r) => r.wants));
    if (this.mode !== "read") return;
    if (this.rows.length !== rows.length) this.calls.replaceChildren(...(this.rows = rows.map(() => el("li"))));
    this.calls.classList.toggle("six", rows.length >= ONE_LINE && !this.wide());
    fill(this.over, this.unit, () => [el("span", {}, "every call, as set"), el("span", {}, this.unit)]);
    rows.forEach((r, n) => {
      fill(this.rows[n], JSON.stringify([r, this.opened.has(n), this.unit]), () => this.rowShown(r, n));
    });
    fill(this.running, JSON.stringify([[...this.on], this.on.size ? calls : 0, this.unit]), () =>
      this.on.size ? this.together(calls) : "",
    );
    this.drawNotes(calls.flat());
    this.now = rows;
  }
  tell() {
    // spoken: what changed, and any limit broken
    if (this.mode !== "read" || !this.now) return;
    const changed = [];
    for (const r of this.now) {
      const text1 = `${r.title} ${r.air.join(" ")}${r.broken ? `, ${r.second}` : ""}`;
      if (this.said.get(r.title) !== text1 || (r.broken && this.tapped)) changed.push(text1);
      this.said.set(r.title, text1);
    }
    if (changed.length || this.tapped) this.status.textContent = (this.tapped || "") + changed.join("; ");
    this.tapped = "";
  }
  shared() {
    // leads on one tap
    const { table, setting } = this,
      name = (p) => table.selectors.flatMap((s) => s.lines).find((l) => l.p === p).label;
    const pairs = [...this.engine.clash(setting)].map(([a, b]) => [a, b].sort((x, y) => x - y));
    return [
      ...new Set(
        pairs.map(
          ([a, b]) =>
            `${name(a)} and ${name(b)} share tap ${word(table, a, setting[a])}: one call` +
            " can back-feed the other (line voltage: two taps energized together burn the winding)",
        ),
      ),
    ];
  }
  different() {
    // selectors that tell the board other equipment than is installed
    const { engine, setting } = this;
    return this.table.parts.flatMap((part, p) => {
      const d = engine.model.declared[p];
      if (!d || setting[p] === null) return [];
      const [fact, positions, own] = d,
        known = fact === "model" ? engine.model.model : engine.known.get(fact);
      const at = positions ? (positions[known] ?? null) : own;
      return known === undefined || known === null || at === setting[p]
        ? []
        : [`${part.n} is set for ${fact} ${word(this.table, p, setting[p])}; ${known} installed.`];
    });
  }
  row(s, c, i) {
    // what is said of a call's stage
    const { engine, setting, table } = this;
    const out = {
      title: titled(s),
      terminals: table.calls[c].terminals[i],
      air: [],
      kind: "",
      second: "",
      more: [],
      wants: [],
      broken: false,
      link: false,
    };
    let open = null;
    if (setting.includes(null)) {
      try {
        open = possible(engine, c, i, setting);
      } catch (error) {
        if (!(error instanceof TooMuch)) throw error;
      }
    }
    const noes = open ? open.noes : isNo(s.air) ? [s.air] : [];
    if (open) {
      const { airflows: a } = open,
        unread = open.needed.map((p) => table.parts[p].n);
      const flows =
        a.length > 2
          ? [this.whole(a[0]), "to", this.whole(a[a.length - 1])]
          : a.flatMap((x, n) => (n ? ["or", this.whole(x)] : [this.whole(x)]));
      const words = [...new Set(noes.map((x) => shortNo(x.k)))],
        nothing = setting.every((at) => at === null);
      out.air =
        nothing || words.includes("?") ? ["?"] : flows.length ? flows : words.flatMap((w, n) => (n ? ["or", w] : [w]));
      const many =
        unread.length > 3 ? `${unread.slice(0, 2).join(", ")} and ${unread.length - 2} more` : unread.join(", ");
      if (!nothing && (a.length + noes.length !== 1 || isNo(s.air)))
        out.second = many ? `needs ${many}` : plain(s.air.w);
      if (a.length > 1) out.more.push(a.map((x) => this.air(x) + this.which(open.which.get(text(x)))).join(" or "));
      out.kind = out.air.length > 1 ? "several" : a.length ? "" : "no";
    } else if (isNo(s.air)) {
      out.air = s.air.e
        ? figuresOf(s.air).flatMap((x, n) => [...(n ? ["or"] : []), this.whole(x)])
        : [shortNo(s.air.k)];
      out.second = plain(s.air.w).split(";")[0];
      out.kind = s.air.k === RUNS ? "no gray" : s.air.k >= UNREADABLE ? "no" : "no usable";
    } else {
      out.air = [this.whole(s.air)];
      out.second = this.beside(s);
      out.more.push(
        [this.air(s.air), s.rise ? `rise ${this.degrees(s.rise)}` : "", s.perTon ? `${this.air(s.perTon)} per ton` : ""]
          .filter((x) => x)
          .join(", "),
      );
    }
    const reasons = [
      ...noes.filter((x) => x.k >= UNREADABLE).map((x) => x.w),
      ...s.judged.filter((j) => j.ok === null).map((j) => j.why),
    ];
    out.wants = [...new Set(reasons.map((w) => this.wanted(w)).filter((x) => x))];
    const broken = s.judged.filter((j) => j.ok === false).sort((a, b) => -compare(a.miss || ZERO, b.miss || ZERO));
    const shorts = [...new Set(broken.map((j) => this.short(j)))];
    if (shorts.length) {
      out.broken = true;
      out.second = shorts[0] + (shorts.length > 1 ? `, and ${shorts.length - 1} more` : "");
    } else if (out.wants.length && (!out.air.length || out.air[0] === "?" || !out.second)) {
      out.second = out.wants[0] === "model" ? (c || i ? "" : "choose the model") : `type ${out.wants[0]}`;
      out.link = true;
    } else if (out.wants.length && !open) {
      out.second += `; type ${out.wants[0]}`;
      out.link = true;
    }
    for (const j of s.judged) {
      out.more.push(j.ok === null ? `not checked: ${j.source}: ${plain(j.why)}` : this.limit(j));
    }
    engine.stages[c][i].told.forEach((t, n) => {
      const may = possibleWords(engine, t, setting);
      const said = may ? may.map((x) => this.said1(x)).join(" or ") : s.told[n] === null ? "" : this.said1(s.told[n]);
      if (said && said !== "0 s") out.more.push(`${["start-up", "delay", "blower-off delay"][n]}: ${said}`);
    });
    out.more.push(...noes.map((x) => this.no(x)), table.calls[c].note, ...s.notes.map(plain));
    if (s.pages.length) out.more.push(`page ${[...new Set(s.pages)].sort(natural).join(", ")}`);
    out.more = [...new Set(out.more.filter((x) => x))];
    return out;
  }
  rowShown(r, n) {
    const open = this.opened.has(n),
      act = () => {
        if (!this.opened.delete(n)) {
          this.opened.add(n);
          if (r.link) this.jump(r.wants[0]);
        }
        this.answer();
      };
    const small = (x) => (/^\d/.test(x) || r.air.length === 1 ? x : el("small", {}, ` ${x} `));
    const second = el("span", { class: `second ${r.link ? "link" : ""}` }, r.second);
    const beside = r.second ? el("em", { class: r.link ? "link" : "" }, r.second) : "";
    return [
      el(
        "button",
        { type: "button", class: `call ${r.broken ? "reverse" : r.kind}`, "aria-expanded": String(open), onclick: act },
        el("span", { class: "name" }, r.title, r.terminals ? el("small", {}, r.terminals) : "", beside),
        el("span", { class: "air" }, r.air.map(small)),
        second,
      ),
      open
        ? el(
            "div",
            { class: "more" },
            r.more.map((x) => el("p", {}, x)),
          )
        : null,
    ];
  }
  drawNotes(all) {
    const pages = [...new Set(all.flatMap((s) => s.pages))].sort(natural),
      notes = [...new Set(all.flatMap((s) => s.notes))];
    const open = all.flatMap((s) => s.judged.filter((j) => j.ok === null).map((j) => [s, j.source, j.why]));
    const heat = this.table.calls.some((c) => c.heats),
      cooling = this.table.calls.some((c) => c.compressor);
    const cautions = this.table.cautions[(heat ? 2 : 0) + (cooling ? 1 : 0)];
    const given = this.table.given.map(([n, v]) => `${n} ${v} (given when this page was made)`);
    const items = this.unjudged(open);
    const key = [pages, notes, open.map(([s, ...x]) => [titled(s), x])];
    fill(this.notes, JSON.stringify(key), () =>
      el(
        "details",
        { class: "notes" },
        el(
          "summary",
          {},
          el("span", {}, this.table.reads ? `Board reads its selectors ${this.table.reads}` : "Notes"),
          items.length + notes.length ? el("b", {}, `notes ${items.length + notes.length}`) : "",
        ),
        el(
          "div",
          { class: "pad" },
          list(
            [
              ...items,
              ...notes.map((n) => `Note: ${plain(n)}`),
              ...given,
              pages.length ? `Page${pages.length > 1 ? "s" : ""} of the manual: ${pages.join(", ")}` : "",
            ].filter((x) => x),
          ),
          el("h3", {}, "Before you touch the board"),
          list(cautions, "ul", { class: "cautions" }),
        ),
      ),
    );
  }
  unjudged(items) {
    // one line for each reason
    const by = new Map();
    for (const [s, limit, why] of items) {
      (by.get(why) || by.set(why, new Set()).get(why)).add(titled(s) + (limit ? ` (${limit})` : ""));
    }
    return [...by].map(([why, names]) => `Not checked: ${[...names].join("; ")}: ${plain(why)}`);
  }
  terminals() {
    const named = this.table.calls.flatMap((c) => c.terminals.flatMap((t) => t.split(" ")).filter((w) => w));
    const words = [...new Set(named)];
    if (!words.length) return null;
    const press = (e, w) => {
      if (!this.on.delete(w)) this.on.add(w);
      e.target.setAttribute("aria-pressed", String(this.on.has(w)));
      e.target.classList.toggle("reverse", this.on.has(w));
      this.answer();
    };
    return el(
      "details",
      { class: "notes" },
      el("summary", {}, "What runs when terminals are on"),
      el(
        "div",
        { class: "pad" },
        el(
          "div",
          { class: "row" },
          words.map((w) => button(w, (e) => press(e, w), { "aria-pressed": "false", "aria-label": `terminal ${w}` })),
        ),
        this.running,
      ),
    );
  }
  together(calls) {
    const { stages, air } = energised(this.table, calls, new Set([...this.on].map((w) => w.toLowerCase())));
    if (!stages.length) return el("p", {}, plain(air.w));
    const whole = stages.length > 1 ? el("p", {}, el("b", {}, `Together: ${this.airOrNo(air)}`)) : null;
    return [list(stages.map((s) => `${titled(s)}: ${this.airOrNo(s.air)}`)), whole];
  }
}

// The charts of the manual with the board's own cells marked: own model, own row, distance from the target.
class Charts {
  constructor(page) {
    Object.assign(this, { page, paper: document.getElementById(`paper${page.number}`) });
  }
  mark() {
    const { engine, setting, ask, table } = this.page,
      own = engine.model.model,
      targets = ask.asked()[0];
    for (const chart of this.paper.querySelectorAll("table[data-models]")) {
      const models = JSON.parse(chart.dataset.models),
        flows = JSON.parse(chart.dataset.flows);
      const t = targets.find((x) => x.quantity === "airflow" && table.charts[x.call].includes(chart.dataset.chart));
      for (const row of chart.rows) {
        const cells = [...row.cells],
          lead = cells.length - models.length;
        const at = row.dataset.at ? row.dataset.at.split(" ").map((x) => x.split(":").map(Number)) : null;
        row.classList.toggle("at", Boolean(at && at.every(([p, i]) => i < 0 || setting[p] === i)));
        if (lead < 0 || cells.some((x) => x.colSpan > 1)) continue;
        models.forEach((m, n) => {
          const cell = cells[n + lead];
          cell.hidden = own !== null && m !== "" && m !== own;
          if (flows[n] && cell.tagName === "TD") this.shade(cell, t);
        });
      }
    }
  }
  shade(cell, t) {
    // how far a figure is from the target
    cell.querySelector("small")?.remove();
    cell.className = "";
    const value = t && decimal(cell.textContent);
    if (!value) return;
    const off = beyond(value, t.low, t.high),
      n = [1, 5, 10, 20].findIndex((x) => compare(off, fraction(x, 100)) <= 0);
    if (n >= 0) cell.className = `d${n + 1}`;
    cell.append(el("small", {}, this.page.ask.percent(value, t)));
  }
}
globalThis.pocketPage = new Page(JSON.parse(document.getElementById("data").textContent));
