// What a person sees and touches: the unit, the board, what every call does.
const ratio = (t) => {
  const [a, b] = t.split("/");
  return fraction(BigInt(a), BigInt(b || 1));
};
globalThis.pocket = {
  checkOf,
  squares,
  Engine,
  TooMuch,
  decimal,
  energised,
  find,
  figure,
  isNo,
  openOf,
  otherwise,
  possibleWords,
  readCode,
  ratio,
};

const STORE = "selector pocket page",
  CLOCK = new Intl.DateTimeFormat(undefined, { dateStyle: "medium", timeStyle: "short" });

// the last board of each table, the latest last
const MOST_KEPT = 40;
const store = {
  all() {
    try {
      const found = JSON.parse(localStorage.getItem(STORE));
      return Array.isArray(found) ? found.filter((k) => k && typeof k === "object") : [];
    } catch {
      return [];
    }
  },
  // of this table; of none the latest that is on this page
  get(name, tables) {
    const all = store.all().filter((k) => tables.some((t) => t.name === k.table));
    return all.find((k) => k.table === name) ?? all.at(-1) ?? null;
  },
  set(board) {
    store.keep([...store.all().filter((k) => k.table !== board.table), board].slice(-MOST_KEPT));
  },
  forget(name) {
    store.keep(store.all().filter((k) => k.table !== name));
  },
  keep(boards) {
    try {
      localStorage.setItem(STORE, JSON.stringify(boards));
    } catch {
      /* works without */
    }
  },
};

// True for half-read parts as they are kept: a part with the positions it may have
const halves = (kept, stands) =>
  Array.isArray(kept) &&
  kept.every((h) => Array.isArray(h) && Array.isArray(h[1]) && h[1].length > 1 && h[1].every((at) => stands(at, h[0])));
// a board that is longer than this stands below the settings that are offered, so that they are on the first screen
const ANSWERS_BELOW = 240;

