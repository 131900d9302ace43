// What is known of the unit, where it is typed.
const BUTTONS = 5,
  FACTS = 3;

class Facts {
  head() {
    const t = this.table,
      cells = [];
    const choose = (label, options, at, change) =>
      el(
        "div",
        { class: "fact", "data-fact": label },
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
    if (names.length > 1) cells.push(choose("model", names, this.model, pick));
    this.inputs = new Map();
    for (const f of t.facts) {
      const was = this.typed.get(f.n);
      const set = (v) => {
        if (v) this.typed.set(f.n, v);
        else this.typed.delete(f.n);
        this.learn();
      };
      if (f.w.length) {
        cells.push(choose(f.n, ["?", ...f.w], f.w.indexOf(was) + 1, (n) => set(f.w[n - 1])));
      } else {
        const label = `${f.n.replace("static pressure", "static")}${f.u && !f.n.endsWith(f.u) ? `, ${f.u}` : ""}`;
        const input = el("input", {
          id: `f-${f.n}`,
          inputmode: "decimal",
          autocomplete: "off",
          value: was,
          onchange: (e) => set(e.target.value.trim()),
        });
        this.inputs.set(f.n, input);
        cells.push(el("div", { class: "fact", "data-fact": f.n }, el("label", { for: `f-${f.n}` }, label), input));
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
    this.cells = cells;
    this.rest = cells.length <= FACTS || this.roomy() ? [] : cells.slice(FACTS - 1);
    if (!this.rest.length) return cells;
    const show = () => {
      this.more = !this.more;
      this.drawFacts();
    };
    this.opener = button("", show, { class: "all", "aria-expanded": String(this.more) });
    return [...cells.slice(0, FACTS - 1), this.opener, ...(this.more ? this.rest : [])];
  }
  lacking() {
    // what is missing is marked where it is typed
    const missing = this.missing(),
      lacks = (cell) => missing.has(cell.dataset.fact) && !this.typed.get(cell.dataset.fact);
    for (const cell of this.cells) {
      if (cell.lacks === lacks(cell)) continue;
      cell.lacks = lacks(cell);
      cell.classList.toggle("missing", cell.lacks);
      const input = this.inputs.get(cell.dataset.fact);
      if (input) input.placeholder = cell.lacks ? "?" : "not typed";
    }
    if (!this.rest.length) return;
    const short = this.rest.filter(lacks).length,
      label = `${this.rest.length} more facts${short ? `, ${short} missing` : ""} \u25be`;
    this.opener.textContent = this.more ? "fewer facts \u25b4" : label;
    this.opener.classList.toggle("link", short > 0);
  }
  wide() {
    return innerWidth >= 700;
  }
  roomy() {
    // every fact stands at the top; a low window has the head alone for them
    return this.wide() && innerHeight > 420;
  }
  drawFacts() {
    // made again only where it changes, so that the focus stays
    const key = JSON.stringify([this.model, [...this.typed], this.more, this.unit, this.roomy()]);
    if (this.facts.key !== key) {
      this.facts.key = key;
      const at = document.activeElement,
        id = at && this.facts.contains(at) ? at.id : "";
      this.cells = this.rest = [];
      this.facts.replaceChildren(...shown(this.head()));
      if (id) document.getElementById(id)?.focus();
    }
    this.lacking();
  }
  missing() {
    // facts for want of which something isn't judged
    if (!this.wants) return new Set();
    return this.wants;
  }
  typeable(name) {
    return name === "model"
      ? this.table.models.length > 1 && !this.model
      : this.table.facts.some((f) => f.n === name && !this.typed.has(name));
  }
  wanted(why) {
    // the fact that a reason asks for
    if (/\bmodel\b/.test(why) && this.typeable("model")) return "model";
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
  figureOf(f, typed) {
    // a figure with or without the unit of its field; a height in m too
    const [, words, unit] = /^(.*?)\s*([a-z]*)$/i.exec(typed),
      x = decimal(words),
      said = unit.toLowerCase();
    if (f.u !== "ft") return decimal(typed);
    if (x === null || !["", "ft", "m"].includes(said)) return null;
    return said === "m" ? over(x, fraction(3048n, 10000n)) : x;
  }
  learn() {
    // facts may have changed
    const known = new Map(),
      bad = new Set();
    this.wrong = [];
    for (const f of this.table.facts) {
      const typed = this.typed.get(f.n),
        x = !typed || f.w.length ? typed : this.figureOf(f, typed);
      if (typed && !f.w.length && (x === null || compare(x, ZERO) <= 0)) {
        bad.add(f.n);
        const example = f.u === "ft" ? "5000 ft or 1500 m" : `0.5${f.u ? ` (${f.u})` : ""}`;
        this.wrong.push(`${f.n}: ${typed} is not a number above 0. Type ${example}.`);
      } else if (typed) known.set(f.n, x);
    }
    this.hint.replaceChildren(...this.wrong.map((w) => el("p", { class: "told", role: "alert" }, w)));
    this.engine = new Engine(this.table, this.model, known);
    this.kept = true;
    this.say(""); // what was said of the setting was said under other facts
    this.answer();
    this.drawFacts();
    for (const [name, input] of this.inputs || []) input.setAttribute("aria-invalid", String(bad.has(name)));
  }
}