class Page extends Calls {
  constructor({ tables, rules }) {
    super();
    Object.assign(this, { tables, rules });
    for (const t of tables) t.cautions = t.cautions.map((some) => some.map((n) => t.said[n]));
    this.app = document.getElementById("app");
    this.alarm = el("section", { class: "alarm", "aria-label": "danger" });
    this.app.before(this.alarm);
    this.tabs = new Map(
      [
        ["read", "Read"],
        ["target", "Target"],
        ["measure", "Measure"],
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
    const table = this.tables[number],
      chosen = this.table ? table.name : "";
    Object.assign(this, {
      number,
      table,
      last: kept ? null : store.get(chosen, this.tables),
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
    this.half = new Map(kept?.half ?? []); // parts that were half read: the positions that they may have
    this.unit = kept && Object.hasOwn(table.airflow, kept.unit) ? kept.unit : table.units[0];
    this.board = table.selectors.map((s) => new Touched(this, s));
    this.ask = new Ask(this);
    this.measure = new Measure(this);
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
      this.measure.form,
    );
    this.app.replaceChildren(
      el("section", { class: "top", id: "unit", "aria-label": "the unit" }, this.facts, this.hint, this.offer()),
      this.strip,
      el(
        "section",
        { id: "board", class: `right board ${this.board.length > 1 ? "many" : ""}`, "aria-label": "the board" },
        this.board.map((b) => b.node),
      ),
      el(
        "section",
        { class: "left", id: "after", "aria-label": "more" },
        this.message,
        this.ask.answers,
        this.measure.answers,
        (this.reading = el("div", {}, this.notes, this.terminals(), codeReader(this))),
      ),
      this.status,
    );
    this.heads();
    this.learn();
    this.alarmed();
    this.go("read");
  }
  alarmed() {
    // what was seen, first on the screen whatever part of the page is open
    const { measure, rules } = this,
      found = [...measure.seen].map((what) => seenDanger(rules, what)).sort((a, b) => a.order - b.order),
      halted = found.some((d) => d.halts),
      stopped = found.some((d) => d.stop);
    const gas = found.filter((d) => d.what === "gas"), // everyone leaves: nothing else is done in the house
      acts = gas.length ? gas : halted ? found.filter((d) => d.halts) : found,
      steps = [...new Set(acts.flatMap((d) => d.steps))];
    if (stopped) steps.push(halted ? rules.waits : rules.stays);
    const right = (d) => {
      const words = this.table.measure.seen.find(([what]) => what === d.what)[1];
      const clear = () => measure.sight(d.what, false),
        props = { class: "plain", "aria-label": `put right: ${words}` };
      return el("div", { class: "row" }, el("span", {}, words), button("put right", clear, props));
    };
    this.alarm.replaceChildren(
      ...(found.length
        ? [
            found.map((d) => el("p", { class: "verdict reverse" }, el("b", {}, d.text))),
            list(steps, "ol", { class: "steps" }),
            found.map(right),
            halted ? button("Send the record", () => this.passOn(), { class: "plain" }) : "",
          ].flat()
        : []),
    );
    document.body.classList.toggle("halted", halted);
    this.stopped = stopped;
    if (found.length) {
      scrollTo(0, 0);
      this.speak(found.map((d) => d.text).join("; "));
    }
    if (this.mode === "measure") measure.show();
    if (this.mode === "target") this.ask.seek();
  }
  passOn() {
    // the record of a board nobody may touch
    this.alarm.append(this.measure.out);
    this.measure.send();
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
    const half = () => {
      this.halving = !this.halving;
      either.setAttribute("aria-pressed", String(this.halving));
      either.classList.toggle("reverse", this.halving);
    };
    const label = "half read: tap every position that one may be",
      either = button("this or that", half, { class: "plain", "aria-label": label, "aria-pressed": "false" });
    this.halving = false;
    const many = this.table.selectors.some((s) => !s.bank && s.lines.some((l) => l.marks.length > 2));
    head.append(...shown([many ? either : "", this.delivered, this.clearing]));
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
    this.message.hidden = mode === "target";
    this.ask.form.hidden = this.ask.answers.hidden = mode !== "target";
    this.measure.form.hidden = this.measure.answers.hidden = mode !== "measure";
    document.getElementById("board").classList.toggle("moves", mode === "target");
    this.app.classList.toggle("aiming", mode === "target" || mode === "measure");
    this.app.classList.toggle("measuring", mode === "measure");
    if (mode === "charts") new Charts(this).mark();
    scrollTo(0, 0);
    this.answer();
    this.fit();
  }
  fit() {
    // calls that would fill the window don't stay in view
    for (const b of this.board) b.fit();
    this.app.classList.toggle("large", rem() > 1.3 || innerWidth < 260);
    this.strip.classList.toggle("tall", this.strip.offsetHeight > innerHeight * 0.62);
    this.app.classList.toggle("long", document.getElementById("board").offsetHeight > ANSWERS_BELOW);
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
      k.facts.every((f) => Array.isArray(f) && f.every((x) => typeof x === "string")) &&
      halves(k.half, (at, p) => t.parts[p] && at !== null && stands(at, p));
    if (!fits) return null;
    const box = el(
      "div",
      { class: "row pad offer" },
      el("span", { class: "small" }, `Last board: ${t.title}, ${String(k.date)}`),
      button("use it", () => this.show(number, k), { class: "plain", "aria-label": "use the last board" }),
      button(
        "forget",
        () => {
          store.forget(t.name);
          box.remove();
        },
        { class: "plain", "aria-label": "forget the last board" },
      ),
    );
    return box;
  }
  put(setting, said = "") {
    const half = [...this.half];
    this.before = this.setting;
    this.setting = setting.slice();
    this.half.clear();
    this.kept = true;
    this.tapped = said && `${said} `;
    this.say(said, () => {
      this.setting = this.before;
      for (const [p, some] of half) this.half.set(p, some);
      this.say("");
      this.kept = true;
      this.answer();
    });
    this.answer();
  }
  say(words, undo = null) {
    const back = undo ? button("undo", undo, { class: "plain" }) : "";
    this.message.replaceChildren(...(words ? [el("div", { class: "do" }, el("p", {}, words), back)] : []));
  }
  touch(p, at) {
    if (this.mode === "target") {
      this.ask.hold(p, at);
      return;
    }
    if (this.halving && at !== null && at >= 0 && this.table.parts[p].p.length > 2) this.either(p, at);
    else this.set(p, this.setting[p] === at ? null : at);
  }
  either(p, at) {
    // one more position that a part may have, or one less
    const was = this.half.get(p) || [this.setting[p]].filter((x) => x !== null && x >= 0),
      now = was.includes(at) ? was.filter((x) => x !== at) : [...was, at].sort((a, b) => a - b);
    this.set(p, now.length === 1 ? now[0] : null, now);
  }
  set(p, at, some = []) {
    this.setting[p] = at;
    this.half.delete(p);
    if (some.length > 1) this.half.set(p, some);
    this.kept = true;
    this.last = null;
    this.tapped = `${this.name(p, at)}. `;
    this.say("");
    this.answer();
  }
  settle() {
    // what may wait until the calls are on the screen
    clearTimeout(this.timer);
    if (this.kept && (this.half.size || this.setting.some((at) => at !== null))) {
      const { table, model, setting, unit } = this,
        now = { half: [...this.half], facts: [...this.typed], date: CLOCK.format() };
      store.set({ table: table.name, check: table.check, model, setting, unit, ...now });
    }
    this.kept = false;
    if (this.mode === "target") this.ask.seek();
    if (this.mode === "measure") this.measure.show();
    this.drawFacts();
    this.tell();
  }
  answer() {
    const before = this.mode === "target" && this.ask.first ? this.ask.base : null;
    const seen = before ? this.ask.first.setting : this.setting;
    this.engine.half(this.half);
    for (const b of this.board) b.show(seen, before, this.mode === "target" ? this.ask.held : null);
    this.drawCalls();
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.settle(), 0);
  }
}
globalThis.pocketPage = new Page(JSON.parse(document.getElementById("data").textContent));
